"""The vehicle one practises on: it answers as a real one would, and the same question alike.

An answer depends on the vehicle, on what is asked and on how often that was asked before, never on
what was asked between: so a practice can be left and gone on with, and a trainee who asks what the
advice would have asked gets the same answer, a missed contact included.
"""

from dataclasses import dataclass, replace
from zlib import crc32

from numpy.random import default_rng

from loomwise.advice.candidates import Candidate
from loomwise.advice.expert import Expert
from loomwise.evidence import Evidence, Reading, Sign
from loomwise.setups import Setup
from loomwise.solver.result import loads
from loomwise.study.world import World


@dataclass(frozen=True)
class Vehicle:
    """A vehicle with a fault. ``complaint`` is the setup in which it shows, ``seed`` what its
    answers are drawn from."""

    expert: Expert
    world: World
    complaint: Setup
    seed: int

    @property
    def name(self) -> str:
        """Its fault and what its drawing has wrong, to know it again."""
        truth = self.world.truth
        return f"{truth.fault.id}|{truth.exchange}"

    def opening(self) -> tuple[Sign, ...]:
        """What every load does in the complaint."""
        return tuple(
            self.world.sign(f"S{k}", self.complaint, part.id)
            for k, part in enumerate(loads(self.expert.circuit), 1)
        )

    def answer(self, test: Candidate, name: str, before: int = 0) -> Evidence:
        """What a test shows that has been made ``before`` so many times."""
        asked = f"{test.setup}|{test.instrument}|{test.red}|{test.black}|{test.method}"
        draw = default_rng([self.seed, crc32(asked.encode()), before])
        world = replace(self.world, draw=draw)
        if test.instrument in ("sign", "scan tool"):
            return world.sign(name, test.setup, test.red)
        method = test.method
        ask = Reading(name, test.setup, test.instrument, test.red, test.black, method=method)
        return world.reading(ask)


def misleads(vehicle: Vehicle, item: Evidence, test: Candidate, before: int = 0) -> bool:
    """Whether an answer came from a missed contact, or from exchanged labels."""
    world = replace(vehicle.world, slips=[], misled=[])
    replace(vehicle, world=world).answer(test, item.id, before)
    return bool(world.slips or world.misled)
