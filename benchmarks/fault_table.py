"""Single-fault tables by our batch route and by ngspice's library.

Two tables: the radiator fans with every fault and undoing, and an invented circuit of 150 parts
with 4,000 faults in 80 setups. Ours: ``diagnosis.table.Table`` with a cold engine; time includes
compiling rows, finding device states (several solves a case), and reading 60 places. ngspice: the
deck is loaded once; for each case every resistance and source that differs from the case before is
altered, then ``op``; device states are frozen to those we found, so it solves each case once. Only
these calls are timed. The floor is the bare arithmetic of as many changes of two branches, read at
as many places, with nothing found out.
"""

import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import cycle, product

import numpy as np

from benchmarks.alterable_deck import Values, alterations, deck, values_of
from benchmarks.ngspice_library import Library
from benchmarks.report import Report
from loomwise.advice.expert import all_setups, distinct
from loomwise.circuit.model import Circuit
from loomwise.circuit.reader import read_circuit
from loomwise.diagnosis.table import Table, currents_over
from loomwise.faults import enumerate_faults
from loomwise.generate import generate_circuit
from loomwise.setups import Setup, make_setup, undoings
from loomwise.shelf import read_shelf
from loomwise.solver.engines import Direct, LowRank
from loomwise.solver.network import Floats, Network
from loomwise.solver.result import plant_of
from loomwise.solver.rows import Rows, States

CIRCUIT = "radiator-fans"
PARTS, SEED, FAULTS, SETUPS, PLACES = 150, 1, 4000, 80, 60
TIDY_AFTER = 200
"""``op`` runs kept by the library before their plots are thrown away (not timed)."""
DIRECT_EVERY = 4
"""Of the cases that ngspice gets, every so many are solved by each row's own matrix too."""


@dataclass
class _Tally:
    """Seconds and counts of one run."""

    ours_s: float = 0.0
    once_s: float = 0.0
    floor_s: float = 0.0
    theirs_s: float = 0.0
    cases: int = 0
    compared: int = 0
    alterations: int = 0
    worst_v: float = 0.0
    failed: int = 0
    direct: int = 0
    worst_direct_v: float = 0.0


def run(report: Report) -> None:
    """Time both ways over the same cases and compare their voltages: the radiator fans."""
    circuit = read_shelf(CIRCUIT)
    controls = tuple(_control_setups(circuit))
    undone = [s.with_undone(u) for s in controls for u in undoings(circuit)]
    _both(report, "fault-table", circuit, controls, [*controls, *undone], 1, 20)


def run_large(report: Report) -> None:
    """The same at 150 parts."""
    circuit = read_circuit(generate_circuit(PARTS, SEED), "generated.yaml")
    use = distinct(circuit, plant_of(circuit), all_setups(circuit))
    undone = cycle(undoings(circuit))
    setups = [x for s in use for x in (s, *(s.with_undone(next(undone)) for _ in range(2)))]
    _both(report, "fault-table-150", circuit, use[:5], setups[:SETUPS], FAULTS, 400)


