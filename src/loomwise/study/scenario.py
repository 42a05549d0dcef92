"""What a study plays: how the vehicles differ from the drawing, and who chooses the tests."""

from dataclasses import dataclass
from typing import Literal

from loomwise.errors import InputError
from loomwise.study.world import MISSED

Drawing = Literal["as drawn", "exchanged", "by chance"]
Chooser = Literal["advised", "half-split", "in order"]


@dataclass(frozen=True)
class Scenario:
    """One way to play cases.

    ``tolerance`` is how far a vehicle's values lie from the drawing's, ``missed`` the share of
    readings without contact. ``drawing``: as drawn, one pair of labels exchanged in every case, or
    with the chance that its draughtsman gives. ``faults`` are hidden at once; with
    ``comes_and_goes`` the fault is there in some items only. ``outside`` is the share of truths
    that are none of the hypotheses. ``policy`` chooses the tests.
    """

    name: str
    title: str
    tolerance: float = 0.1
    missed: float = MISSED
    drawing: Drawing = "as drawn"
    faults: int = 1
    comes_and_goes: bool = False
    outside: float = 0.0
    policy: Chooser = "advised"


PLAIN = Scenario("plain", "one fault, values within 10 %, the drawing right")
SCENARIOS = {
    s.name: s
    for s in (
        PLAIN,
        Scenario("rough", "one fault, values within 20 %", tolerance=0.2),
        Scenario("exchanged", "one fault, one pair of labels exchanged", drawing="exchanged"),
        Scenario("redrawn", "one fault, labels exchanged as often as drawn", drawing="by chance"),
        Scenario("doubles", "two faults, played until the complaint is gone", faults=2),
        Scenario("coming", "one fault that comes and goes", comes_and_goes=True),
        Scenario("outside", "one in ten is nothing the program knows", outside=0.1),
        Scenario("half-split", "as plain, tests chosen by half-splitting", policy="half-split"),
        Scenario("in-order", "as plain, the tests in the order of the places", policy="in order"),
    )
}
RIVALS = ("half-split", "in-order")


def scenarios_named(words: str) -> tuple[Scenario, ...]:
    """Scenarios by name, several joined by commas.

    Raises
    ------
    InputError : there is no scenario of that name.
    """
    names = list(dict.fromkeys(w.strip() for w in words.split(",") if w.strip()))
    for name in names:
        if name not in SCENARIOS:
            raise InputError(f"no scenario '{name}'", "study", f"there is {', '.join(SCENARIOS)}")
    return tuple(SCENARIOS[name] for name in names) or (PLAIN,)
