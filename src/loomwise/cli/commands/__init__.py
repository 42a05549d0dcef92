"""The commands as Typer declares them; each does its work in a file of its own, one folder up."""
