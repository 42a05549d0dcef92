"""Laws over random networks of resistors and sources."""

from dataclasses import replace

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from loomwise.circuit.model import BODY
from loomwise.solver.engines import Direct, LowRank
from tests.solver.small import Element, network_of, solve_elements, solve_rows

OHMS = st.floats(-2.0, 4.0).map(lambda p: float(10.0**p))
VOLTS = st.floats(-30.0, 30.0)


@st.composite
def resistor_networks(draw: st.DrawFn) -> list[Element]:
    """A tree from the body, so that everything is connected, and some resistors across it."""
    nodes = [BODY, *"abcdef"[: draw(st.integers(2, 6))]]
    pairs = [(nodes[k], nodes[draw(st.integers(0, k - 1))]) for k in range(1, len(nodes))]
    ends = st.tuples(st.sampled_from(nodes), st.sampled_from(nodes))
    pairs += [p for p in draw(st.lists(ends, max_size=6)) if p[0] != p[1]]
    return [Element(f"R{k}", "R", draw(OHMS), a, b) for k, (a, b) in enumerate(pairs)]


def _source(name: str, volts: float, plus: str) -> Element:
    return Element(name, "V", volts, plus, BODY)


@given(resistor_networks(), VOLTS, VOLTS)
def test_laws(resistors: list[Element], one_v: float, other_v: float) -> None:
    """Any network of resistors and sources: currents sum to zero, powers balance."""
    solve_elements([*resistors, _source("A", one_v, "a"), _source("B", other_v, "b")])


@given(resistor_networks(), VOLTS, VOLTS)
def test_superposition(resistors: list[Element], one_v: float, other_v: float) -> None:
    """Two sources together give the sum of what each gives alone, the other shorted."""
    both, first, second = (
        solve_elements([*resistors, _source("A", p, "a"), _source("B", q, "b")])
        for p, q in ((one_v, other_v), (one_v, 0.0), (0.0, other_v))
    )
    for e in resistors:
        assert abs(both.amps[e.name] - first.amps[e.name] - second.amps[e.name]) < 1e-8 * 3000


@given(resistor_networks(), st.floats(0.1, 30.0), st.data(), OHMS)
def test_more_resistance_never_raises_the_current(
    resistors: list[Element], volts: float, data: st.DataObject, more_ohm: float
) -> None:
    """Corrosion anywhere never makes the battery give more, nor its own wire carry more."""
    k = data.draw(st.integers(0, len(resistors) - 1))
    worse = [*resistors]
    worse[k] = replace(resistors[k], value=resistors[k].value + more_ohm)
    source = _source("B", volts, "a")
    before, after = (solve_elements([*r, source]) for r in (resistors, worse))
    rounding = 1e-9 * abs(before.amps["B"]) + 1e-12
    assert -after.amps["B"] <= -before.amps["B"] + rounding
    name = resistors[k].name
    assert abs(after.amps[name]) <= abs(before.amps[name]) + rounding


@given(resistor_networks(), VOLTS)
def test_engines_agree(resistors: list[Element], volts: float) -> None:
    """Both engines give the same volts in any network."""
    net = network_of([*resistors, _source("B", volts, "a")])
    quick, direct = (solve_rows(net, engine)[2] for engine in (LowRank(), Direct()))
    assert np.abs(quick - direct).max() < 1e-6
