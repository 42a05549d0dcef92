"""How devices follow voltages, written anew from the model's thresholds for the comparison.

Nothing here uses the solver's own switching rules. One device class moves at a time, motors first,
so that a relay sees a motor that turns; fuses are not asked, as nothing blows in a sound circuit.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from loomwise.circuit.model import BODY, Circuit, Part
from loomwise.solver.network import Floats, Network
from loomwise.solver.rows import States


@dataclass(frozen=True)
class _Row:
    """One setup's voltages, and the states that belonged to them."""

    circuit: Circuit
    net: Network
    v: Floats
    state: States

    def at(self, place: str) -> float:
        return float(self.v[self.net.node_index[place]])

    def is_in(self, device: str) -> int:
        return int(self.state[self.net.device_index[device]])


def settle_by(
    volts: Callable[[States], Floats], circuit: Circuit, net: Network, start: States
) -> States:
    """States at which nothing moves any more; ``volts`` solves all rows for given states."""
    state = start.copy()
    for _ in range(40):
        v, fresh = volts(state), state.copy()
        for r in range(len(state)):
            for device, wanted in _moves(_Row(circuit, net, v[r], state[r])):
                fresh[r, net.device_index[device]] = wanted
        if (fresh == state).all():
            return state
        state = fresh
    raise AssertionError("the devices do not come to rest")


def _moves(row: _Row) -> Iterator[tuple[str, int]]:
    """The changes of the first class of devices that wants any."""
    for rule in (_diodes, _motors, _relays, _modules):
        moved = [(d, to) for d, to in rule(row) if to != row.is_in(d)]
        if moved:
            yield from moved
            return


def _diodes(row: _Row) -> Iterator[tuple[str, int]]:
    for part in row.circuit.parts_of_kind("diode"):
        across_v = row.at(f"{part.id}.A") - row.at(f"{part.id}.K")
        for name, sign in (("junction", 1.0), ("junction reversed", -1.0)):
            fitted = name == "junction"
            knee_v = part.values["forward_v"]
            yield f"{part.id}.{name}", int(fitted and sign * across_v > knee_v)
    for part in row.circuit.parts_of_kind("relay"):
        if part.options.get("suppression") == "diode":
            across_v = row.at(f"{part.id}.85") - row.at(f"{part.id}.86")
            yield f"{part.id}.suppressor", int(across_v > 0.6)


def _windings(part: Part) -> list[tuple[str, str, float]]:
    """Plus pin, minus pin and share of the whole winding."""
    if part.kind != "two-speed motor":
        return [(part.pins[0], part.pins[1], 1.0)]
    return [("53", "31", 1.0), ("53i", "31", part.values["fast_share"])]


def _motors(row: _Row) -> Iterator[tuple[str, int]]:
    """A motor breaks away when its torque at rest beats its dry friction."""
    for part in row.circuit.parts_of_kind("motor", "reversible motor", "two-speed motor"):
        ohm, amps = part.values["resistance_ohm"], part.values["current_a"]
        emf_v = row.circuit.supply_v - ohm * amps
        speed = row.at(f"{part.id}#speed")
        torque = sum(
            emf_v * (row.at(f"{part.id}.{a}") - row.at(f"{part.id}.{b}")) / ohm
            for a, b, _ in _windings(part)
        )  # at rest, so without back EMF; a tap has its share of both the EMF and the ohms
        dry = part.values["friction"] * emf_v * amps
        if row.is_in(part.id) == 0:
            yield part.id, 1 if torque > dry else 2 if torque < -dry else 0
        else:
            forward = row.is_in(part.id) == 1
            yield part.id, row.is_in(part.id) if (speed > 1e-7) == forward else 0


def _relays(row: _Row) -> Iterator[tuple[str, int]]:
    for part in row.circuit.parts_of_kind("relay"):
        across_v = abs(row.at(f"{part.id}.86") - row.at(f"{part.id}.85"))
        if across_v >= part.values["pull_in_v"]:
            yield part.id, 1
        elif across_v <= part.values["drop_out_v"]:
            yield part.id, 0


def _pin(part: Part, role: str) -> str:
    names = [n for n, p in part.module_pins.items() if p.role == role]
    return f"{part.id}.{names[0]}" if names else BODY


def _modules(row: _Row) -> Iterator[tuple[str, int]]:
    """A module wakes with its supply, then drives its outputs by its rules."""
    for part in row.circuit.parts_of_kind("module"):
        low_v = row.at(_pin(part, "ground"))
        awake = row.at(_pin(part, "supply")) - low_v >= part.values["minimum_v"]
        yield part.id, int(awake)
        words = {
            name: next(b.name for b in pin.bands if row.at(f"{part.id}.{name}") - low_v < b.below_v)
            for name, pin in part.module_pins.items()
            if pin.role == "input"
        }
        for rule in row.circuit.logic:
            if rule.module == part.id:
                output, _, asked = rule.text.partition(" on when ")
                was_awake = row.is_in(part.id) == 1
                for each in output.split(", "):
                    yield f"{part.id}.{each}", int(was_awake and _holds(asked, words))


def _holds(asked: str, words: dict[str, str]) -> bool:
    """``T1 is warm or T1 is hot and AC is on``: "and" binds closer; nothing else is understood."""
    return any(
        all(words[name] == word for name, word in (t.split(" is ") for t in either.split(" and ")))
        for either in asked.split(" or ")
    )
