"""Sensitivities and source resistance, against rows changed by hand and solved again."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from loomwise.circuit.model import BODY
from loomwise.diagnosis.answers import responses
from loomwise.diagnosis.table import SPREADS, Table
from loomwise.edits import Bridge
from loomwise.faults import Fault
from loomwise.setups import Setup, parse_setup
from loomwise.shelf import read_shelf
from loomwise.solver.engines import Direct
from loomwise.solver.lines import jacobian, lines
from loomwise.solver.network import Floats, Ints
from loomwise.solver.respond import Named, Response, tips
from loomwise.solver.result import plant_of
from loomwise.solver.rows import Rows, States, prepared
from tests.reference.shelf_cases import drawn_faults, faults_of

SETUPS = {
    "radiator-fans": ["key=run, coolant=hot", "key=run, coolant=warm"],
    "headlamps": ["lights=head, stalk=main"],
    "horn": ["horn=pressed"],
}
CASES = [(name, words) for name, listed in SETUPS.items() for words in listed]
SMALL = 1e-4
"""Relative change (or volts of EMF) made by hand: far above rounding, far below curvature."""


class _Solved:
    """A table's rows of some faults at rest in one setup, states frozen from here on."""

    def __init__(self, name: str, words: str) -> None:
        circuit = read_shelf(name)
        graded = [f for f in faults_of(name) if f.spread is not None][::100]
        faults: list[Fault] = [*drawn_faults(faults_of(name), 1, 3), *graded]
        self.table = Table(circuit, plant_of(circuit), tuple(faults), ())
        self.setup: Setup = parse_setup(circuit, words)
        rest = self.table.at(self.setup)
        everyone = np.flatnonzero(~rest.chatter)
        self.rows: Rows = self.table.rows_at(self.setup, everyone)
        self.state: States = rest.state[everyone]
        self.v: Floats = Direct().solve(self.table.net, self.rows, self.state)
        places = list(circuit.places)[:: max(1, len(circuit.places) // 12)]
        index = self.table.net.node_index
        self.probes: Ints = np.array([[index[p], index[BODY]] for p in places])
        self.response: Response = responses(self.table, self.setup, everyone, self.probes)
        self.everyone = everyone

    def seen(self, rows: Rows) -> Floats:
        """Probe voltages (f, p) of changed rows, states as they were."""
        v = Direct().solve(self.table.net, rows, self.state)
        return v[:, self.probes[:, 0]] - v[:, self.probes[:, 1]]

    def finite(self, up: Rows, down: Rows) -> Floats:
        """Change of the probes per unit, from both sides."""
        return (self.seen(up) - self.seen(down)) / (2 * SMALL)


@pytest.fixture(scope="module", params=CASES, ids=lambda c: f"{c[0]}: {c[1]}")
def solved(request: pytest.FixtureRequest) -> _Solved:
    """One circuit in one setup."""
    return _Solved(*request.param)


def _moved(rows: Rows, value: Named, by: float) -> Rows:
    """Rows with a named value a little higher: more ohms, or more EMF."""
    g_on, g_off, scale, emf = (x.copy() for x in (rows.g_on, rows.g_off, rows.scale, rows.emf))
    if value.emf:
        emf[:, value.branches] += by
    else:
        for array in (g_on, g_off, scale):
            array[:, value.branches] /= 1.0 + by
    return _dense(rows, g_on, g_off, emf, scale)


def _dense(rows: Rows, g_on: Floats, g_off: Floats, emf: Floats, scale: Floats) -> Rows:
    """The rows with every branch's values written out."""
    edited = np.stack([g_on, g_off, emf, scale], axis=2)
    at = np.broadcast_to(np.arange(edited.shape[1]), edited.shape[:2])
    return replace(rows, drawn=edited[0].T, at=at, edited=edited)


def _assert_close(ours: Floats, finite: Floats, solved: _Solved) -> None:
    """Where a place floats (over 1 Mohm) nobody reads volts, and none are compared."""
    firm = solved.response.source_ohm < 1e6
    assert firm.any()
    assert np.abs(ours - finite)[firm].max() < 2e-3 + 1e-3 * np.abs(finite[firm]).max()


def test_named_values(solved: _Solved) -> None:
    """A probe's answer to a weaker battery or a warmer coil is what solving again gives."""
    assert {n.emf for n in solved.table.named} == {True, False}
    for k, value in enumerate(solved.table.named):
        up, down = (_moved(solved.rows, value, sign * SMALL) for sign in (1, -1))
        _assert_close(solved.response.sensitivity[:, :, k], solved.finite(up, down), solved)


def test_a_faults_own_resistance(solved: _Solved) -> None:
    """What a probe would show at a little more corrosion is what solving again gives."""
    up, down = (_more_of_the_fault(solved, sign * SMALL) for sign in (1, -1))
    _assert_close(solved.response.sensitivity[:, :, -1], solved.finite(up, down), solved)
    moves = np.abs(solved.response.sensitivity[:, :, -1]).max(axis=1)
    assert (moves > 1e-3).any()


def _more_of_the_fault(solved: _Solved, by_sd: float) -> Rows:
    """Rows whose own unknown resistance is ``by_sd`` standard deviations higher."""
    g_on = solved.rows.g_on.copy()
    net = solved.table.net
    for f, h in enumerate(solved.everyone):
        spread = solved.table.fault(int(h)).spread
        if spread is None:
            continue
        b = net.branch_index[spread.branch]
        more = spread.middle_ohm * (np.exp(by_sd * spread.log_sd) - 1.0)
        g_on[f, b] = 1.0 / (1.0 / g_on[f, b] + more)
    rows = solved.rows
    return _dense(rows, g_on, rows.g_off, rows.emf, rows.scale)


def test_source_resistance(solved: _Solved) -> None:
    """A meter of known resistance lowers a place by its share: that gives the source resistance."""
    net = solved.table.net
    meter_ohm = 1e6
    open_v = solved.v[:, solved.probes[:, 0]]
    for p, (node, _) in enumerate(solved.probes):
        bridge = Bridge(net.nodes[node], BODY, meter_ohm)
        everyone = np.zeros(len(net.devices), dtype=np.int8)
        wider, _ = prepared(net, everyone, [(bridge,)])
        loaded = _with_bridge(solved.rows, len(wider.branches) - len(net.branches), meter_ohm)
        if len(loaded.g_on[0]) == len(net.branches):
            continue  # a fault has this bridge already
        v = Direct().solve(wider, loaded, solved.state)[:, node]
        source = solved.response.source_ohm[:, p]
        expected = open_v[:, p] * meter_ohm / (meter_ohm + source)
        assert np.abs(v - expected).max() < 1e-3


def _with_bridge(rows: Rows, fresh: int, ohm: float) -> Rows:
    """The same rows with ``fresh`` more branches at the end, bridges of ``ohm``."""

    def wide(values: Floats, fill: float) -> Floats:
        return np.hstack([values, np.full((len(values), fresh), fill)])

    return _dense(
        rows, wide(rows.g_on, 1.0 / ohm), wide(rows.g_off, 0.0), wide(rows.emf, 0.0),
        wide(rows.scale, 1.0),
    )  # fmt: skip


def test_spreads_name_every_kind_of_value() -> None:
    """The spreads table has volts for the EMF and shares for the rest, none of them zero."""
    assert set(SPREADS) == {"emf", "battery", "conductors", "other"}
    assert all(sd > 0 for sd in SPREADS.values())


@pytest.mark.parametrize("apart", ["C1 apart", "C2 apart", "C5 apart"])
def test_resistances_at_a_parted_plug_are_those_of_each_row_s_own_matrix(apart: str) -> None:
    """Across an open contact behind a parted plug an ohmmeter shows OL, not a rounding error."""
    circuit = read_shelf("radiator-fans")
    faults = [f for f in faults_of("radiator-fans") if f.mode.endswith("open")]
    table = Table(circuit, plant_of(circuit), tuple(faults), ())
    setup, everyone = parse_setup(circuit, "", [apart]), np.arange(len(faults) + 1)
    connector = apart.split()[0]
    sides = [f"{connector}.{c}.a" for c in circuit.connectors[connector].cavities[:4]]
    index = table.net.node_index
    probes = np.array([[index[a], index[b]] for a, b in pairwise(sides)])
    quick = responses(table, setup, everyone, probes).source_ohm
    rest = table.at(setup)
    made = table.rows_at(setup, everyone)
    at = lines(table.net, made, rest.state[everyone])
    z = np.linalg.inv(jacobian(table.net, at, np.asarray(rest.v[everyone])))
    tip = tips(table.net, probes)[:, :-1]
    exact = np.einsum("pn,fnm,pm->fp", tip, z, tip)
    assert np.allclose(np.minimum(quick, 2e7), np.minimum(exact, 2e7), rtol=1e-3, atol=1e-3)
