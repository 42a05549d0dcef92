"""What lets the current through: switches, relays with what feeds and grounds them, outputs."""

from collections.abc import Iterator, Sequence

from loomwise.explain.explanation import Decider, Step
from loomwise.explain.path import Flow, Hop, steps
from loomwise.logic import describe_rule, parse_rule
from loomwise.solver.network import Device


def deciders(flow: Flow, path: Sequence[Hop]) -> tuple[Decider, ...]:
    """The devices on a path, and those on the ways of the coils that hold them."""
    found: dict[str, Decider] = {}
    waiting = list(path)
    while waiting:
        d = int(flow.ways.net.owner[waiting.pop(0)[0]])
        device = flow.ways.net.devices[d] if d >= 0 else None
        if device is None or device.id in found or device.kind in _BY_THEMSELVES:
            continue
        up, down = _coil(flow, device, d)
        found[device.id] = _decider(flow, device, d, steps(flow, up), steps(flow, down))
        waiting += [*up, *down]
    return tuple(found.values())


_BY_THEMSELVES = ("motor", "diode", "module")
"""Devices that decide nothing of their own."""


def _coil(flow: Flow, device: Device, d: int) -> tuple[tuple[Hop, ...], tuple[Hop, ...]]:
    if device.kind != "relay" or flow.state[d] == 0:
        return (), ()
    return flow.coil(flow.ways.net.branch_index[device.watch[0]])


def _decider(
    flow: Flow, device: Device, d: int, feed: tuple[Step, ...], ground: tuple[Step, ...]
) -> Decider:
    state = device.states[int(flow.state[d])]
    control = device.control if device.control in flow.ways.circuit.controls else ""
    rules = tuple(_rules(flow, device)) if device.kind == "output" else ()
    return Decider(_name(flow, device), device.kind, state, control, feed, ground, rules)


def _name(flow: Flow, device: Device) -> str:
    """What a person calls it: the part, or a module's pin; never something inside."""
    known = device.id in flow.ways.circuit.places
    return device.id if known else device.id.partition(".")[0]


def _rules(flow: Flow, device: Device) -> Iterator[str]:
    module, _, pin = device.id.partition(".")
    for line in flow.ways.circuit.logic:
        if line.module == module:
            rule = parse_rule(line.text)
            if pin in rule.outputs:
                yield describe_rule(rule)
