"""One solved setup in words and numbers, for people, pages and JSON."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from loomwise.circuit.fuse_curve import OPENS_FROM_MULTIPLE, opening_time_limit_s
from loomwise.circuit.kinds.tables import senses
from loomwise.circuit.loads import loads as loads
from loomwise.circuit.model import OUTPUTS, Circuit, Part
from loomwise.edits import Edit
from loomwise.errors import SolveError
from loomwise.solver.brains import brains
from loomwise.solver.engines import Direct
from loomwise.solver.lines import jacobian, lines
from loomwise.solver.network import Floats, Network
from loomwise.solver.operate import Plant, Standstill, operate
from loomwise.solver.rows import Rows, States, prepared
from loomwise.solver.solution import Seen
from loomwise.solver.stamp import compile_circuit

FLOATING_OHM = 1e6
"""A place whose source resistance is above this does not give a trustworthy reading. [Ω]"""
ARC_A = 5000.0
"""No vehicle battery gives more: above it the circuit is taken as shorted at the posts. [A]"""


@dataclass(frozen=True)
class FuseEvent:
    """A fuse that opens: the current that opens it and the longest time it may take."""

    fuse: str
    current_a: float
    rating_a: float
    within_s: float | None


@dataclass(frozen=True)
class OperatingPoint:
    """One stable state of one setup. Voltages against the body; currents into the first end.

    ``band_v`` holds lowest and highest volts where the circuit chatters. ``weight`` shares one
    among the stable states of the setup.
    """

    voltages_v: Mapping[str, float]
    currents_a: Mapping[str, float]
    powers_w: Mapping[str, float]
    states: Mapping[str, str]
    loads: Mapping[str, str]
    live_data: Mapping[str, str]
    floating: frozenset[str]
    chatter: tuple[str, ...]
    band_v: Mapping[str, tuple[float, float]]
    fuses: tuple[FuseEvent, ...]
    weight: float = 1.0
    solution: "Solved | None" = field(default=None, repr=False, compare=False)


@dataclass(frozen=True)
class Solved:
    """The arrays behind an operating point (one row)."""

    plant: Plant
    rows: Rows
    at: Standstill


def plant_of(circuit: Circuit) -> Plant:
    """Compile a circuit and its logic."""
    return Plant(compile_circuit(circuit), brains(circuit))


def start_state(net: Network, states: Mapping[str, str]) -> States:
    """Everything at rest, with switches and settled outputs where ``states`` (by control) says."""
    start = np.zeros(len(net.devices), dtype=np.int8)
    for d, device in enumerate(net.devices):
        if device.control in states:
            start[d] = device.states.index(states[device.control])
    return start


def solve_states(
    circuit: Circuit,
    plant: Plant,
    states: Mapping[str, str],
    edits: Sequence[Edit] = (),
    after: Sequence[Mapping[str, str]] = (),
) -> tuple[OperatingPoint, ...]:
    """Every stable state found for one setup, the likeliest first.

    ``states`` gives each control's state, ``after`` the states gone through before, in order.
    Without a history a relay held within its hysteresis is also tried pulled in.

    Raises
    ------
    SolveError : the battery is shorted, so no current a vehicle could give solves it.
    """
    start = start_state(plant.net, states)
    net, rows = prepared(plant.net, start, [tuple(edits)])
    plant = Plant(net, plant.brains)
    held = start_state(net, {})[None, :]
    for step in after:
        held = carried(net, held, start_state(net, step))
        held = operate(plant, rows.starting(held), Direct()).state
    if after:
        rows = rows.starting(carried(net, held, start))
    found = [(rows, operate(plant, rows, Direct()))]
    if not after:
        found += _other_states(plant, rows, found[0][1])
    weights = [1.0] if len(found) == 1 else [0.8] + [0.2 / (len(found) - 1)] * (len(found) - 1)
    return tuple(
        _point(circuit, Solved(plant, r, at), w) for (r, at), w in zip(found, weights, strict=True)
    )


def carried(net: Network, state: States, start: States) -> States:
    """What a change of controls keeps: relays, fuses, motors; switches go where they are set."""
    keep = np.array([d.kind != "switch" and not d.control for d in net.devices])
    return np.where(keep, state, start).astype(np.int8)


def _other_states(plant: Plant, rows: Rows, first: Standstill) -> list[tuple[Rows, Standstill]]:
    relays = [d for d, device in enumerate(plant.net.devices) if device.kind == "relay"]
    if not relays or first.chatter[0]:
        return []
    tries = np.repeat(first.state, len(relays), axis=0)
    tries[np.arange(len(relays)), relays] = 1
    tries = tries[(tries != first.state).any(axis=1)]
    found: list[tuple[Rows, Standstill]] = []
    seen = {first.state[0].tobytes()}
    for state in tries:
        again = rows.starting(state[None, :])
        at = operate(plant, again, Direct())
        if not at.chatter[0] and at.state[0].tobytes() not in seen:
            seen.add(at.state[0].tobytes())
            found.append((again, at))
    return found


def _point(circuit: Circuit, solved: Solved, weight: float) -> OperatingPoint:
    net, at = solved.plant.net, solved.at
    v = at.v
    now = lines(net, solved.rows, at.state)
    x = net.drop(v)
    i = now.currents(net, x)
    _refuse_arc(net, i[0], solved)
    source = source_resistance(net, solved.rows, at.state, v)
    volts = {p: float(v[0, net.node_index[p]]) for p in circuit.places}
    chattering = tuple(d.id for k, d in enumerate(net.devices) if at.moving[0, k])
    return OperatingPoint(
        voltages_v=volts,
        currents_a={b.id: float(c) for b, c in zip(net.branches, i[0], strict=True)},
        powers_w=_powers(circuit, net, i[0], v[0]),
        states={d.id: d.states[at.state[0, k]] for k, d in enumerate(net.devices)},
        loads={
            p.id: behaviour(net, p, v[0], x[0], float(health(net, solved.rows, p)[0]), circuit)
            for p in loads(circuit)
        },
        live_data=live_data(solved.plant, at),
        floating=frozenset(p for p in circuit.places if source[net.node_index[p]] > FLOATING_OHM),
        chatter=chattering,
        band_v=_bands(circuit, net, at) if at.chatter[0] else {},
        fuses=_fuse_events(solved, i[0]),
        weight=weight,
        solution=solved,
    )


def _refuse_arc(net: Network, i: Floats, solved: Solved) -> None:
    for name, b in net.branch_index.items():
        if name.endswith(".cell") and abs(i[b]) > ARC_A:
            raise SolveError(
                f"{name.removesuffix('.cell')} is shorted: {abs(i[b]):.0f} A would flow",
                hint="look for a wire or fault that joins both posts with no fuse between",
            )


def source_between_ohm(solved: Solved, red: str, black: str) -> float:
    """Resistance that a meter between two places sees; a net may float as a whole and yet not
    between its own places."""
    net, at = solved.plant.net, solved.at
    tips = np.zeros(net.n + 1)
    np.add.at(tips, [net.node_index[red], net.node_index[black]], [1.0, -1.0])
    matrix = jacobian(net, lines(net, solved.rows, at.state), at.v)[0]
    return float(tips[:-1] @ np.linalg.solve(matrix, tips[:-1]))


def source_resistance(net: Network, rows: Rows, state: States, v: Floats) -> Floats:
    """Resistance (n + 1,) that a meter against the body sees at each node of a one-row case."""
    z = np.linalg.inv(jacobian(net, lines(net, rows, state), v)[0])
    return np.append(np.diag(z), 0.0)


def _powers(circuit: Circuit, net: Network, i: Floats, v: Floats) -> dict[str, float]:
    """Heat and work in each part: the electrical power that goes in at its pins."""
    powers = dict.fromkeys(circuit.parts, 0.0)
    for b, branch in enumerate(net.branches):
        part = branch.id.partition(".")[0]
        if part in powers and branch.id not in circuit.segments:
            for t, (node, _) in enumerate(branch.terms):
                if not node.endswith("#speed"):
                    powers[part] += float(i[b] * net.coefs[b, t] * v[net.node_index[node]])
    return powers


def _bands(circuit: Circuit, net: Network, at: Standstill) -> dict[str, tuple[float, float]]:
    index = net.node_index
    low, high = at.moments(0).min(axis=0), at.moments(0).max(axis=0)
    return {p: (float(low[index[p]]), float(high[index[p]])) for p in circuit.places}


def _fuse_events(solved: Solved, i: Floats) -> tuple[FuseEvent, ...]:
    """Fuses that opened on the way here, with the current they would carry were they whole."""
    net, at = solved.plant.net, solved.at
    events = []
    for d, device in enumerate(net.devices):
        opened = at.state[0, d] == 1 and solved.rows.start[0, d] == 0
        if device.kind == "fuse" and (opened or at.moving[0, d]):
            amps, rating_a = _if_whole(solved, d), float(solved.rows.limits[0, d, 0])
            within = opening_time_limit_s(max(amps / rating_a, OPENS_FROM_MULTIPLE))
            events.append(FuseEvent(device.id, amps, rating_a, within))
    return tuple(events)


def _if_whole(solved: Solved, d: int) -> float:
    net = solved.plant.net
    state = solved.at.state.copy()
    state[0, d] = 0
    v = Direct().solve(net, solved.rows, state)
    i = lines(net, solved.rows, state).currents(net, net.drop(v))
    return float(abs(i[0, net.branch_index[net.devices[d].watch[0]]]))


LAMP_EXPONENT = 3.4
"""Light follows V^3.4 (from memory)."""
STEPS = {kind: sense.steps for kind, sense in senses().items() if sense.measure != "click"}
"""Levels at which a person sees a difference, in shares of nominal."""


def level_node(part: Part) -> str:
    """Branch or node whose value tells the load's level."""
    return f"{part.id}#speed" if "motor" in part.kind else f"{part.id}.element"


