"""A dark lamp with voltage on it."""

from loomwise.advice.expert import make_expert
from loomwise.evidence import Reading, Sign
from loomwise.evidence.items import LOAD_WORDS
from loomwise.setups import parse_setup
from loomwise.shelf import read_shelf
from loomwise.solver.result import STEPS


def test_a_dark_lamp_with_voltage_on_it_is_the_lamp() -> None:
    """12.3 V on the bulb's feed, 0 V on its ground, and dark: the bulb leads by far."""
    circuit = read_shelf("headlamps")
    expert = make_expert(circuit)
    setup = parse_setup(circuit, "lights=head")
    evidence = [
        Sign("S1", setup, "L1", "dark", "yes"),
        Sign("S2", setup, "L3", "bright", "yes"),
        Reading("R1", setup, "voltmeter", "L1.1", "BAT.-", 12.3, complaint="yes"),
        Reading("R2", setup, "voltmeter", "L1.2", "BAT.-", 0.02, complaint="yes"),
    ]
    ranking = expert.judge.rank(evidence)
    assert ranking.leader[0] == circuit.parts["L1"].unit
    assert ranking.leader[1] > 0.9


def test_words_of_loads_are_those_of_the_steps() -> None:
    """What can be said of a load is what the solver can make it do, and that it goes on and off."""
    for kind, words in LOAD_WORDS.items():
        assert words == (*(word for _, word in STEPS[kind]), "on and off")
