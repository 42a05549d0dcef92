"""Part kinds to branches and devices: one small function a kind.

Ids: ``PART.word`` for branches (``K1.coil``), ``PART`` or ``PART.PIN`` for devices, ``PART#word``
for nodes inside a part, which no probe reaches.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace

from loomwise.circuit.model import BODY, Circuit, ModulePin, Part
from loomwise.edits.relays import REVERSED
from loomwise.solver.laws import FILAMENT, LOAD
from loomwise.solver.network import PARTED_S, Branch, Device, Network, assemble

CONDUCTORS = "conductors"
SEAT_S = 1e9
"""Holds the speed node at zero while a motor is stalled. [W per unit of speed squared]"""
VISCOUS_SHARE = 0.05
DIODE_OFF_S = 1e-8
INPUT_PULL_OFF_S = 1e-9

Stamped = Iterator[Branch | Device]


def compile_circuit(circuit: Circuit) -> Network:
    """The arrays of the whole circuit as drawn, nothing undone."""
    stamped: list[Branch | Device] = []
    for part in circuit.parts.values():
        stamped.extend(STAMPS[part.kind](part, circuit))
    for seg in circuit.segments.values():
        stamped.append(_ohm(seg.id, seg.a, seg.b, seg.resistance_ohm, scatter=CONDUCTORS))
    branches = tuple(s for s in stamped if isinstance(s, Branch))
    devices = tuple(s for s in stamped if isinstance(s, Device))
    inner = (node for b in branches for node, _ in b.terms if node != BODY)
    nodes = tuple(dict.fromkeys([*circuit.places, *inner]))
    return assemble(nodes, branches, devices)


def _ohm(
    name: str, a: str, b: str, ohm: float, device: str = "", states: tuple[int, ...] = (),
    scatter: str = "", emf_v: float = 0.0, off_s: float = 1e-12,
) -> Branch:  # fmt: skip
    return Branch(
        name, ((a, 1.0), (b, -1.0)), 1.0 / ohm, emf_v,
        device=device, states=states, off_s=off_s, scatter=scatter,
    )  # fmt: skip


def _battery(p: Part, _: Circuit) -> Stamped:
    ohm, emf = p.values["resistance_ohm"], p.values["emf_v"]
    yield _ohm(f"{p.id}.cell", f"{p.id}.+", f"{p.id}.-", ohm, emf_v=emf, scatter=f"{p.id}.cell")


def _fuse(p: Part, _: Circuit) -> Stamped:
    yield Device(p.id, "fuse", ("intact", "blown"), (f"{p.id}.link",), (p.values["rating_a"],))
    ohm = p.values["resistance_ohm"]
    yield _ohm(f"{p.id}.link", f"{p.id}.1", f"{p.id}.2", ohm, p.id, (0,), CONDUCTORS)


def _splice(p: Part, _: Circuit) -> Stamped:
    for pin in p.pins:
        name = f"{p.id}.{pin}"
        yield _ohm(name, name, f"{p.id}#joint", p.values["joint_ohm"], scatter=CONDUCTORS)


def _ground(p: Part, circuit: Circuit) -> Stamped:
    yield from _splice(p, circuit)
    yield _ohm(f"{p.id}.stud", f"{p.id}#joint", BODY, p.values["stud_ohm"], scatter=CONDUCTORS)


def _relay(p: Part, _: Circuit) -> Stamped:
    pin = {name: f"{p.id}.{name}" for name in p.pins}
    coil, ohm = f"{p.id}.coil", p.values["coil_ohm"]
    limits = (p.values["pull_in_v"] / ohm, p.values["drop_out_v"] / ohm)
    yield Device(p.id, "relay", ("released", "pulled"), (coil,), limits)
    yield _ohm(coil, pin["86"], pin["85"], ohm, scatter=coil)
    contact = p.values["contact_ohm"]
    for word, far, closed in (("make", "87", 1), ("break", "87a", 0)):
        if far in pin:
            name, ends = f"{p.id}.{word}", (pin["30"], pin[far])
            yield _ohm(name, *ends, contact, p.id, (closed,), CONDUCTORS)
            other = _ohm(f"{name} {REVERSED}", *ends, contact, p.id, (1 - closed,))
            yield replace(other, conductance_s=PARTED_S)  # idle unless NO and NC are exchanged
    if p.options.get("suppression") == "resistor":
        yield _ohm(f"{p.id}.suppressor", pin["86"], pin["85"], p.values["suppression_ohm"])
    if p.options.get("suppression") == "diode":
        yield from _junction(f"{p.id}.suppressor", pin["85"], pin["86"], 0.6, 0.05)


def _junction(name: str, anode: str, cathode: str, forward_v: float, on_ohm: float) -> Stamped:
    yield Device(name, "diode", ("blocking", "conducting"), (name,), (forward_v,))
    yield _ohm(name, anode, cathode, on_ohm, name, (1,), emf_v=forward_v, off_s=DIODE_OFF_S)


def _diode(p: Part, _: Circuit) -> Stamped:
    values = p.values["forward_v"], p.values["on_ohm"]
    name, anode, cathode = f"{p.id}.junction", f"{p.id}.A", f"{p.id}.K"
    yield from _junction(name, anode, cathode, *values)
    backwards = f"{name} reversed"  # idle unless a fault turns the diode round
    for item in _junction(backwards, cathode, anode, *values):
        yield replace(item, conductance_s=PARTED_S) if isinstance(item, Branch) else item


def _switch(p: Part, _: Circuit) -> Stamped:
    states = tuple(p.positions)
    yield Device(p.id, "switch", states, control=p.control)
    pairs = dict.fromkeys(pair for pairs in p.positions.values() for pair in pairs)
    for a, b in pairs:
        made = tuple(i for i, s in enumerate(states) if (a, b) in p.positions[s])
        ends = f"{p.id}.{a}", f"{p.id}.{b}"
        ohm = p.values["contact_ohm"]
        yield _ohm(f"{p.id}.{a}-{b}", *ends, ohm, p.id, made, CONDUCTORS)


def _sensor(p: Part, _: Circuit) -> Stamped:
    yield Device(p.id, "switch", tuple(p.ohms), control=p.control)
    for i, (state, ohm) in enumerate(p.ohms.items()):
        name = f"{p.id}.{state}"
        yield _ohm(name, f"{p.id}.1", f"{p.id}.2", ohm, p.id, (i,), scatter=f"{p.id}.element")


def _resistance(p: Part, ohm: float) -> Stamped:
    name = f"{p.id}.element"
    yield _ohm(name, f"{p.id}.1", f"{p.id}.2", ohm, scatter=name)


def _resistor(p: Part, _: Circuit) -> Stamped:
    yield from _resistance(p, p.values["resistance_ohm"])


def _heater(p: Part, circuit: Circuit) -> Stamped:
    yield from _resistance(p, circuit.supply_v**2 / p.values["power_w"])


def _horn(p: Part, circuit: Circuit) -> Stamped:
    yield from _resistance(p, circuit.supply_v / p.values["current_a"])


def _lamp(p: Part, _: Circuit) -> Stamped:
    rated_v = p.values["rated_v"]
    params = (rated_v, p.values["power_w"] / rated_v, p.values["cold_ratio"])
    name, ends = f"{p.id}.element", ((f"{p.id}.1", 1.0), (f"{p.id}.2", -1.0))
    yield Branch(name, ends, law=FILAMENT, params=params, scatter=name)


def _turning(p: Part, torque: float) -> Stamped:
    """The mechanical side: stalled on its seat, or turning either way against friction and load."""
    friction = p.values["friction"]
    square = 1.0 - friction - VISCOUS_SHARE
    speed, name = ((f"{p.id}#speed", 1.0),), p.id
    dry, viscous, fan = friction * torque, VISCOUS_SHARE * torque, square * torque
    yield Device(name, "motor", ("stalled", "forward", "reverse"), (f"{name}.seat",), (dry,))
    yield Branch(f"{name}.seat", speed, SEAT_S, device=name, states=(0,))
    yield Branch(f"{name}.load", speed, law=LOAD, params=(dry, viscous, fan), device=name,
                 states=(1,), scatter=f"{name}.load")  # fmt: skip
    yield Branch(f"{name}.load back", speed, law=LOAD, params=(-dry, viscous, fan), device=name,
                 states=(2,), scatter=f"{name}.load")  # fmt: skip


def _winding(p: Part, word: str, plus: str, minus: str, ohm: float, emf_k: float) -> Branch:
    terms = ((f"{p.id}.{plus}", 1.0), (f"{p.id}.{minus}", -1.0), (f"{p.id}#speed", -emf_k))
    return Branch(f"{p.id}.{word}", terms, 1.0 / ohm, scatter=f"{p.id}.winding")


def _motor(p: Part, circuit: Circuit) -> Stamped:
    ohm, amps = p.values["resistance_ohm"], p.values["current_a"]
    emf_k = circuit.supply_v - amps * ohm
    yield _winding(p, "winding", "+", "-", ohm, emf_k)
    yield from _turning(p, emf_k * amps)


def _two_speed_motor(p: Part, circuit: Circuit) -> Stamped:
    ohm, amps, share = p.values["resistance_ohm"], p.values["current_a"], p.values["fast_share"]
    emf_k = circuit.supply_v - amps * ohm
    yield _winding(p, "slow", "53", "31", ohm, emf_k)
    yield _winding(p, "fast", "53i", "31", ohm * share, emf_k * share)
    yield from _turning(p, emf_k * amps)


def module_pin(p: Part, role: str) -> str:
    """Place id of the module's first pin of a role; the body if it has none."""
    pin = next((name for name, m in p.module_pins.items() if m.role == role), None)
    return f"{p.id}.{pin}" if pin else BODY


