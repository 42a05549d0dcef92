"""The full single-fault table of the radiator fans, by our batch route and by ngspice's library.

Ours: ``diagnosis.table.Table`` with a cold engine; time includes compiling rows, finding device
states (several solves a case) and refinement. ngspice: the deck is loaded once; for each case every
resistance and source that differs from the case before is altered, then ``op``; device states are
frozen to those we found, so it solves each case once. Only these calls are timed.
"""

import time
from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from itertools import product

import numpy as np

from benchmarks.alterable_deck import alterations, deck, values_of
from benchmarks.ngspice_library import Library
from benchmarks.report import Report
from loomwise.circuit.model import Circuit
from loomwise.diagnosis.table import Table, currents_over
from loomwise.faults import enumerate_faults
from loomwise.setups import Setup, make_setup, undoings
from loomwise.shelf import read_shelf
from loomwise.solver.engines import LowRank
from loomwise.solver.network import Floats, Ints, Network
from loomwise.solver.result import plant_of
from loomwise.solver.rows import Rows, States

NAME = "fault-table"
CIRCUIT = "radiator-fans"
EVERY = 20
"""ngspice gets every twentieth case; its total is scaled."""
TIDY_AFTER = 200
"""``op`` runs kept by the library before their plots are thrown away (not timed)."""


@dataclass
class _Tally:
    """Seconds and counts of one run."""

    ours_s: float = 0.0
    once_s: float = 0.0
    theirs_s: float = 0.0
    cases: int = 0
    compared: int = 0
    alterations: int = 0
    worst_v: float = 0.0


def run(report: Report) -> None:
    """Time both ways over the same cases and compare their voltages."""
    circuit = read_shelf(CIRCUIT)
    tally, started = _Tally(), time.perf_counter()
    table, setups = _cold_table(circuit)
    table.effects  # noqa: B018  (fuses that faults blow: part of the table, made when asked for)
    tally.ours_s += time.perf_counter() - started
    theirs = _Theirs(table.net)
    for number, setup in enumerate(setups):
        started = time.perf_counter()
        rest = table.at(setup)
        tally.ours_s += time.perf_counter() - started
        tally.cases += len(table)
        chosen = np.arange(number % EVERY, len(table), EVERY)
        rows = table.rows_in(setup, chosen, table.effects)[0]
        _compare(tally, theirs, table, rows, rest.state[chosen])
        table.rests.clear()  # 4 MB a setup
    _tell(report, tally, table, len(setups))


def _cold_table(circuit: Circuit) -> tuple[Table, list[Setup]]:
    plant = plant_of(circuit)
    controls = list(_control_setups(circuit))
    faults = enumerate_faults(circuit, currents_over(circuit, plant, controls))
    undone = [s.with_undone(u) for s in controls for u in undoings(circuit)]
    return Table(circuit, plant, faults, tuple(controls)), [*controls, *undone]


def _control_setups(circuit: Circuit) -> Iterator[Setup]:
    for states in product(*(c.states for c in circuit.controls.values())):
        yield make_setup(circuit, dict(zip(circuit.controls, states, strict=True)))


def _compare(tally: _Tally, theirs: "_Theirs", table: Table, rows: Rows, state: States) -> None:
    """The chosen rows of one setup in the same frozen states by both."""
    started = time.perf_counter()
    ours = LowRank().solve(table.net, rows, state)
    tally.once_s += time.perf_counter() - started
    theirs.solve(tally, rows, state, ours)
    tally.compared += len(rows)


class _Theirs:
    """The library with the deck loaded once."""

    def __init__(self, net: Network) -> None:
        self._net, self._library = net, Library()
        self._names = [f"n{k}".encode() for k in range(net.n)]
        self._last: tuple[Rows, States] | None = None
        self._runs = 0

    def solve(self, tally: _Tally, rows: Rows, state: States, ours: Floats) -> None:
        """Solve rows one after the other; keep time and the largest difference from ours."""
        values = values_of(self._net, *self._after_last(rows, state))
        if self._last is None:
            self._library.load(deck(self._net, values))
        for row in range(len(rows)):
            commands = alterations(values, row, row + 1)
            started = time.perf_counter()
            for command in commands:
                self._library.command(command)
            self._library.command(b"op")
            tally.theirs_s += time.perf_counter() - started
            tally.alterations += len(commands)
            found = self._library.values(self._names)
            tally.worst_v = max(tally.worst_v, float(np.abs(found - ours[row, :-1]).max()))
            self._tidy()
        end: Ints = np.array([len(rows) - 1])
        self._last = rows.take(end), state[end]

    def _after_last(self, rows: Rows, state: States) -> tuple[Rows, States]:
        """The rows with the one that the deck holds now in front (at first, their own first)."""
        first = self._last or (rows.take(np.array([0])), state[:1])
        names = [f.name for f in fields(Rows) if f.name != "common"]
        joined = {n: np.concatenate([getattr(first[0], n), getattr(rows, n)]) for n in names}
        return replace(rows, **joined), np.concatenate([first[1], state])

    def _tidy(self) -> None:
        self._runs += 1
        if self._runs % TIDY_AFTER == 0:
            self._library.command(b"destroy all")


def _tell(report: Report, tally: _Tally, table: Table, setups: int) -> None:
    def add(name: str, value: float, unit: str) -> None:
        report.add(NAME, name, value, unit)

    theirs_all_s = tally.theirs_s * tally.cases / tally.compared
    add("faults, the healthy circuit among them", len(table), "")
    add("setups: every control state, alone and with each undoing", setups, "")
    add("cases", tally.cases, "")
    add("ours: whole table, device states found", tally.ours_s, "s")
    add("ours: cases settled per second", tally.cases / tally.ours_s, "1/s")
    add("ours: one solve each in given states, cold base a setup",
        tally.compared / tally.once_s, "1/s")  # fmt: skip
    add("ngspice: alter + op, states given", tally.compared / tally.theirs_s, "1/s")
    add("ngspice: whole table at that rate", theirs_all_s, "s")
    add("ngspice: alterations a case", tally.alterations / tally.compared, "")
    add("ratio of whole tables (ours finds the states too)", theirs_all_s / tally.ours_s, "x")
    add("ratio of one solve each, states given", tally.theirs_s / tally.once_s, "x")
    add("largest disagreement over the common cases", tally.worst_v, "V")
    report.note(
        f"ngspice solved every {EVERY}th case ({tally.compared}); library loaded once, then alter "
        "of what differs and op; only these calls are timed, device states frozen to ours"
    )
