"""How the vehicle stands for a reading: controls, what is undone, and what went before."""

from loomwise.setups.setup import Setup, Undoing, make_setup
from loomwise.setups.undo import put_in, undoings, undone_edits, with_new_fuses
from loomwise.setups.words import parse_setup, parse_undoing

__all__ = [
    "Setup",
    "Undoing",
    "make_setup",
    "parse_setup",
    "parse_undoing",
    "put_in",
    "undoings",
    "undone_edits",
    "with_new_fuses",
]
