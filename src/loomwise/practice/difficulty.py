"""How hard a vehicle is, by what can be measured on it, and one drawn as hard as wished."""

from dataclasses import dataclass

from numpy.random import default_rng

from loomwise.advice.expert import Expert
from loomwise.errors import InputError
from loomwise.practice.path import MOST_TESTS, Path, advised_path, times_asked
from loomwise.practice.vehicle import Vehicle, misleads
from loomwise.study.cases import draw_case, with_sign
from loomwise.study.scenario import Scenario

DIFFICULTIES = ("easy", "middling", "hard")
EASY_TESTS, MIDDLING_TESTS = 5, 8
"""Tests on the advised path up to which a vehicle is easy, and middling. Engineering judgement."""
LONGEST = {"easy": EASY_TESTS + 1, "middling": MIDDLING_TESTS + 1, "hard": MOST_TESTS}
"""No further is a path followed to see that a vehicle is too hard."""
MOST_TRIES = 40
SCENARIOS = {
    "easy": Scenario("easy", "values as drawn within 5 %", tolerance=0.05),
    "middling": Scenario("middling", "values within 10 %"),
    "hard": Scenario("hard", "values within 15 %, more missed contacts, labels exchanged by chance",
                     tolerance=0.15, missed=0.06, drawing="by chance"),
}  # fmt: skip


@dataclass(frozen=True)
class Measured:
    """What makes a vehicle hard: tests on the advised path, answers on it that mislead (a missed
    contact, exchanged labels), and whether something in it chatters."""

    tests: int
    misleading: int
    chatters: bool

    @property
    def difficulty(self) -> str:
        """easy, middling or hard."""
        if self.chatters or self.misleading or self.tests > MIDDLING_TESTS:
            return "hard"
        return "easy" if self.tests <= EASY_TESTS else "middling"


@dataclass(frozen=True)
class Drawn:
    """A vehicle, its advised path, how hard it is, and at which try it was drawn."""

    vehicle: Vehicle
    advised: Path
    measured: Measured
    tried: int


def vehicle_of(expert: Expert, difficulty: str, seed: int, tried: int) -> Vehicle:
    """The vehicle of a seed and try; the same ones give the same vehicle."""
    draw = default_rng([seed, tried])
    world, complaint = draw_case(expert, with_sign(expert), draw, SCENARIOS[difficulty])
    world.chance = 1.0
    return Vehicle(expert, world, complaint, seed)


def measured(vehicle: Vehicle, advised: Path) -> Measured:
    """How hard a vehicle is."""
    misleading = sum(
        misleads(vehicle, s.item, s.test, times_asked(advised.steps[:k], s.test))
        for k, s in enumerate(advised.steps)
    )
    return Measured(len(advised.steps), misleading, _chatters(vehicle))


def _chatters(vehicle: Vehicle) -> bool:
    return any(bool(vehicle.world.solve(s)[2].chatter[0]) for s in vehicle.expert.states)


def draw_vehicle(expert: Expert, difficulty: str, seed: int) -> Drawn:
    """A vehicle as hard as wished: the first one drawn that is, and that the advice can solve.

    Raises
    ------
    InputError : there is no such difficulty, or the circuit gives no vehicle as hard as that.
    """
    if difficulty not in DIFFICULTIES:
        hint = f"there is {', '.join(DIFFICULTIES)}"
        raise InputError(f"there is no difficulty '{difficulty[:40]}'", "practice", hint)
    if not with_sign(expert):
        hint = "choose a circuit with a load that can be watched"
        raise InputError("no fault of this circuit shows", "practice", hint)
    for tried in range(MOST_TRIES):
        vehicle = vehicle_of(expert, difficulty, seed, tried)
        if difficulty != "hard" and _chatters(vehicle):
            continue
        advised = advised_path(vehicle, LONGEST[difficulty])
        found = measured(vehicle, advised)
        if found.difficulty == difficulty and advised.unit in vehicle.world.truth.units:
            return Drawn(vehicle, advised, found, tried)
    raise InputError(
        f"no {difficulty} vehicle in {MOST_TRIES} tries", "practice",
        "choose another difficulty, another circuit or another seed",
    )  # fmt: skip
