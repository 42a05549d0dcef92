"""Which ways current takes through a circuit, from the file alone: nothing is solved."""

from loomwise.ways.concern import Concern, concern
from loomwise.ways.heights import heights
from loomwise.ways.roads import Followed, Roads

__all__ = ["Concern", "Followed", "Roads", "concern", "heights"]
