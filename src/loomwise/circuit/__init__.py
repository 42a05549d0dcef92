"""The circuit: its model, its file, its part kinds, and the physics of single parts."""
