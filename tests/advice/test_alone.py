"""Airbags, ignition, injectors and xenon lamps: nobody is told to measure there."""

import pytest

from loomwise.advice.candidates import candidates
from loomwise.advice.expert import make_expert
from loomwise.circuit.alone import REASONS, left_alone
from loomwise.circuit.model import Circuit
from loomwise.circuit.reader import read_circuit
from loomwise.errors import EvidenceError, FileError, SetupError
from loomwise.evidence import Reading, Sign
from loomwise.evidence.items import checked_reading
from loomwise.setups import make_setup, parse_setup, parse_undoing, undone_edits
from loomwise.shelf import shelf_text
from loomwise.usecases.predict import Question, predict

UNIT = "clock spring:"


def marked(word: str) -> Circuit:
    """The horn, its clock spring marked: it carries the airbag's wires too."""
    lines = shelf_text("horn").splitlines(keepends=True)
    k = next(n for n, line in enumerate(lines) if line.strip().startswith(UNIT))
    lines[k] = lines[k].replace("{", f"{{leave alone: {word}, ", 1)
    return read_circuit("".join(lines), "marked.yaml")


@pytest.mark.parametrize("word", REASONS)
def test_no_test_is_proposed_there(word: str) -> None:
    """No probe, no lamp, no plug apart, no look, no wiggle at what is marked or at its plugs."""
    circuit = marked(word)
    expert = make_expert(circuit)
    pressed = parse_setup(circuit, "horn=pressed")
    seen = [Sign(f"s{k}", pressed, "H1", "silent", "yes" if k else "no") for k in range(6)]
    found = candidates(expert, seen, pressed)
    touched = {
        n.partition(".")[0] for c in found if c.instrument != "sign" for n in (c.red, c.black)
    }
    touched |= {u.target for c in found for u in c.setup.undone}
    assert not touched & {"C4", "C5"}
    assert {"C1", "F4"} <= touched


def test_it_is_still_solved() -> None:
    """The horn works through the marked unit as before; only no probe goes there."""
    circuit = marked("airbag")
    state = predict(circuit, Question("horn=pressed")).states[0]
    assert state.loads["H1"] == "sounds"
    assert not [p for p in state.places if p.reachable and p.place.startswith(("C4", "C5"))]


def test_what_is_asked_there_is_refused_with_the_reason() -> None:
    """A plug of the airbag to part, or a reading at it, is refused, and why is said."""
    circuit = marked("airbag")
    with pytest.raises(SetupError, match="licensed people only"):
        undone_edits(circuit, parse_undoing(circuit, "C4 apart"))
    reading = Reading("r1", make_setup(circuit), "voltmeter", "C4.1.a", "BAT.-", 0.0)
    with pytest.raises(EvidenceError, match=r"C4\.1\.a is left alone"):
        checked_reading(circuit, reading)
    assert not left_alone(circuit, "F4")
    assert left_alone(circuit, "C2.2.b-C4.1.a")


def test_another_word_is_refused() -> None:
    """What is not one of the reasons is told, with those there are."""
    with pytest.raises(FileError, match="airbag"):
        marked("danger")
