"""Faults: edits of a circuit, each in one place and one unit, with a weight."""

from loomwise.faults.added import Added, added_work, with_added
from loomwise.faults.enumerate import enumerate_faults
from loomwise.faults.fault import Fault, Spread

__all__ = ["Added", "Fault", "Spread", "added_work", "enumerate_faults", "with_added"]
