"""A ripple meter on a generator, a duty meter on pulsed outputs."""

from functools import cache

import numpy as np
import pytest

from loomwise.advice.candidates import candidates
from loomwise.advice.expert import Expert, make_expert
from loomwise.diagnosis.meters import AT_TIPS
from loomwise.diagnosis.predict import probe_nodes
from loomwise.diagnosis.ranking import Ranking
from loomwise.diagnosis.waves import TRIGGERS_V
from loomwise.edits import AddOhm, Edit, Open
from loomwise.evidence import Evidence, Reading, Sign
from loomwise.setups import parse_setup
from loomwise.shelf import read_shelf
from loomwise.solver.waves import duty_of, ripple_of
from tests.contract.examples import example
from tests.diagnosis.experts import vehicle
from tests.solver.bench import solve


@cache
def shelf_expert(name: str) -> Expert:
    """A circuit of the shelf made ready."""
    return make_expert(read_shelf(name))


CHARGING, RUNNING = "starting-charging", "engine=running"
AT_B, POSTS = ("AL1.B+", "AL1.B-"), ("BAT.+", "BAT.-")


def _ripple(controls: str, tips: tuple[str, str], *edits: Edit) -> float:
    circuit = read_shelf(CHARGING)
    solved = solve(circuit, controls, edits)[0].solution
    assert solved is not None
    return ripple_of(solved, circuit, *tips)


def test_no_ripple_from_a_generator_that_stands() -> None:
    """With the engine off, or its exciter wire off and so no charge, nothing ripples."""
    assert _ripple("engine=stopped", POSTS) < 1e-6
    assert _ripple(RUNNING, AT_B, Open("AL1.diodes"), Open("AL1.exciter")) < 1e-6


def test_a_bad_lead_lets_more_ripple_stand_at_the_generator() -> None:
    """The battery takes the ripple; behind a bad charging lead it takes less, and B+ shows more."""
    lead = next(s.id for s in read_shelf(CHARGING).segments.values() if "AL1.B+" in (s.a, s.b))
    bad = AddOhm(lead, 0.05)
    assert _ripple(RUNNING, AT_B, bad) > 2 * _ripple(RUNNING, AT_B)
    assert _ripple(RUNNING, POSTS, bad) < _ripple(RUNNING, POSTS)


@pytest.mark.parametrize(
    ("place", "controls", "high"), [("A1.PH", "A1.PH=on", 0.40), ("A1.PL", "A1.PL=on", 0.75)]
)
def test_duty_is_the_time_a_place_is_high(place: str, controls: str, high: float) -> None:
    """40 % from the high side is high 40 % of the time; pulled low a quarter of it, 75 %."""
    circuit = example("outputs")
    solved = solve(circuit, controls)[0].solution
    assert solved is not None
    swing, share = duty_of(solved, circuit, place, "BAT.-")
    assert share == pytest.approx(high)
    assert 11.0 < swing < 12.5


def test_no_pulses_where_none_arrive() -> None:
    """Beyond a broken wire, and from an output that is off, a meter counts nothing."""
    circuit = example("outputs")
    for controls, edits in (("A1.PH=on", [Open("A1.PH-L1.1")]), ("A1.PH=off", [])):
        solved = solve(circuit, controls, edits)[0].solution
        assert solved is not None
        assert duty_of(solved, circuit, "L1.1", "BAT.-")[0] < 0.1


def test_the_table_shows_what_the_single_solution_shows() -> None:
    """Every fault's ripple and duty, worked out side by side, are those of its own circuit."""
    for name, controls, tips, meter in (
        (CHARGING, RUNNING, AT_B, "ripple meter"),
        ("pwm-fan", "key=run, coolant=hot", ("A1.P2", "BAT.-"), "duty meter"),
    ):
        expert = shelf_expert(name)
        table, setup = expert.table, parse_setup(expert.circuit, controls)
        rows = np.arange(0, len(table), 7)
        numbers = AT_TIPS[meter](table, setup, rows, probe_nodes(table, [tips]))
        for k, row in enumerate(rows[:40].tolist()):
            edits = (*table.fault(row).edits, *table.effects[row])
            points = solve(expert.circuit, controls, edits)
            solved = points[0].solution
            if len(points) > 1 or solved is None or solved.at.chatter[0]:
                continue
            if meter == "ripple meter":
                known = numbers.variance[k, 0] < 0.05  # a generator at its limit is not foretold
                ours = ripple_of(solved, expert.circuit, *tips)
                assert not known or numbers.mean[k, 0] == pytest.approx(ours, abs=2e-3)
                continue
            swing, share = duty_of(solved, expert.circuit, *tips)
            if swing > TRIGGERS_V and not numbers.floating[k, 0]:
                assert numbers.mean[k, 0] == pytest.approx(100 * share, abs=0.1)


