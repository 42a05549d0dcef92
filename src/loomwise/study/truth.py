"""What is really wrong with a vehicle: its faults as edits, and what its drawing calls them."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from loomwise.diagnosis.table import HEALTHY
from loomwise.edits import Edit
from loomwise.faults import Fault
from loomwise.setups import Setup


@dataclass(frozen=True)
class Truth:
    """The hidden fault with its own resistance, as edits, and where drawn labels really lead.

    ``exchange`` names the labels exchanged, if any. ``parts`` are the faults of a composition, each
    with its own edits. ``only_in``: the edits hold with these controls alone. ``outside``: none of
    the hypotheses is this; ``near`` are units whose repair would come upon it all the same.
    """

    fault: Fault
    edits: tuple[Edit, ...]
    real: Callable[[str], str]
    exchange: str = ""
    parts: tuple[tuple[Fault, tuple[Edit, ...]], ...] = ()
    only_in: Setup | None = None
    outside: bool = False
    near: frozenset[str] = frozenset()

    @property
    def units(self) -> frozenset[str]:
        """The units that need repair."""
        return frozenset(self.fault.unit.split(" + ")) - {""}

    def edits_in(self, setup: Setup) -> tuple[Edit, ...]:
        """What is wrong in a setup."""
        if self.only_in is not None and self.only_in.controls != setup.controls:
            return ()
        return self.edits

    def without(self, units: Sequence[str]) -> "Truth":
        """What is left once these units are repaired."""
        all_parts = self.parts or ((self.fault, self.edits),)
        left = tuple((f, e) for f, e in all_parts if f.unit not in units)
        if len(left) == len(all_parts):
            return self
        fault = left[0][0] if left else HEALTHY
        return replace(self, fault=fault, edits=tuple(x for _, e in left for x in e), parts=left)
