"""The size of a wire and the fuse that protects it: drop, heat, bundle, and never a larger fuse
than the wire stands."""

from loomwise.sizing.ampacity import Surroundings, stands_a
from loomwise.sizing.drop import allowed_drop_v, drop_v
from loomwise.sizing.fuse import largest_fuse_a, smallest_fuse_a
from loomwise.sizing.size import Judged, Question, WireFacts, judge, size

__all__ = [
    "Judged",
    "Question",
    "Surroundings",
    "WireFacts",
    "allowed_drop_v",
    "drop_v",
    "judge",
    "largest_fuse_a",
    "size",
    "smallest_fuse_a",
    "stands_a",
]
