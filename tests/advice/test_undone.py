"""Tests that take longer to set up: swapped relays, lamps as fuse or load, grounds off, cuts."""

from loomwise.advice.candidates import LATE, Candidate, candidates, minus_of
from loomwise.advice.cautions import CUT, LOADED, cautions_for
from loomwise.advice.costs import minutes_of
from loomwise.advice.nets import module_nets
from loomwise.advice.say import changes_between
from loomwise.evidence import Evidence, Sign
from loomwise.setups import parse_setup
from loomwise.shelf import read_shelf
from tests.diagnosis.experts import fans_complaint, fans_expert, horn_dead, horn_expert, pressed

USUAL = ("out", "apart", "new")


def _undone(evidence: tuple[Evidence, ...], *kinds: str) -> list[Candidate]:
    found = candidates(horn_expert(), evidence, pressed())
    return [c for c in found if {u.what for u in c.setup.undone} & set(kinds)]


def test_a_relay_is_swapped_and_a_lamp_put_in_place_of_the_fuse() -> None:
    """Both are on offer once the complaint has been seen, and not before."""
    assert not _undone((), "swapped", "lamp")
    found = _undone((horn_dead(),), "swapped", "lamp")
    said = {str(u) for c in found for u in c.setup.undone if u.what not in USUAL}
    assert "K1 swapped" in said
    assert any(words.startswith("lamp F4.1") for words in said)
    assert any(words.endswith(f"to {minus_of(read_shelf('horn'))}") for words in said)


def test_grounds_come_off_and_wires_are_cut_only_late() -> None:
    """Nobody cuts a wire before the quick tests have been made."""
    one = horn_dead()
    many = tuple(Sign(f"s{k}", pressed(), "H1", "silent", "yes") for k in range(LATE))
    assert not _undone((one,), "cut", "off")
    late = _undone(many, "cut", "off")
    assert {u.what for c in late for u in c.setup.undone} >= {"cut", "off"}
    assert not any(minus_of(horn_expert().circuit) == c.red for c in late)


def test_what_is_dear_takes_its_time() -> None:
    """A cut costs more minutes than a swap, a swap more than a look at the horn."""
    many = tuple(Sign(f"s{k}", pressed(), "H1", "silent", "yes") for k in range(LATE))
    circuit = horn_expert().circuit
    cut, swap = (_undone(many, what)[0] for what in ("cut", "swapped"))
    minutes = [minutes_of(circuit, c, pressed(), frozenset())[0] for c in (cut, swap)]
    assert minutes[0] > 15 > minutes[1] > 1
    assert CUT in cautions_for(circuit, cut)


def test_no_lamp_on_the_wires_of_a_module() -> None:
    """A lamp as load never hangs on a module's output or input."""
    expert = fans_expert()
    barred = module_nets(expert.circuit)
    complaint = fans_complaint()
    found = candidates(expert, complaint, complaint[0].setup)
    lamps = [u for c in found for u in c.setup.undone if u.what == "lamp"]
    assert lamps
    assert not [u for u in lamps if barred & set(u.places)]


def test_steps_are_told_in_words() -> None:
    """What to do is said before the test, with the caution."""
    circuit = horn_expert().circuit
    lamp = next(c for c in _undone((horn_dead(),), "lamp") if "F4" in c.red)
    assert "fit a lamp F4.1 to F4.2" in changes_between(circuit, pressed(), lamp.setup)
    assert LOADED in cautions_for(circuit, lamp)


def test_an_airbag_is_as_near_with_the_key_off() -> None:
    """What the circuit warns of is said before a probe goes in, with every control at rest too."""
    circuit = horn_expert().circuit
    at_rest = Candidate(
        parse_setup(circuit, ""), "voltmeter", "C5.1.a", minus_of(circuit), "back-probe"
    )
    assert set(circuit.cautions) <= set(cautions_for(circuit, at_rest))
