"""Every fault of a circuit played through by a simulated technician: how well the advice works."""
