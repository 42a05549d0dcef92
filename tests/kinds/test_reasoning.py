"""The new kinds in the reasoning: signs and readings of them name the fault."""

import pytest

from loomwise.advice.candidates import candidates
from loomwise.advice.expert import make_expert
from loomwise.advice.say import title_of
from loomwise.evidence import Evidence, Reading, Sign
from loomwise.setups import parse_setup
from tests.contract.examples import example

Seen = tuple[str, str, str]
"""Setup, what, and the word or the volts against battery minus."""

JOBS: dict[str, tuple[str, tuple[Seen, ...], str]] = {
    "hold-in winding": (
        "starting and charging",
        (("key=start", "K1", "chatters"), ("key=start", "K1.31", "0.02"),
         ("key=start", "BAT.+", "11.9"), ("key=off", "K1", "released")),
        "K1 hold-in winding open",
    ),
    "terminator": (
        "buses",
        (("bus=dominant", "A1.H", "3.93"), ("bus=dominant", "A1.L", "1.07"),
         ("bus=recessive", "A1.H", "2.5")),
        "A1.H terminator missing",
    ),
    "worn pedal": (
        "sensors",
        (("pedal=up", "P1.S", "0.1"), ("pedal=down", "P1.S", "3.97"), ("pedal=up", "P1.+", "5.0"),
         ("pedal=up", "A1.V5", "5.0")),
        "P1.up worn spot",
    ),
    "stop filament": (
        "lights",
        (("flash=on", "L1.1", "dark"), ("flash=on", "L1.2", "bright"), ("flash=on", "D1", "bright"),
         ("flash=on", "L1.1 volts", "11.9"), ("flash=on", "L1.31", "0.02")),
        "L1.1 open",
    ),
    "overcharging": (
        "second battery",
        (("engine=running", "BAT.+", "15.6"), ("engine=running", "AL1.B+", "15.7"),
         ("engine=stopped", "BAT.+", "12.0")),
        "AL1 high",
    ),
}  # fmt: skip


def _evidence(name: str, seen: tuple[Seen, ...]) -> list[Evidence]:
    circuit, found = example(name), list[Evidence]()
    for n, (controls, what, value) in enumerate(seen):
        setup = parse_setup(circuit, controls)
        if value.replace(".", "").isdigit():
            place = what.removesuffix(" volts")
            reading = Reading(
                f"r{n}", setup, "voltmeter", place, "BAT.-", float(value), method="post",
                complaint="yes",
            )  # fmt: skip
            found.append(reading)
        else:
            found.append(Sign(f"s{n}", setup, what, value, "yes"))
    return found


@pytest.mark.parametrize("job", JOBS)
def test_the_fault_is_among_the_leading_ones(job: str) -> None:
    """What is heard, seen and measured leads to the fault, or to one no reading tells from it."""
    name, seen, fault = JOBS[job]
    expert = make_expert(example(name))
    ranking = expert.judge.fresh().rank(_evidence(name, seen))
    groups = [s.fault.group for s in ranking.suspects[:6]]
    assert fault in groups, groups
    assert ranking.not_explained < 0.5


@pytest.mark.parametrize("name", ["lights", "starting and charging", "sensors"])
def test_every_proposed_test_can_be_said(name: str) -> None:
    """Loads named by a pin, solenoids to be felt and live data all have a line of their own."""
    circuit = example(name)
    expert = make_expert(circuit)
    setup = parse_setup(circuit, "")
    titles = {title_of(circuit, c) for c in candidates(expert, [], setup)}
    assert all(titles)
    if name == "lights":
        assert "watch lamp L1.1" in titles or "watch two-filament lamp L1.1" in titles
