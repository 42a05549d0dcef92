"""Follow the current through the branches of a solved row: up to the feed, down to ground.

At every node the way goes on by the branch that carries most and that leads to the end; splits are
not followed up.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from loomwise.circuit.kinds.tables import kinds
from loomwise.circuit.model import BODY, Circuit, Part, Segment
from loomwise.explain.explanation import Step
from loomwise.solver.network import Floats, Network
from loomwise.solver.result import loads
from loomwise.solver.rows import States
from loomwise.units import format_quantity

LEAST_A = 1e-6
"""What leaks through what is parted or off is less. [A]"""
Hop = tuple[int, int, int]
"""A branch, the node the current enters it by, the node it leaves by."""


@dataclass(frozen=True)
class Ways:
    """Which branches meet at which node; one for a network, any number of rows."""

    circuit: Circuit
    net: Network

    @cached_property
    def ends(self) -> dict[int, tuple[int, int]]:
        """Both nodes of every branch that carries current (a balance of forces carries none)."""
        found = dict[int, tuple[int, int]]()
        for b, branch in enumerate(self.net.branches):
            coefs = [coef for _, coef in branch.terms[:2]]
            if len(coefs) == 2 and coefs[0] == 1.0 and coefs[1] < 0.0:
                first, second = (self.net.node_index[node] for node, _ in branch.terms[:2])
                found[b] = first, second
        return found

    @cached_property
    def at(self) -> dict[int, list[int]]:
        """The branches at every node."""
        found = defaultdict(list)
        for b, ends in self.ends.items():
            for node in ends:
                found[node].append(b)
        return dict(found)

    @cached_property
    def of_load(self) -> dict[str, list[int]]:
        """The branches inside every load; of a part of several loads, those at its own pins."""
        return {load.id: self._inside(load) for load in loads(self.circuit)}

    def _inside(self, load: Part) -> list[int]:
        owner = load.id.partition(".")[0]
        own = {f"{owner}.{pin}" for pin in load.pins}
        found = []
        for b in self.ends:
            places = {node for node, _ in self.net.branches[b].terms[:2]} & set(self.circuit.places)
            if self.owner(b) == owner and places <= own:
                found.append(b)
        return found

    def loads_on(self, hops: Sequence[Hop], beside: Part) -> tuple[str, ...]:
        """The loads on a way other than the one it is the way of, in its order."""
        of = {b: name for name, some in self.of_load.items() for b in some if name != beside.id}
        return tuple(dict.fromkeys(of[b] for b, _, _ in hops if b in of))

    def owner(self, b: int) -> str:
        """The part a branch belongs to; empty for a conductor or a bridge."""
        name = self.net.branches[b].id
        part = name.partition(".")[0]
        return part if name not in self.circuit.segments and part in self.circuit.parts else ""


@dataclass(frozen=True)
class Flow:
    """The currents of one row."""

    ways: Ways
    i: Floats  # (b,)
    state: States  # (d,)

    def through(self, part: Part) -> tuple[Hop, ...]:
        """From feed to ground through a load; empty where nothing flows in it."""
        branches, owner = self.ways.of_load[part.id], part.id.partition(".")[0]
        net_out: dict[int, float] = defaultdict(float)
        for b in branches:
            first, second = self.ways.ends[b]
            net_out[first] += float(self.i[b])
            net_out[second] -= float(self.i[b])
        if not net_out or max(net_out.values()) < LEAST_A:
            return ()
        enters, leaves = (
            max(net_out, key=net_out.__getitem__),
            min(net_out, key=net_out.__getitem__),
        )
        main = max(branches, key=lambda b: abs(self.i[b]))
        return (*self.up(enters, owner), (main, enters, leaves), *self.down(leaves, owner))

    def coil(self, watched: int) -> tuple[tuple[Hop, ...], tuple[Hop, ...]]:
        """The ways to and from the coil that a relay looks at, the coil itself left out. Where it
        looks at the pull of several windings, that which carries most."""
        node = self.ways.net.branches[watched].terms[0][0]
        windings = [watched] if watched in self.ways.ends else [
            b for b in self.ways.ends if node in dict(self.ways.net.branches[b].terms)
        ]  # fmt: skip
        b = max(windings, key=lambda w: abs(self.i[w]))
        first, second = self.ways.ends[b]
        enters, leaves = (first, second) if self.i[b] >= 0 else (second, first)
        own = self.ways.owner(b)
        return self.up(enters, own), self.down(leaves, own)

    def up(self, node: int, leave_out: str = "") -> tuple[Hop, ...]:
        """Against the current to the source, told from the source on."""
        hops = self._walk(node, leave_out, into=True)
        return tuple((b, there, here) for b, here, there in reversed(hops))

    def down(self, node: int, leave_out: str = "") -> tuple[Hop, ...]:
        """With the current to the body or back to the source."""
        return tuple(self._walk(node, leave_out, into=False))

    def _walk(self, node: int, leave_out: str, into: bool) -> list[Hop]:
        """The way by the largest currents that does end at a source or the body."""
        return self._search(node, leave_out, into, {node}) or []

    def _search(self, node: int, leave_out: str, into: bool, seen: set[int]) -> list[Hop] | None:
        if node == self.ways.net.n:
            return []
        for _, b, other in self._on(node, leave_out, into):
            if self.is_source(b):
                return [(b, node, other)]
            if other in seen:
                continue
            seen.add(other)
            rest = self._search(other, "", into, seen)
            if rest is not None:
                return [(b, node, other), *rest]
        return None

    def _on(self, node: int, leave_out: str, into: bool) -> list[tuple[float, int, int]]:
        """Currents, branches and next nodes by which the way can go on, the largest first."""
        found = []
        for b in self.ways.at.get(node, []):
            first, second = self.ways.ends[b]
            outward = float(self.i[b]) if node == first else -float(self.i[b])
            amps = -outward if into else outward
            if amps > LEAST_A and not (leave_out and self.ways.owner(b) == leave_out):
                found.append((amps, b, second if node == first else first))
        return sorted(found, reverse=True)

    def is_source(self, b: int) -> bool:
        """A branch that gives power: its EMF drives the current."""
        return bool(self.ways.net.emf[b] * self.i[b] < 0)

    def state_of(self, d: int) -> str:
        """The state of a device by its number; empty for -1."""
        return self.ways.net.devices[d].states[int(self.state[d])] if d >= 0 else ""


def steps(flow: Flow, hops: Sequence[Hop]) -> tuple[Step, ...]:
    """Hops as a person follows them: one step for a part, however many branches it has."""
    found: list[Step] = []
    for k, (b, here, there) in enumerate(hops):
        step = _step(flow, b, here, there)
        if flow.is_source(b):
            step = replace(step, from_place="") if k == 0 else replace(step, to_place="")
        if found and found[-1].id == step.id and step.id in flow.ways.circuit.parts:
            step = _as_one(found.pop(), step)
        found.append(step)
    return tuple(found)


def _as_one(a: Step, b: Step) -> Step:
    return replace(
        a,
        to_place=b.to_place,
        device=a.device or b.device,
        state=a.state or b.state,
        current_a=max(a.current_a, b.current_a),
    )


DIODES = ("diode", "LED", "zener")
"""Kinds whose conducting is worth saying."""


def _step(flow: Flow, b: int, here: int, there: int) -> Step:
    circuit, net = flow.ways.circuit, flow.ways.net
    name, d = net.branches[b].id, int(net.owner[b])
    segment, part = circuit.segments.get(name), circuit.parts.get(flow.ways.owner(b))
    step = Step(
        "bridge", name, name, _node(net, here), _node(net, there),
        net.devices[d].id if d >= 0 else "", flow.state_of(d), "", abs(float(flow.i[b])),
        "", 0.0, 0.0,
    )  # fmt: skip
    if segment is not None:
        return replace(
            step, kind=segment.kind, title=_conductor(segment), unit=segment.unit,
            colour=segment.colour, area_mm2=segment.area_mm2, length_m=segment.length_m,
        )  # fmt: skip
    if part is not None:
        if d >= 0 and net.devices[d].kind == "diode" and part.kind not in DIODES:
            step = replace(step, device="", state="")  # inside a battery: no news to a person
        return replace(step, kind=part.kind, id=part.id, title=part_title(part), unit=part.unit)
    return step


def _node(net: Network, node: int) -> str:
    """A place, or empty for a node inside a part."""
    if node == net.n:
        return BODY
    return "" if "#" in net.nodes[node] else net.nodes[node]


def part_title(part: Part) -> str:
    """A part's kind, with its rated current where it has one."""
    rated = part.values.get("rating_a")
    return kinds()[part.kind].title + (f" {format_quantity(rated, 'A')}" if rated else "")


def _conductor(segment: Segment) -> str:
    if segment.kind == "wire":
        size = format_quantity(segment.area_mm2, "mm2")
        length = format_quantity(segment.length_m, "m")
        return f"{segment.colour} {size}, {length}".strip()
    if segment.kind == "contact":
        return f"plug {segment.connector}, cavity {segment.cavity}"
    return f"inside the {segment.unit}"


def sign_through(ways: Ways, i: Floats, load: str) -> int:
    """Which way the current passes a load: by the sign of its largest branch current."""
    largest = max(ways.of_load[load], key=lambda b: abs(i[b]), default=-1)
    return int(np.sign(i[largest])) if largest >= 0 and abs(i[largest]) > LEAST_A else 0
