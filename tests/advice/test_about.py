"""Reasoning about a large circuit as far as what was seen concerns it."""

from functools import cache

import pytest

from loomwise.advice import next_test
from loomwise.advice.about import LARGE, about
from loomwise.advice.candidates import candidates
from loomwise.advice.expert import Expert, make_expert
from loomwise.advice.next_test import weigh
from loomwise.circuit.model import Circuit
from loomwise.circuit.reader import read_circuit
from loomwise.evidence import Evidence, Reading, Sign
from loomwise.evidence.items import AT_HAND
from loomwise.generate import generate_circuit
from loomwise.setups import Setup, parse_setup
from loomwise.shelf import read_shelf
from loomwise.solver.result import loads
from loomwise.ways import concern
from tests.diagnosis.experts import fresh


def lit() -> Setup:
    """The dipped beams on."""
    return parse_setup(read_shelf("headlamps"), "lights=head")


@cache
def whole() -> Expert:
    """The headlamps, all of them."""
    return make_expert(read_shelf("headlamps"))


@cache
def part() -> Expert:
    """The headlamps as far as the left dipped lamp is concerned."""
    circuit = read_shelf("headlamps")
    return make_expert(circuit, concerned=concern(circuit, ["L1"]))


def test_of_a_small_circuit_everything_is_reasoned_about() -> None:
    """Below a size nothing is left out, whatever was seen."""
    circuit = read_shelf("headlamps")
    assert len(circuit.parts) < LARGE
    assert about(circuit, [Sign("S1", lit(), "L1", "dark")]) is None


EVIDENCE: tuple[Evidence, ...] = (
    Sign("S1", lit(), "L1", "dark", "yes"),
    Reading("R1", lit(), "voltmeter", "L1.1", "BAT.-", 12.3),
    Reading("R2", lit(), "voltmeter", "L1.2", "BAT.-", 12.2),
)


@pytest.mark.parametrize("count", [1, 2, 3])
def test_what_is_left_out_takes_nothing_from_the_suspects(count: int) -> None:
    """One lamp is dark: the unit of every suspect on its ways has the share that it has when the
    whole circuit is looked at; what is left out is with "nothing wrong"."""
    few, all_of_it = (fresh(e).rank(EVIDENCE[:count]) for e in (part(), whole()))
    near = {u for f in part().table.faults for u in f.unit.split(" + ")}
    for unit in near:
        assert few.units.get(unit, 0.0) == pytest.approx(all_of_it.units.get(unit, 0.0), abs=0.02)
    assert few.leader[0] == all_of_it.leader[0]


def test_only_what_is_concerned_is_proposed() -> None:
    """No test leads to another circuit's plug, fuse or lamp; those of its own are all there."""
    expert = part()
    tests = candidates(expert, EVIDENCE[:1], lit())
    assert {t.red for t in tests} <= set(expert.concerned.names if expert.concerned else ())
    assert not {"F3.2", "L2.1"} & {t.red for t in tests}
    assert {"F1.2", "L1", "L1.1"} <= {t.red for t in tests}


@cache
def large() -> Circuit:
    """An invented vehicle of 150 parts."""
    return read_circuit(generate_circuit(150, 1), "generated.yaml")


def test_a_large_circuit_is_made_ready_for_what_was_seen() -> None:
    """Of 150 parts with one dark lamp some thousand hypotheses and a few setups are left of ten
    times as many; nothing seen, nothing is reasoned about."""
    circuit = large()
    lamp = next(part for part in loads(circuit) if part.kind == "lamp")
    seen = about(circuit, [Sign("S1", Setup(()), lamp.id, "dark")])
    assert seen is not None and lamp.id in seen
    assert 5 * len(seen.names) < sum(map(len, (circuit.places, circuit.parts, circuit.segments)))
    assert not concern(circuit, []).names & circuit.places.keys()


def test_a_reading_on_its_ways_changes_nothing_of_what_it_is_about() -> None:
    """Measuring where the complaint leads anyway needs nothing to be made ready anew."""
    circuit = large()
    lamp = next(part for part in loads(circuit) if part.kind == "lamp")
    sign = Sign("S1", Setup(()), lamp.id, "dark")
    place = f"{lamp.id}.{circuit.parts[lamp.id].pins[0]}"
    reading = Reading("R1", Setup(()), "voltmeter", place, "BAT.-", 0.0)
    assert about(circuit, [sign]) == about(circuit, [sign, reading])


def test_what_is_not_weighed_would_not_be_proposed_first(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of a large circuit few ways to take something apart are weighed, the quickest that might pay;
    the best test is the one it would be if all were."""
    expert = part()
    for count in (1, 2, 3):
        items = EVIDENCE[:count]
        ranking = fresh(expert).rank(items)
        few = weigh(expert, items, ranking, lit(), frozenset(), AT_HAND)
        with monkeypatch.context() as all_of_them:
            all_of_them.setattr(next_test, "_not_too_long", lambda *a: list(range(len(a[2]))))
            every = weigh(expert, items, ranking, lit(), frozenset(), AT_HAND)
        assert len(few.tests) < len(every.tests)
        assert few.tests[few.order[0]] == every.tests[every.order[0]]
        assert {t for t in every.tests if not t.setup.undone} <= set(few.tests)
        undone = {t.setup for t in few.tests if t.setup.undone}
        assert len(undone) <= next_test.MOST_UNDONE
