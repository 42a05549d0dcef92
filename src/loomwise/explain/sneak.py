"""Ways that nobody meant a current to take, in any solved row: through a load that shows nothing,
or against the direction it has there when all is well."""

from collections.abc import Mapping, Sequence

import numpy as np

from loomwise.circuit.model import Circuit
from loomwise.explain.path import Flow, Ways, sign_through
from loomwise.explain.say import sneak_words
from loomwise.explain.solved import doing
from loomwise.solver.lines import lines
from loomwise.solver.network import Floats, Network
from loomwise.solver.result import health, loads
from loomwise.solver.rows import Rows, States
from loomwise.solver.solution import Drops

Usual = Mapping[str, int]
"""For each load which way the current passes it when all is well: 1, -1, or 0 for either."""


def usual_ways(ways: Ways, currents: Sequence[Floats]) -> Usual:
    """Over the currents (b,) of the sound circuit's setups; a load that has both ways has none."""
    found: dict[str, int] = {}
    for load in loads(ways.circuit):
        signs = {sign_through(ways, i, load.id) for i in currents} - {0}
        found[load.id] = signs.pop() if len(signs) == 1 else 0
    return found


def sneaks(
    circuit: Circuit, net: Network, rows: Rows, state: States, v: Floats, usual: Usual
) -> tuple[str, ...]:  # fmt: skip
    """Sentences on one row at rest: states (1, d), node values (1, n + 1)."""
    drops = Drops(net, v)
    i = lines(net, rows, state).currents(net, net.drop(v))[0]
    ways = Ways(circuit, net)
    flow = Flow(ways, i, state[0])
    parts = loads(circuit)
    does = {
        p.id: int(doing(net, p, v, drops, health(net, rows, p), circuit.supply_v)[0]) for p in parts
    }
    found: list[str] = []
    for part in parts:
        if does[part.id]:
            others = ways.loads_on(flow.through(part), part)
            idle = [o for o in others if not does[o]]
            backwards = [o for o in others if sign_through(ways, i, o) * usual.get(o, 0) < 0]
            found += sneak_words(part.id, idle, backwards)
    return tuple(dict.fromkeys(found))


def currents_of(net: Network, rows: Rows, state: States, v: Floats) -> Floats:
    """Currents (f, b) of rows at rest."""
    return np.asarray(lines(net, rows, state).currents(net, net.drop(v)))
