"""Truths that are none of the hypotheses: an undrawn path, other logic, a tapped wire."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from numpy.random import Generator

from loomwise.advice.expert import Expert
from loomwise.circuit.model import BODY, Circuit
from loomwise.edits import Bridge, BridgeLamp, Edit, Hold
from loomwise.faults import Fault
from loomwise.setups import Setup
from loomwise.setups.setup import output_names, unruled_outputs
from loomwise.solver.operate import Plant
from loomwise.solver.result import loads
from loomwise.study.truth import Truth
from loomwise.study.world import World

PATH_OHM = 0.5, 50.0
TAP_W = 5.0, 120.0
"""Sizes of a path and of a load hung on a wire: engineering judgement. [ohm, W]"""
MOST_TRIES = 120
Relabel = Callable[[str], str]


def draw_outside(
    expert: Expert, plant: Plant, real: Relabel, draw: Generator
) -> tuple[World, Setup] | None:
    """A vehicle with such a truth that shows at a load, and where it shows; None if none does."""
    kinds = [_path, _tap, *([_logic] if ruled_outputs(expert.circuit) else [])]
    healthy = World(expert.circuit, plant, as_truth("", None, real), draw)
    for number in draw.permutation(len(kinds)).tolist():
        for _ in range(MOST_TRIES):
            truth = kinds[number](expert, healthy, draw)
            if truth is not None and (found := _shown(expert, healthy, truth)):
                return found
    return None


def _shown(expert: Expert, healthy: World, truth: Truth) -> tuple[World, Setup] | None:
    """The vehicle with this truth and the first setup where it shows."""
    world = replace(healthy, truth=truth, kept={}, slips=[], misled=[])
    world.use(expert.states)
    setup = next((s for s in expert.states if words(world, s) != words(healthy, s)), None)
    return None if setup is None else (world, setup)


def as_truth(name: str, edit: Edit | None, real: Relabel, only_in: Setup | None = None) -> Truth:
    """A truth that no unit's repair mends."""
    edits = () if edit is None else (edit,)
    fault = Fault(name, name, "outside", name, "", name, edits, 0.0)
    return Truth(fault, edits, real, only_in=only_in, outside=bool(edits))


def words(world: World, setup: Setup) -> tuple[str, ...]:
    """What all loads do in a setup."""
    return tuple(world.sign("", setup, part.id).seen for part in loads(world.circuit))


def ruled_outputs(circuit: Circuit) -> tuple[str, ...]:
    """Outputs with a rule that they could depart from."""
    unruled = unruled_outputs(circuit)
    return tuple(name for name in output_names(circuit) if name not in unruled)


def _path(expert: Expert, healthy: World, draw: Generator) -> Truth | None:
    """Between two nets that no part joins and no listed fault does."""
    circuit = expert.circuit
    nets = nets_of(circuit)
    a, b = (str(p) for p in draw.choice(sorted(nets), 2, replace=False))
    if _no_path(circuit, nets, {nets[a], nets[b]}) or _listed(expert, nets, {nets[a], nets[b]}):
        return None
    ohm = _between(PATH_OHM, draw)
    name = f"path from {a} to {b}, {ohm:.2g} ohm"
    return as_truth(name, Bridge(a, b, ohm), healthy.truth.real)


def _tap(expert: Expert, healthy: World, draw: Generator) -> Truth | None:
    """A bulb hung between a wire and ground."""
    nets = nets_of(expert.circuit)
    place = str(draw.choice(sorted(nets)))
    if nets[place] == nets[BODY]:
        return None
    power = _between(TAP_W, draw)
    lamp = BridgeLamp(place, BODY, power, expert.circuit.supply_v)
    truth = as_truth(f"load of {power:.0f} W hung on {place}", lamp, healthy.truth.real)
    return replace(truth, near=_units_on(expert.circuit, place))


def _units_on(circuit: Circuit, place: str) -> frozenset[str]:
    """The units of a place's net: who is sent there finds the load that hangs on it."""
    nets = nets_of(circuit)
    ends = {circuit.places[p].unit for p, net in nets.items() if net == nets[place] and p != BODY}
    wires = {s.unit for s in circuit.segments.values() if nets[s.a] == nets[place]}
    return frozenset(ends | wires)


def _logic(expert: Expert, healthy: World, draw: Generator) -> Truth | None:
    """An output that does the contrary of its rule, in one position of the controls."""
    output = str(draw.choice(ruled_outputs(expert.circuit)))
    setup = expert.states[int(draw.integers(len(expert.states)))]
    net, _, at = healthy.solve(setup)
    d = net.device_index[output]
    contrary = net.devices[d].states[1 - int(at.state[0, d])]
    name = f"{output} {contrary} with {setup}"
    return as_truth(name, Hold(output, contrary), healthy.truth.real, setup)


def _between(span: tuple[float, float], draw: Generator) -> float:
    return float(np.exp(draw.uniform(*np.log(span))))


def nets_of(circuit: Circuit) -> dict[str, int]:
    """The net of every place: joined by conductors, splices and grounds."""
    joins = [(s.a, s.b) for s in circuit.segments.values()]
    for part in circuit.parts_of_kind("splice", "ground"):
        ends = [f"{part.id}.{pin}" for pin in part.pins]
        joins += [(ends[0], end) for end in ends[1:]]
        joins += [(ends[0], BODY)] if part.kind == "ground" else []
    of = {name: k for k, name in enumerate([*circuit.places, BODY])}
    for a, b in joins:
        old, new = of.get(a, -1), of.get(b, -1)
        of = {name: new if net == old else net for name, net in of.items()}
    return of


def _no_path(circuit: Circuit, nets: dict[str, int], two: set[int]) -> bool:
    """One net only, or nets of a battery or ground, or nets that meet in a part."""
    posts = {nets[f"{p.id}.{pin}"] for p in circuit.parts_of_kind("battery") for pin in p.pins}
    if len(two) < 2 or two & {*posts, nets[BODY]}:
        return True
    of = [{nets[f"{p.id}.{pin}"] for pin in p.pins if f"{p.id}.{pin}" in nets}
          for p in circuit.parts.values()]  # fmt: skip
    return any(two <= some for some in of)


def _listed(expert: Expert, nets: dict[str, int], two: set[int]) -> bool:
    faults = (*expert.table.faults, *expert.judge.redrawn.table.faults)
    bridges = (e for f in faults for e in f.edits if isinstance(e, Bridge))
    return any({nets.get(e.a), nets.get(e.b)} == two for e in bridges)