def _both(
    report: Report, name: str, circuit: Circuit, use: Sequence[Setup], setups: Sequence[Setup],
    most: int, every: int,
) -> None:  # fmt: skip
    """``most`` faults (1: all of them); every so many cases go to ngspice."""
    plant = plant_of(circuit)
    faults = enumerate_faults(circuit, currents_over(circuit, plant, use))
    if most > 1:
        faults = faults[:: max(1, len(faults) // most)][:most]
    tally, started = _Tally(), time.perf_counter()
    table = Table(circuit, plant, faults, tuple(use))
    table.effects  # noqa: B018  (fuses that faults blow: part of the table, made when asked for)
    tally.ours_s += time.perf_counter() - started
    theirs, everyone = _Theirs(table.net), np.arange(len(table))
    nodes = np.linspace(0, table.net.n - 1, PLACES).astype(np.int64)
    for number, setup in enumerate(setups):
        started = time.perf_counter()
        rest = table.at(setup)
        rest.volts_at(everyone, nodes)
        tally.ours_s += time.perf_counter() - started
        tally.cases += len(table)
        chosen = np.arange(number % every, len(table), every)
        _compare(tally, theirs, table, table.rows_at(setup, chosen), rest.state[chosen])
    tally.floor_s = _floor(table.net.n, len(table)) * len(setups)
    _tell(report, name, tally, table, len(setups))
    report.note(
        f"{name}: ngspice solved every {every}th case ({tally.compared}); library loaded once, "
        "then alter of what differs and op; only these calls are timed, device states frozen to "
        "ours"
    )


def _control_setups(circuit: Circuit) -> Iterator[Setup]:
    for states in product(*(c.states for c in circuit.controls.values())):
        yield make_setup(circuit, dict(zip(circuit.controls, states, strict=True)))


def _floor(n: int, count: int) -> float:
    """Seconds of the bare arithmetic of one setup."""
    rng = np.random.default_rng(1)
    az, v, k = rng.normal(size=(2 * n, PLACES)), rng.normal(size=PLACES), rng.normal(size=(2, 2))
    column, g = rng.integers(2 * n, size=(count, 2)), rng.normal(size=(count, 2))
    started = time.perf_counter()
    matrix = np.eye(2) + k * g[:, None, :]
    w = np.linalg.solve(matrix, g[:, :, None])[:, :, 0]
    v - w[:, :1] * az[column[:, 0]] - w[:, 1:] * az[column[:, 1]]
    return time.perf_counter() - started


def _compare(tally: _Tally, theirs: "_Theirs", table: Table, rows: Rows, state: States) -> None:
    """The chosen rows of one setup in the same frozen states by both."""
    started = time.perf_counter()
    ours = LowRank().solve(table.net, rows, state)
    tally.once_s += time.perf_counter() - started
    theirs.solve(tally, rows, state, ours)
    tally.compared += len(rows)
    some = np.arange(0, len(rows), DIRECT_EVERY)
    exact = Direct().solve(table.net, rows.take(some), state[some])
    tally.direct += len(some)
    tally.worst_direct_v = max(tally.worst_direct_v, float(np.abs(exact - ours[some]).max()))


class _Theirs:
    """The library with the deck loaded once."""

    def __init__(self, net: Network) -> None:
        self._net, self._library = net, Library()
        self._names = [f"n{k}".encode() for k in range(net.n)]
        self._last: Values | None = None
        self._runs = 0

    def solve(self, tally: _Tally, rows: Rows, state: States, ours: Floats) -> None:
        """Solve rows one after the other; keep time and the largest difference from ours."""
        now = values_of(self._net, rows, state)
        if self._last is None:
            self._last = _rows_of(now, slice(0, 1))
            self._library.load(deck(self._net, self._last))
        values = Values(*(np.concatenate(p) for p in zip(_of(self._last), _of(now), strict=True)))
        for row in range(len(rows)):
            commands = alterations(values, row, row + 1)
            started = time.perf_counter()
            for command in commands:
                self._library.command(command)
            self._library.command(b"op")
            tally.theirs_s += time.perf_counter() - started
            tally.alterations += len(commands)
            if self._library.errors:  # it found no operating point
                self._library.errors.clear()
                tally.failed += 1
                continue
            found = self._library.values(self._names)
            tally.worst_v = max(tally.worst_v, float(np.abs(found - ours[row, :-1]).max()))
            self._tidy()
        self._last = _rows_of(now, slice(len(rows) - 1, None))

    def _tidy(self) -> None:
        self._runs += 1
        if self._runs % TIDY_AFTER == 0:
            self._library.command(b"destroy all")


def _of(values: Values) -> tuple[Floats, Floats, Floats]:
    return values.ohm, values.amps, values.share


def _rows_of(values: Values, rows: slice) -> Values:
    return Values(*(array[rows] for array in _of(values)))


def _tell(report: Report, name: str, tally: _Tally, table: Table, setups: int) -> None:
    def add(what: str, value: float, unit: str) -> None:
        report.add(name, what, value, unit)

    theirs_all_s = tally.theirs_s * tally.cases / tally.compared
    add("nodes", table.net.n, "")
    add("faults, the healthy circuit among them", len(table), "")
    add("setups, alone and with undoings", setups, "")
    add("cases", tally.cases, "")
    add("ours: whole table, device states found", tally.ours_s, "s")
    add("the floor: bare changes of two branches", tally.floor_s, "s")
    add("ours: cases settled per second", tally.cases / tally.ours_s, "1/s")
    add("ngspice: alter + op, states given", tally.compared / tally.theirs_s, "1/s")
    add("ngspice: whole table at that rate", theirs_all_s, "s")
    add("ngspice: alterations a case", tally.alterations / tally.compared, "")
    add("ratio of whole tables (ours finds the states too)", theirs_all_s / tally.ours_s, "x")
    add("ngspice: cases without an operating point", tally.failed, "")
    add("largest disagreement with ngspice", tally.worst_v, "V")
    add("largest disagreement with each row's own matrix", tally.worst_direct_v, "V")
    add("cases compared so", tally.direct, "")
