"""Faults: edits of a circuit, each in one place and one unit, with a weight."""

from loomwise.faults.enumerate import enumerate_faults
from loomwise.faults.fault import Fault, Spread

__all__ = ["Fault", "Spread", "enumerate_faults"]
