"""How a circuit works, told from the solved model: what runs each load, and by which way.

Nothing here knows a particular circuit, and hardly anything a kind of part: combinations of
controls are solved, currents are followed through the branches they flow in, and single faults are
solved to see what would start or stop a load.
"""

from loomwise.explain.explanation import Explanation, LoadExplained
from loomwise.explain.how import explain

__all__ = ["Explanation", "LoadExplained", "explain"]
