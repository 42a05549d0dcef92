"""Slips in the entries of the newer kinds are told, and none of them brings the reader down."""

import random
from collections.abc import Iterator

import pytest

from loomwise.circuit.reader import read_circuit
from loomwise.errors import LoomwiseError
from loomwise.solver.result import plant_of, solve_states
from tests.contract.examples import CASES, example

SLIPS = [
    ("lights", "D1: {kind: LED", "D1: {kind: LED, forward: 12 V", "would never light on 12 V"),
    ("lights", "while: [on]", "while: [onn]", "'flash' cannot be 'onn'"),
    ("lights", "set by: flash,", "set by: flesh,", "there is no control 'flesh'"),
    ("buses", "L: {role: can-l}", "L: {role: plain}", "has not as many pins of role 'can-l'"),
    ("buses", "set by: bus}", "set by: bos}", "there is no control 'bos'"),
    ("buses", "recessive, dominant]", "recessive, high]", "a bus stands at traffic, recessive"),
    ("sensors", "{role: sensor supply}", "{role: sensor supply, to: 0 V}", "of 0 V is none"),
    ("sensors", "shares: {up: 15 %, down: 80 %}", "shares: {up: 15 %}", "no share for pedal ="),
    ("sensors", "temperatures: {cold: 0 C", "temperatures: {cold: 900 C", "write -40 °C to 150 °C"),
    ("starting and charging", "metal: engine", "metal: wood", "'metal' cannot be 'wood'"),
    ("second battery", "split-charge relay", "split-charge relay, drop out: 14 V",
     "would drop out at 14 V"),
    ("breakers", "reset: held", "reset: sometimes", "'reset' cannot be 'sometimes'"),
    ("outputs", "duty: 40 %", "duty: 140 %", "140 % is out of range"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "old", "new", "says"), SLIPS, ids=[s[2][:40] for s in SLIPS])
def test_slips_of_the_newer_kinds(name: str, old: str, new: str, says: str) -> None:
    """Each slip is told in words with its line."""
    text = example(name).text
    assert old in text
    with pytest.raises(LoomwiseError) as caught:
        read_circuit(text.replace(old, new, 1), "slip.yaml")
    assert says in str(caught.value)


def _mutated(seed: int) -> Iterator[str]:
    """Every example with a few words dropped, doubled or taken from elsewhere."""
    draw = random.Random(seed)
    for name in CASES:
        words = example(name).text.split(" ")
        for _ in range(draw.randint(1, 3)):
            k = draw.randrange(len(words))
            change = draw.choice(("drop", "double", "swap"))
            other = words[draw.randrange(len(words))]
            words[k] = {"drop": "", "double": f"{words[k]} {words[k]}", "swap": other}[change]
        yield " ".join(words)


@pytest.mark.parametrize("seed", range(12))
def test_spoilt_files_are_refused_or_solved(seed: int) -> None:
    """Whatever words are lost or doubled, the file is refused with a reason, or works."""
    for text in _mutated(seed):
        try:
            circuit = read_circuit(text, "spoilt.yaml")
            rest = {c.name: c.rest for c in circuit.controls.values()}
            solve_states(circuit, plant_of(circuit), rest)
        except LoomwiseError:
            continue
