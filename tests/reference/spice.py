"""A solved row as a SPICE deck: the same elements, device states frozen to those given.

Linear branches become resistors with Norton pairs for their EMF; a winding's third end, its speed,
becomes controlled sources; filaments and motor loads become B sources with the formulas of
``loomwise.solver.laws``. Every node gets the same 1 Gohm leak. Several rows can stand side by side
in one deck: node ``c3_17`` is node 17 of the third row.
"""

import re
import subprocess
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from loomwise.solver.laws import EXPONENT, FILAMENT, KNEE, KNEE_WIDTH_V
from loomwise.solver.lines import Lines, lines
from loomwise.solver.network import LEAK_S, Floats, Network
from loomwise.solver.rows import Rows, States

OPTIONS = ".options reltol=1e-6 vntol=1e-9 abstol=1e-12 gmin=1e-15 numdgt=12"
"""Without these a diode circuit was 5e-5 V off its exact solution, with them 5e-8 V."""
_VALUE = re.compile(r"^(c\d+_\d+) = (\S+)", re.MULTILINE)


@dataclass(frozen=True)
class _Place:
    """Writes node names of one row."""

    net: Network
    row: int

    def ends(self, b: int) -> list[tuple[str, float]]:
        """Node names and coefficients of a branch, empty terms left out."""
        return [
            (self.node(int(n)), float(c))
            for n, c in zip(self.net.ends[b], self.net.coefs[b], strict=True)
            if c != 0.0
        ]

    def node(self, number: int) -> str:
        """SPICE's name of a node."""
        return "0" if number == self.net.n else f"c{self.row}_{number}"


def deck(net: Network, rows: Rows, state: States) -> str:
    """The whole input file for these rows in these device states."""
    at = lines(net, rows, state)
    text = ["* solved rows, device states frozen", OPTIONS]
    for row in range(len(rows)):
        text += _elements(net, at, row)
    return "\n".join(
        [*text, ".control", "set numdgt=12", "op", "print all", "quit", ".endc", ".end"]
    )


def _elements(net: Network, at: Lines, row: int) -> Iterator[str]:
    place = _Place(net, row)
    for number in range(net.n):
        yield f"Rleak{row}_{number} {place.node(number)} 0 {1.0 / LEAK_S:.12g}"
    bent = list(at.bent)
    for b in range(len(net.branches)):
        name, ends = f"{row}_{b}", place.ends(b)
        if b in bent:
            yield from _curve(net, b, name, ends, float(at.scale[row, bent.index(b)]))
        elif at.g[row, b]:
            yield from _straight(name, ends, float(at.g[row, b]), float(at.j[row, b]))


def _straight(name: str, ends: list[tuple[str, float]], g: float, j: float) -> Iterator[str]:
    """i = g (c1 v1 + c2 v2 + c3 v3) + j, leaving each node times that node's coefficient."""
    if [c for _, c in ends] == [1.0, -1.0]:
        (a, _), (b, _) = ends
        yield f"R{name} {a} {b} {1.0 / g:.15g}"
        if j:
            yield f"I{name} {a} {b} {j:.15g}"
        return
    for k, (a, c) in enumerate(ends):
        for m, (b, d) in enumerate(ends):
            yield f"G{name}_{k}{m} {a} 0 {b} 0 {g * c * d:.15g}"
        if j:
            yield f"I{name}_{k} {a} 0 {j * c:.15g}"


def _curve(
    net: Network, b: int, name: str, ends: list[tuple[str, float]], scale: float
) -> Iterator[str]:
    if scale == 0.0:
        return
    if net.law[b] == FILAMENT:
        (a, _), (c, _) = ends
        rated_v, rated_a, cold, _ = net.params[b]
        power, floor = (1.0 - EXPONENT) / 2.0, cold ** (-1.0 / (1.0 - EXPONENT))
        x = f"v({a},{c})" if c != "0" else f"v({a})"
        root = f"(({x}/{rated_v:.15g})*({x}/{rated_v:.15g})+{floor**2:.15g})^(-{power:.15g})"
        yield f"B{name} {a} {c} I={scale * rated_a / rated_v:.15g}*{x}*{root}"
        return
    if net.law[b] == KNEE:
        (a, _), (c, _) = ends
        x = f"v({a},{c})" if c != "0" else f"v({a})"
        there_v, there_s, back_v, back_s = net.params[b]
        h = f"{scale * KNEE_WIDTH_V:.15g}"
        there = f"{there_s:.15g}*{_bend(f'(({x}-{there_v:.15g})/{KNEE_WIDTH_V:.15g})')}"
        back = f"{back_s:.15g}*{_bend(f'((-{x}-{back_v:.15g})/{KNEE_WIDTH_V:.15g})')}"
        yield f"B{name} {a} {c} I={h}*({there}-{back})"
        return
    ((speed, _),) = ends
    dry, viscous, square, _ = scale * net.params[b]
    w = f"v({speed})"
    yield f"B{name} {speed} 0 I={dry:.15g}+{viscous:.15g}*{w}+{square:.15g}*{w}*abs({w})"


def _bend(u: str) -> str:
    """ln(1 + exp(u)) so that no large number is raised: ngspice gives up the exponential at 228."""
    return f"(max({u},0)+ln(1+exp(-abs({u}))))"


def run_deck(ngspice: str, text: str, count: int, net: Network, folder: Path) -> Floats:
    """Node values (count, n + 1) that the program finds; the last column is the body."""
    path = folder / "deck.cir"
    path.write_text(text, encoding="utf-8")
    done = subprocess.run(
        [ngspice, "-b", str(path)], capture_output=True, text=True, timeout=300, check=False
    )
    found = dict(_VALUE.findall(done.stdout))
    assert len(found) == count * net.n, done.stdout[-2000:] + done.stderr[-2000:]
    v = np.zeros((count, net.n + 1))
    for row in range(count):
        v[row, :-1] = [float(found[f"c{row}_{k}"]) for k in range(net.n)]
    return v


def solve_by_ngspice(
    ngspice: str, net: Network, rows: Rows, state: States, folder: Path, per_run: int = 40
) -> Floats:
    """The rows by ngspice, ``per_run`` side by side in one process."""
    parts: Sequence[Floats] = [
        run_deck(ngspice, deck(net, rows.take(i), state[i]), len(i), net, folder)
        for i in np.array_split(np.arange(len(rows)), -(-len(rows) // per_run))
    ]
    return np.concatenate(parts)