def _ranked(expert: Expert, *items: Evidence) -> Ranking:
    return expert.judge.fresh().rank(items)


def _weak_charge(expert: Expert) -> tuple[Evidence, ...]:
    setup = parse_setup(expert.circuit, RUNNING)
    posts = Reading("r1", setup, "voltmeter", *POSTS, 13.7, method="post", complaint="yes")
    return (posts,)


def test_ripple_convicts_a_diode() -> None:
    """A little low at the posts may be much; half a volt of ripple at B+ is a diode, or a battery
    that no longer takes it."""
    expert = shelf_expert(CHARGING)
    low = _weak_charge(expert)
    setup = parse_setup(expert.circuit, RUNNING)
    much, little = (
        Reading("r2", setup, "ripple meter", *AT_B, v, method="open", complaint="yes")
        for v in (0.48, 0.07)
    )
    before, after, without = (_ranked(expert, *low, *m) for m in ((), (much,), (little,)))

    def share(ranking: Ranking) -> float:
        return sum(s.share for s in ranking.suspects if s.fault and s.fault.id == "AL1 ripple")

    assert share(after) > 10 * share(before) > 20 * share(without)
    assert after.suspects[0].unit == "generator"


def test_ripple_and_duty_are_proposed_where_they_tell_something() -> None:
    """Both are among the tests that could be made, ripple only while the generator turns."""
    expert = shelf_expert(CHARGING)
    rest = expert.states[0]
    tests = [c for c in candidates(expert, (), rest) if c.instrument == "ripple meter"]
    assert {(c.red, c.black) for c in tests} == {AT_B, POSTS}
    assert all(dict(c.setup.controls)["engine"] == "running" for c in tests)
    fan = shelf_expert("pwm-fan")
    duty = {c.red for c in candidates(fan, (), fan.states[0]) if c.instrument == "duty meter"}
    assert "C3.S.a" in duty
    assert "F1.2" not in duty


def test_a_duty_reading_clears_the_module() -> None:
    """The fan off, its pulses arriving: the module that sends them is no longer suspected."""
    expert = shelf_expert("pwm-fan")
    setup = parse_setup(expert.circuit, "key=run, coolant=hot")
    off = Sign("s1", setup, "M1", "off", "yes")
    pulses = Reading("r1", setup, "duty meter", "A1.P2", "BAT.-", 25.0, complaint="yes")
    none = Reading("r1", setup, "duty meter", "A1.P2", "BAT.-", None, "steady", complaint="yes")
    unit = expert.circuit.parts["A1"].unit
    seen, unseen = (_ranked(expert, off, e) for e in (pulses, none))
    assert _unit(seen, unit) < _unit(unseen, unit) / 3


def _unit(ranking: Ranking, unit: str) -> float:
    return sum(s.share for s in ranking.suspects if s.unit == unit)


def test_a_drawn_vehicle_answers() -> None:
    """A simulated vehicle shows ripple when a diode is open, and pulses where they arrive."""
    expert = shelf_expert(CHARGING)
    world = vehicle(expert, "AL1 ripple")
    ask = Reading("r1", parse_setup(expert.circuit, RUNNING), "ripple meter", *AT_B)
    assert (world.reading(ask).value or 0.0) > 0.15
    fan = vehicle(shelf_expert("pwm-fan"), "M1 open winding")
    setup = parse_setup(fan.circuit, "key=run, coolant=hot")
    pulses = fan.reading(Reading("r1", setup, "duty meter", "A1.P2", "BAT.-"))
    cold = parse_setup(fan.circuit, "key=run")
    none = fan.reading(Reading("r1", cold, "duty meter", "A1.P2", "BAT.-"))
    assert (pulses.value, none.word) == (pytest.approx(25.0, abs=6), "steady")
