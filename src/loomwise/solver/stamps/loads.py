"""What a circuit is there for: light, heat, sound, pull and motion."""

from loomwise.circuit.model import FILAMENTS, Circuit, Part
from loomwise.solver.laws import FILAMENT, LOAD
from loomwise.solver.network import Branch, Device
from loomwise.solver.stamps.common import Stamped, resistance
from loomwise.solver.stamps.switching import SEAT_S, knee

VISCOUS_SHARE = 0.05
NO_BREAKDOWN_V = 1e4
"""An LED is taken never to break down: its series resistor or bridge rectifier sees to that. [V]"""


def heater(p: Part, circuit: Circuit) -> Stamped:
    """A resistance by its power."""
    yield from resistance(p, circuit.supply_v**2 / p.values["power_w"])


def by_current(p: Part, circuit: Circuit) -> Stamped:
    """A resistance by its current."""
    yield from resistance(p, circuit.supply_v / p.values["current_a"])


def lamp(p: Part, _: Circuit) -> Stamped:
    """One filament."""
    yield _filament(p, p.id, "1", "2", p.values["power_w"])


def two_filament_lamp(p: Part, _: Circuit) -> Stamped:
    """Two filaments with a common pin; either is a load of its own, named by its pin."""
    for pin, power in FILAMENTS.items():
        yield _filament(p, f"{p.id}.{pin}", pin, "31", p.values[power])


def _filament(p: Part, name: str, a: str, b: str, power_w: float) -> Branch:
    rated_v = p.values["rated_v"]
    params = (rated_v, power_w / rated_v, p.values["cold_ratio"], 0.0)
    ends, element = ((f"{p.id}.{a}", 1.0), (f"{p.id}.{b}", -1.0)), f"{name}.element"
    return Branch(element, ends, law=FILAMENT, params=params, scatter=element)


def led(p: Part, circuit: Circuit) -> Stamped:
    """A knee and the series resistor that sets the current at nominal voltage."""
    forward_v = p.values["forward_v"]
    series_ohm = (circuit.supply_v - forward_v) / p.values["current_a"]
    yield from knee(p, (forward_v, series_ohm), (NO_BREAKDOWN_V, series_ohm))


def _turning(p: Part, torque: float) -> Stamped:
    """The mechanical side: stalled on its seat, or turning either way against friction and load."""
    friction = p.values["friction"]
    square = 1.0 - friction - VISCOUS_SHARE
    speed, name = ((f"{p.id}#speed", 1.0),), p.id
    dry, viscous, fan = friction * torque, VISCOUS_SHARE * torque, square * torque
    yield Device(name, "motor", ("stalled", "forward", "reverse"), (f"{name}.seat",), (dry,))
    yield Branch(f"{name}.seat", speed, SEAT_S, device=name, states=(0,))
    for word, state, sign in (("load", 1, 1.0), ("load back", 2, -1.0)):
        params = (sign * dry, viscous, fan, 0.0)
        yield Branch(f"{name}.{word}", speed, law=LOAD, params=params, device=name,
                     states=(state,), scatter=f"{name}.load")  # fmt: skip


def _winding(p: Part, word: str, plus: str, minus: str, ohm: float, emf_k: float) -> Branch:
    terms = ((f"{p.id}.{plus}", 1.0), (f"{p.id}.{minus}", -1.0), (f"{p.id}#speed", -emf_k))
    return Branch(f"{p.id}.{word}", terms, 1.0 / ohm, scatter=f"{p.id}.winding")


def motor(p: Part, circuit: Circuit) -> Stamped:
    """One winding with back EMF between its two pins; turns the way the current flows."""
    ohm, amps = p.values["resistance_ohm"], p.values["current_a"]
    emf_k = circuit.supply_v - amps * ohm
    plus, minus = p.pins
    yield _winding(p, "winding", plus, minus, ohm, emf_k)
    yield from _turning(p, emf_k * amps)


def two_speed_motor(p: Part, circuit: Circuit) -> Stamped:
    """Two windings on one shaft."""
    ohm, amps, share = p.values["resistance_ohm"], p.values["current_a"], p.values["fast_share"]
    emf_k = circuit.supply_v - amps * ohm
    yield _winding(p, "slow", "53", "31", ohm, emf_k)
    yield _winding(p, "fast", "53i", "31", ohm * share, emf_k * share)
    yield from _turning(p, emf_k * amps)
