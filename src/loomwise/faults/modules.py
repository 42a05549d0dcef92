"""Faults of control modules, pin by pin according to its role."""

from collections.abc import Callable, Iterator

from loomwise.circuit.model import BODY, OUTPUTS, Circuit, ModulePin, Part
from loomwise.edits import Bridge, Edit, Hold, Limit, Open
from loomwise.faults.draft import Draft, settings
from loomwise.faults.shapes import Currents, one_of, title_of

LEAKS_OHM = (20.0, 60.0, 200.0, 600.0)
PULLED_DOWN_OHM = (1.0, 10.0, 40.0)
TRIPS_EARLY, SHORTED_OHM = 0.4, 5.0
"""Engineering judgement, all of these."""
BUS_PINS = ("can-h", "can-l", "slow can-h", "slow can-l", "lin")


def module_faults(p: Part, _: Circuit, __: Currents) -> Iterator[Draft]:
    """Dead though fed, and what its pins may do wrong."""
    yield one_of(p, "module", "dead", Hold(p.id, "dead"))
    for name, pin in p.module_pins.items():
        for roles, make in MAKERS:
            if pin.role in roles:
                yield from make(p, name, pin)


def _output(p: Part, name: str, pin: ModulePin) -> Iterator[Draft]:
    place, title = f"{p.id}.{name}", f"{title_of(p)}, {name}"
    yield one_of(p, "module", "output stuck off", Hold(place, "off"), pin=name)
    yield one_of(p, "module", "output stuck on", Hold(place, "on"), pin=name)
    leaks: list[tuple[str, Edit]] = [
        (f"{ohm:g} ohm", Bridge(place, BODY, ohm)) for ohm in LEAKS_OHM
    ]
    yield settings("module", "output leaking", place, p.unit, title, leaks)
    if pin.role == "half-bridge":
        yield one_of(p, "module", "half open", Open(f"{place}.low"), pin=name)
    if pin.trip_a:
        early = Limit(f"{place}.trip", 0, TRIPS_EARLY)
        yield one_of(p, "module", "trips early", early, pin=name)


def _input(p: Part, name: str, pin: ModulePin) -> Iterator[Draft]:
    if pin.pull != "none":
        yield one_of(p, "module", "input dead", Open(f"{p.id}.{name}.pull"), pin=name)


def _sensor_supply(p: Part, name: str, _: ModulePin) -> Iterator[Draft]:
    place, title = f"{p.id}.{name}", f"{title_of(p)}, {name}"
    down: list[tuple[str, Edit]] = [
        (f"{ohm:g} ohm", Bridge(place, BODY, ohm)) for ohm in PULLED_DOWN_OHM
    ]
    yield settings("module", "sensor supply pulled down", place, p.unit, title, down)
    yield one_of(p, "module", "sensor supply dead", Open(f"{place}.driver"), pin=name)


def _bus(p: Part, name: str, pin: ModulePin) -> Iterator[Draft]:
    place = f"{p.id}.{name}"
    drivers = Open(f"{place}.driver.traffic"), Open(f"{place}.driver.dominant")
    yield one_of(p, "module", "bus driver dead", *drivers, pin=name)
    shorted = Bridge(place, BODY, SHORTED_OHM)
    yield one_of(p, "module", "bus pin shorted inside", shorted, pin=name)
    if pin.terminator_ohm or pin.role.startswith("slow"):
        gone = Open(f"{place}.terminator")
        yield one_of(p, "module", "terminator missing", gone, pin=name)
    if pin.role == "lin":
        yield one_of(p, "module", "pull-up missing", Open(f"{place}.pull"), pin=name)


MAKERS: tuple[tuple[tuple[str, ...], Callable[[Part, str, ModulePin], Iterator[Draft]]], ...] = (
    (OUTPUTS, _output),
    (("input",), _input),
    (("sensor supply",), _sensor_supply),
    (BUS_PINS, _bus),
)
