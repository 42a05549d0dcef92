"""Several faults at once, one cause at one place, and drawings that are wrong in function."""

from collections.abc import Callable

import numpy as np
import pytest

from loomwise.advice.expert import Expert, make_expert
from loomwise.diagnosis.composite import composed, without
from loomwise.evidence import Evidence, Sign
from loomwise.faults import Fault
from loomwise.setups import Setup, parse_setup
from loomwise.shelf import read_shelf
from loomwise.solver.result import loads
from loomwise.study.world import Truth, World
from tests.diagnosis.experts import (
    fans_expert,
    fans_high,
    fans_low,
    free,
    fresh,
    horn_expert,
    pressed,
    rank,
    volts,
)


def steady(expert: Expert, *faults: Fault) -> World:
    """A vehicle as drawn but for these faults, with a probe that always touches."""
    whole = composed(faults, 1.0)
    truth = Truth(whole, whole.edits, lambda place: place)
    world = World(expert.circuit, expert.plant, truth, np.random.default_rng(1), missed=0.0)
    world.use(expert.states)
    return world


def seen(world: World, setups: tuple[Setup, ...], *places: tuple[Setup, str]) -> list[Evidence]:
    """What the loads do in some setups, and readings at places against battery minus."""
    signs: list[Evidence] = [
        world.sign(f"s{k}{part.id}", setup, part.id)
        for k, setup in enumerate(setups)
        for part in loads(world.circuit)
    ]
    readings = [
        world.reading(volts(f"r{k}", setup, place, 0.0)) for k, (setup, place) in enumerate(places)
    ]
    return [*signs, *readings]


def fault(expert: Expert, name: str) -> Fault:
    """A fault of the table by its id."""
    return next(f for f in expert.table.faults if f.id == name)


def test_two_faults_are_found_where_no_single_one_fits() -> None:
    """The left fan's winding open and the right fan's ground contact too: both are named."""
    expert = fans_expert()
    world = steady(expert, fault(expert, "M1 open winding"), fault(expert, "C4.2 open"))
    places = ("C3.1.b", "C3.2.b", "C4.1.b", "C4.2.b", "C4.2.a", "G1.2", "G1.3")
    evidence = seen(world, (fans_low(), fans_high()), *((fans_high(), p) for p in places))
    ranking = rank(expert, *evidence)
    assert set(list(ranking.units)[:2]) == {"left fan", "contact C4.2"}
    assert min(ranking.units["left fan"], ranking.units["contact C4.2"]) > 0.8
    assert ranking.suspects[0].fault is not None
    assert ranking.suspects[0].fault.mode == "two faults"
    assert ranking.left_likely < 0.2


def test_three_faults_are_looked_for_only_where_they_could_matter() -> None:
    """With a plain single fault no third one is worked out; the bound says what was left."""
    expert = horn_expert()
    judge = fresh(expert)
    silent = Sign("s1", pressed(), "H1", "silent", "yes")
    ranking = judge.rank([silent, volts("r1", pressed(), "C3.1.a", 12.4)])
    counts = {len(s.fault.parts) for s in ranking.suspects if s.fault}
    assert counts <= {0, 2}
    assert 0.0 <= ranking.left_likely <= ranking.left_at_most < 0.2


def test_a_third_fault_is_found_when_two_do_not_do() -> None:
    """Three bulbs burnt out, each with the supply at its socket: all three are named."""
    expert = make_expert(read_shelf("headlamps"))
    world = steady(expert, *(fault(expert, f"{lamp} open") for lamp in ("L1", "L2", "L4")))
    main = parse_setup(expert.circuit, "lights=head, stalk=main")
    places = ("L1.1", "L1.2", "L2.1", "L2.2", "L4.1", "L4.2")
    ranking = rank(expert, *seen(world, (main,), *((main, p) for p in places)))
    lead = ranking.suspects[0].fault
    assert lead is not None and len(lead.parts) == 3
    named = set(list(ranking.units)[:3])
    assert named == {"left dip bulb", "left main bulb", "right main bulb"}


def test_a_plug_that_came_off_is_one_suspect() -> None:
    """Both contacts of C4 open: the plug, before two contacts that failed by themselves."""
    expert = fans_expert()
    world = steady(expert, fault(expert, "C4 apart"))
    evidence = seen(
        world, (fans_low(), fans_high()),
        (fans_high(), "C4.1.a"), (fans_high(), "C4.1.b"), (fans_low(), "C4.1.a"),
    )  # fmt: skip
    ranking = rank(expert, *evidence)
    two = sum(s.share for s in ranking.suspects if s.unit == "contact C4.1 + contact C4.2")
    assert ranking.units["connector C4"] > 3 * two


@pytest.mark.parametrize(
    ("doubt", "unit_rule"),
    [("C3.1xC3.2", lambda units: True), ("K2 NO/NC", lambda units: "fuse box" in units)],
)
def test_a_drawing_wrong_in_function_is_a_doubt_and_no_repair(
    doubt: str, unit_rule: Callable[[dict[str, float]], bool]
) -> None:
    """On a vehicle that is sound but wired otherwise than drawn, no unit is proven bad."""
    expert = fans_expert()
    wired = next(f for f in expert.judge.redrawn.table.faults if f.doubt == doubt)
    world = steady(expert, wired)
    evidence = seen(
        world, (fans_low(), fans_high()),
        (fans_low(), "C3.1.b"), (fans_low(), "C3.2.b"), (fans_high(), "C3.1.b"),
        (fans_high(), "C3.2.b"), (fans_low(), "C1.2.a"), (fans_low(), "C1.1.a"),
    )  # fmt: skip
    ranking = rank(expert, *evidence)
    assert doubt in ranking.doubted
    assert sum(ranking.doubted.values()) > 0.8
    assert max(ranking.units.values()) < 0.99
    assert unit_rule(dict(ranking.units))


def test_what_is_left_of_two_faults_after_a_repair_is_the_other_one() -> None:
    """Taking one part of a composition away leaves the rest, and nothing of a single fault."""
    horn = horn_expert()
    a, b = fault(horn, "H1 open"), fault(horn, "C1.3 open")
    both = composed((a, b), 0.1)
    assert without((both,), ("horn",)) == (composed((b,), 0.0),)
    assert without((composed((a,), 1.0),), ("horn",)) == ()


def test_after_a_first_repair_the_second_fault_is_named() -> None:
    """Two faults, one repaired: readings from before still count, and the other one leads."""
    horn = horn_expert()
    world = steady(horn, fault(horn, "H1 open"), fault(horn, "C1.3 open"))
    places = ("C3.1.a", "K1.87", "C1.3.a", "C1.3.b")
    before = seen(world, (pressed(), free()), *((pressed(), p) for p in places))
    still = Sign("t1", pressed(), "H1", "silent", "yes", repaired=("horn",))
    ranking = rank(horn, *before, still)
    assert ranking.leader[0] == "contact C1.3"
