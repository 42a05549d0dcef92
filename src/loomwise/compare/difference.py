"""What differs between two drawings, as data; and the whole answer."""

from collections.abc import Mapping
from dataclasses import dataclass

from loomwise.edits import Edit

KINDS = {
    "supply": 0,
    "part": 1,
    "exchanged": 2,
    "leads elsewhere": 2,
    "missing": 2,
    "extra": 2,
    "contact": 2,
    "positions": 2,
    "module pin": 2,
    "logic": 2,
    "value": 3,
    "ground": 3,
    "cavity": 4,
    "connector": 5,
    "splice": 6,
    "turned": 6,
    "wire": 7,
    "name": 8,
}
"""Every kind of difference and its rank: what changes the function first, names last."""
FUNCTION = 3
"""Up to this rank a difference changes what the circuit does, or what a fault in it does."""
NO_DIFFERENCE = ("splice", "turned", "name")
"""Kinds that leave it the same circuit, drawn or named in another way."""


@dataclass(frozen=True)
class Difference:
    """One difference, in words with the names of drawing a.

    ``a_places`` and ``b_places`` are the pins, cavities or parts it speaks of, in each drawing's
    own names. ``edits`` make drawing a do what b does; ``expressible`` says whether they suffice.
    """

    kind: str
    text: str
    a_places: tuple[str, ...] = ()
    b_places: tuple[str, ...] = ()
    edits: tuple[Edit, ...] = ()
    expressible: bool = False

    @property
    def rank(self) -> int:
        """Where it stands in the list; see ``KINDS``."""
        return KINDS[self.kind]

    @property
    def in_function(self) -> bool:
        """Whether the two circuits do not do the same, healthy or with a fault."""
        return self.rank <= FUNCTION


@dataclass(frozen=True)
class Comparison:
    """Two drawings side by side: what differs, and what was taken for the same.

    ``parts``, ``pins`` and ``connectors`` map a's names to b's; ``pins`` also has cavities' sides.
    """

    differences: tuple[Difference, ...]
    parts: Mapping[str, str]
    pins: Mapping[str, str]
    connectors: Mapping[str, str]

    @property
    def same(self) -> bool:
        """Nothing but names and ways of drawing differs."""
        return all(d.kind in NO_DIFFERENCE for d in self.differences)
