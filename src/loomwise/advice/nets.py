"""Places that are wired straight to pins of modules."""

from collections.abc import Iterable

from loomwise.circuit.model import Circuit


def module_nets(circuit: Circuit) -> frozenset[str]:
    """Places wired straight to a module's pin: no test lamp there (its drivers are not made for
    it; common practice, no source)."""
    return _wired_to(circuit, (
        f"{part.id}.{name}"
        for part in circuit.parts_of_kind("module")
        for name, pin in part.module_pins.items()
        if pin.role not in ("supply", "ground")
    ))  # fmt: skip


def pulsed_nets(circuit: Circuit) -> frozenset[str]:
    """Places wired straight to a pulsed output, where pulses can be counted."""
    return _wired_to(circuit, (
        f"{part.id}.{name}"
        for part in circuit.parts_of_kind("module")
        for name, pin in part.module_pins.items()
        if pin.duty
    ))  # fmt: skip


def _wired_to(circuit: Circuit, pins: Iterable[str]) -> frozenset[str]:
    of: dict[str, set[str]] = {}
    for seg in circuit.segments.values():
        of.setdefault(seg.a, set()).add(seg.b)
        of.setdefault(seg.b, set()).add(seg.a)
    for splice in circuit.parts_of_kind("splice"):
        legs = {f"{splice.id}.{pin}" for pin in splice.pins}
        for leg in legs:
            of.setdefault(leg, set()).update(legs)
    found = set(pins)
    queue = list(found)
    while queue:
        for near in of.get(queue.pop(), set()) - found:
            found.add(near)
            queue.append(near)
    return frozenset(found)