def _module(p: Part, _: Circuit) -> Stamped:
    supply, ground = module_pin(p, "supply"), module_pin(p, "ground")
    limits = (p.values["minimum_v"],)
    yield Device(p.id, "module", ("dead", "awake"), (supply, ground), limits)
    if supply != BODY:
        yield _ohm(f"{p.id}.draw", supply, ground, p.values["draw_ohm"], scatter=f"{p.id}.draw")
    for name, pin in p.module_pins.items():
        yield from _module_pin(p, name, pin, supply, ground)


def _module_pin(p: Part, name: str, pin: ModulePin, supply: str, ground: str) -> Stamped:
    place, ends = f"{p.id}.{name}", (f"{p.id}.{name}", ground)
    if pin.role == "input" and pin.pull == "up":
        yield _ohm(f"{place}.pull", *ends, pin.ohm, p.id, (1,), place, pin.to_v, INPUT_PULL_OFF_S)
    if pin.role == "input" and pin.pull == "down":
        yield _ohm(f"{place}.pull", *ends, pin.ohm, scatter=place)
    if pin.role in ("low-side", "high-side"):
        yield Device(place, "output", ("off", "on"), (p.id,), control=place)
        joined = ends if pin.role == "low-side" else (supply, place)
        ohm, leak = p.values["output_ohm"], p.values["leak_ohm"]
        yield _ohm(f"{place}.driver", *joined, pin.ohm or ohm, place, (1,), place, 0.0, 1.0 / leak)


STAMPS: dict[str, Callable[[Part, Circuit], Stamped]] = {
    "battery": _battery,
    "fuse": _fuse,
    "splice": _splice,
    "ground": _ground,
    "relay": _relay,
    "switch": _switch,
    "resistor": _resistor,
    "heater": _heater,
    "lamp": _lamp,
    "motor": _motor,
    "two-speed motor": _two_speed_motor,
    "horn": _horn,
    "diode": _diode,
    "sensor": _sensor,
    "module": _module,
}
