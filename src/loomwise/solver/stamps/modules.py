"""Control modules: what each pin is, by its role."""

from collections.abc import Callable

from loomwise.circuit.model import BODY, Circuit, ModulePin, Part
from loomwise.solver.network import Device
from loomwise.solver.stamps.buses import BUS_STAMPS
from loomwise.solver.stamps.common import Stamped, junction, ohm, ratio
from loomwise.solver.stamps.feeds import regulator

INPUT_PULL_OFF_S = 1e-9
GATE_OHM, PULSE_LEAK_OHM, ONE_WAY_BACK_A = 1e-3, 1e6, 1e-6

RAIL_OHM = 1e-3
"""A module's board from pin to pin. Engineering judgement."""


def module_pin(p: Part, role: str) -> str:
    """Place id of the module's first pin of a role; the body if it has none."""
    pin = next((name for name, m in p.module_pins.items() if m.role == role), None)
    return f"{p.id}.{pin}" if pin else BODY


def module(p: Part, circuit: Circuit) -> Stamped:
    """Awake while it is fed; then pins do what their roles and the logic say."""
    supply, ground = module_pin(p, "supply"), module_pin(p, "ground")
    limits = (p.values["minimum_v"],)
    yield Device(p.id, "module", ("dead", "awake"), (supply, ground), limits)
    if supply != BODY:
        yield ohm(f"{p.id}.draw", supply, ground, p.values["draw_ohm"], scatter=f"{p.id}.draw")
    for name, pin in p.module_pins.items():
        yield from _rail(p, name, {"supply": supply, "ground": ground}.get(pin.role, BODY))
        yield from _pull(p, name, pin, ground)
        if pin.role in ROLES:
            yield from ROLES[pin.role](p, name, pin, supply, ground)
    for role, stamp in BUS_STAMPS.items():
        if any(pin.role == role for pin in p.module_pins.values()):
            yield from stamp(p, circuit, supply, ground)


def _rail(p: Part, name: str, first: str) -> Stamped:
    """Further supply or ground pins are one rail with the first of their role."""
    if first not in (BODY, f"{p.id}.{name}"):
        yield ohm(f"{p.id}.{name}.rail", first, f"{p.id}.{name}", RAIL_OHM)


def _pull(p: Part, name: str, pin: ModulePin, ground: str) -> Stamped:
    """What an input is pulled to, or an output is biased to when idle."""
    place, ends = f"{p.id}.{name}", (f"{p.id}.{name}", ground)
    if pin.pull == "up":
        yield ohm(f"{place}.pull", *ends, pin.ohm, p.id, (1,), place, pin.to_v, INPUT_PULL_OFF_S)
    if pin.pull == "down":
        yield ohm(f"{place}.pull", *ends, pin.ohm, scatter=place)


def _output(p: Part, name: str, pin: ModulePin, supply: str, ground: str) -> Stamped:
    """Low-side, high-side or half-bridge, with its trip and its pulses."""
    place = f"{p.id}.{name}"
    half = pin.role == "half-bridge"
    states = ("off", "on", "asleep") if half else ("off", "on")
    yield Device(place, "output", states, (p.id,), control=place)
    inner = f"{place}#gate" if pin.trip_a else place
    if pin.trip_a:
        yield from _trip(place, pin.trip_a)
    yield from _driver(p, place, inner, pin, (supply, ground))
    if half:
        ohms = p.values["output_ohm"]
        yield ohm(f"{place}.low", inner, ground, ohms, place, (0,), f"{place} low")


def _trip(place: str, trip_a: float) -> Stamped:
    """Opens at its current, and stays so until the output has been off."""
    gate, name = f"{place}.gate", f"{place}.trip"
    yield Device(name, "trip", ("sound", "tripped"), (gate, place), (trip_a,))
    yield ohm(gate, f"{place}#gate", place, GATE_OHM, name, (0,))


def _driver(p: Part, place: str, inner: str, pin: ModulePin, rails: tuple[str, str]) -> Stamped:
    (supply, ground), ohms = rails, p.values["output_ohm"]
    low, off_s = pin.role == "low-side", 1.0 / p.values["leak_ohm"]
    name = f"{place}.driver"
    if not pin.duty:
        ends = (inner, ground) if low else (supply, inner)
        yield ohm(name, *ends, ohms, place, (1,), place, 0.0, off_s)
        return
    # The mean of the pulses, as a meter and a load with a flywheel or a coil feel it: a step-down
    # converter. Valid where current flows on through a free-wheeling path between pulses.
    if low:  # it can only draw down: without a load there is nothing to let go of
        node = f"{place}#pulse"
        yield from junction(f"{place}.oneway", inner, node, 0.0, ohms, ONE_WAY_BACK_A)
        yield ratio(name, node, ground, supply, pin.duty, ohms, place, (1,))
        yield ohm(f"{place}.leak", node, ground, PULSE_LEAK_OHM)
        return
    yield ratio(name, inner, supply, ground, pin.duty, ohms, place, (1,), off_s)


def _sensor_supply(p: Part, name: str, pin: ModulePin, _: str, ground: str) -> Stamped:
    """Steady volts up to a current, and never back into the module."""
    place, inner = f"{p.id}.{name}", f"{p.id}.{name}#regulated"
    yield from regulator(f"{place}.regulator", inner, ground, pin.to_v, pin.limit_a, 0.01)
    yield ohm(f"{place}.driver", inner, place, pin.ohm, p.id, (1,), place)


ROLES: dict[str, Callable[[Part, str, ModulePin, str, str], Stamped]] = {
    "low-side": _output, "high-side": _output, "half-bridge": _output,
    "sensor supply": _sensor_supply,
}  # fmt: skip
