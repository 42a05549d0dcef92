"""Two drawings of one circuit: the same parts found whatever their names, what differs in words,
and the difference as edits. No file is read here.
"""

from loomwise.compare.changes import Change, ChangeError, parse_change
from loomwise.compare.compare import Expressed, as_edits, compare
from loomwise.compare.difference import Comparison, Difference

__all__ = [
    "Change",
    "ChangeError",
    "Comparison",
    "Difference",
    "Expressed",
    "as_edits",
    "compare",
    "parse_change",
]