def health(net: Network, rows: Rows, part: Part) -> Floats:
    """What is left of a load's own current at a given voltage (f,), 0 where it is open inside.

    A load that draws more than it should shows no more for it.
    """
    if "motor" in part.kind:
        return np.ones(len(rows))
    b = net.branch_index[level_node(part)]
    left = rows.scale[:, b] if net.law[b] else rows.g_on[:, b] / net.g_on[b]
    return np.asarray(np.minimum(left, 1.0))


def levels(net: Network, part: Part, v: Seen, x: Seen, left: Floats, supply_v: float) -> Floats:
    """Level (f,) of a load: speed, light, heat or sound as a share of nominal; of a motor that is
    seen to turn either way ten to the power of its speed, so that no level is negative.

    ``left`` (f,) is its ``health``: full voltage on a broken filament gives no light.
    """
    if "motor" in part.kind:
        speed = v[:, net.node_index[level_node(part)]]
        signed = senses()[part.kind].measure == "signed speed"
        return np.asarray(10.0**speed if signed else np.abs(speed))
    drop = x[:, net.branch_index[level_node(part)]]
    if part.kind == "LED":
        knee_v = part.values["forward_v"]
        return np.asarray(left * np.maximum(drop - knee_v, 0.0) / (supply_v - knee_v))
    share = np.abs(drop) / part.values.get("rated_v", supply_v)
    exponent = {"light": LAMP_EXPONENT, "heat": 2.0}.get(senses()[part.kind].measure, 1.0)
    return np.asarray(left * share**exponent)


def behaviour(net: Network, part: Part, v: Floats, x: Floats, left: float, circuit: Circuit) -> str:
    """What a person sees the load do, of one row."""
    at = v[None, :], x[None, :], np.array([left])
    level = levels(net, part, *at, circuit.supply_v)[0]
    return next(word for below, word in STEPS[part.kind] if level < below)


def live_data(plant: Plant, at: Standstill) -> dict[str, str]:
    """What each module reports of itself: inputs as it reads them, outputs as it drives them."""
    net, report = plant.net, dict[str, str]()
    for brain in plant.brains:
        part = brain.part
        if at.state[0, net.device_index[part.id]] == 0:
            report[part.id] = "no answer"
            continue
        for name, number in brain.sensed(net, at.v).items():
            report[f"{part.id}.{name}"] = part.module_pins[name].bands[int(number[0])].name
        for name, pin in part.module_pins.items():
            if pin.role in OUTPUTS:
                d = net.device_index[f"{part.id}.{name}"]
                report[f"{part.id}.{name}"] = net.devices[d].states[at.state[0, d]]
    return report
