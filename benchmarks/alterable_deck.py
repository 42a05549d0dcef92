"""A network as a SPICE deck in which every value that a fault or a switch changes can be altered.

A branch is one resistor, with a current source beside it where there is an EMF. A winding is a
resistor in series with a source of k volts per unit of speed, whose current is sensed and makes the
torque; so an altered winding is one altered resistor too. A curve is a B source multiplied by a
node ``s<branch>`` that a voltage source holds: 0 where it does not conduct.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from loomwise.solver.laws import EXPONENT, FILAMENT
from loomwise.solver.lines import lines
from loomwise.solver.network import LEAK_S, Floats, Network
from loomwise.solver.rows import Rows, States

OPTIONS = ".options reltol=1e-6 vntol=1e-9 abstol=1e-12 gmin=1e-15"
IDLE_OHM = 1e18


@dataclass(frozen=True)
class Values:
    """What can be altered, by branch (f, b): ohms, amperes beside them, shares of a curve."""

    ohm: Floats
    amps: Floats
    share: Floats


def values_of(net: Network, rows: Rows, state: States) -> Values:
    """The values of rows in frozen device states."""
    at = lines(net, rows, state)
    share = np.zeros_like(at.g)
    share[:, at.bent] = at.scale
    return Values(1.0 / np.maximum(at.g, 1.0 / IDLE_OHM), at.j, share)


def node(net: Network, number: int) -> str:
    """SPICE's name of a node."""
    return "0" if number == net.n else f"n{number}"


def deck(net: Network, first: Values) -> list[str]:
    """The lines of the deck, holding the first row's values."""
    text = ["* one circuit, altered for every case", OPTIONS]
    text += [f"rleak{k} n{k} 0 {1.0 / LEAK_S:.12g}" for k in range(net.n)]
    for b in range(len(net.branches)):
        ends = [
            (node(net, int(n)), float(c))
            for n, c in zip(net.ends[b], net.coefs[b], strict=True)
            if c != 0.0
        ]
        if net.law[b]:
            text += [*_curve(net, b, ends), f"v{b} s{b} 0 {first.share[0, b]:.12g}"]
        else:
            text += _straight(b, ends, first)
    return [*text, ".end"]


def _straight(b: int, ends: list[tuple[str, float]], first: Values) -> Iterator[str]:
    a, c = ends[0][0], ends[1][0] if len(ends) > 1 else "0"
    ohm = f"{first.ohm[0, b]:.15g}"
    if len(ends) < 3:
        yield f"r{b} {a} {c} {ohm}"
        yield f"i{b} {a} {c} {first.amps[0, b]:.15g}"
        return
    speed, k = ends[2]
    yield f"r{b} {a} m{b} {ohm}"
    yield f"v{b} m{b} e{b} 0"
    yield f"e{b} e{b} {c} {speed} 0 {-k:.15g}"
    yield f"f{b} {speed} 0 v{b} {k:.15g}"


def _curve(net: Network, b: int, ends: list[tuple[str, float]]) -> Iterator[str]:
    if net.law[b] == FILAMENT:
        (a, _), (c, _) = ends
        rated_v, rated_a, cold, _ = net.params[b]
        power, floor = (1.0 - EXPONENT) / 2.0, cold ** (-1.0 / (1.0 - EXPONENT))
        x = f"(v({a})-v({c}))" if c != "0" else f"v({a})"
        root = f"({x}*{x}/{rated_v**2:.15g}+{floor**2:.15g})^(-{power:.15g})"
        yield f"b{b} {a} {c} i=v(s{b})*{rated_a / rated_v:.15g}*{x}*{root}"
        return
    w = f"v({ends[0][0]})"
    dry, viscous, square, _ = net.params[b]
    law = f"({dry:.15g}+{viscous:.15g}*{w}+{square:.15g}*{w}*abs({w}))"
    yield f"b{b} {ends[0][0]} 0 i=v(s{b})*{law}"


def alterations(now: Values, before: int, after: int) -> list[bytes]:
    """Commands that turn the deck from one row's values into another's."""
    found = []
    for letter, array in (("r", now.ohm), ("i", now.amps), ("v", now.share)):
        for b in np.flatnonzero(array[before] != array[after]):
            found.append(f"alter {letter}{b} = {array[after, b]:.15g}".encode())
    return found
