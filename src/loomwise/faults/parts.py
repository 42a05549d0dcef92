"""Faults of parts: which function makes those of a kind, and the kinds that switch or work."""

from collections.abc import Callable, Iterator

from loomwise.circuit.model import FILAMENTS, Circuit, Part
from loomwise.edits import Bridge, Edit, Hold, Limit, Open, Scale, SetEmf, SetOhm
from loomwise.faults import feeds, sensing
from loomwise.faults.draft import Draft, settings
from loomwise.faults.fuses import fuse_faults, link_faults
from loomwise.faults.grid import series_range_ohm
from loomwise.faults.modules import module_faults
from loomwise.faults.shapes import Currents, grid_of, one_of, title_of

SHORTED_COIL_OHM = 0.5
SHORT_OHM = 0.05
"""What is left of a part that is shorted inside: engineering judgement."""
ADDED_OHM = 0.02
"""A switch or piece of wire that somebody fitted across a contact: engineering judgement."""


def part_faults(circuit: Circuit, currents_a: Currents) -> Iterator[Draft]:
    """All faults of parts other than splices and grounds, drafts without weights."""
    for part in circuit.parts.values():
        make = KINDS.get(part.kind)
        if make is not None:
            yield from make(part, circuit, currents_a)


def _fuse(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    current_a = currents_a.get(f"{p.id}.link", 0.0)
    make = fuse_faults if p.kind == "fuse" else link_faults
    yield from make(p, current_a, series_range_ohm(current_a, c.supply_v))


def _relay(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    coil = f"{p.id}.coil"
    yield one_of(p, "relay", "coil open", Open(coil))
    shorted = SetOhm(coil, SHORTED_COIL_OHM), Hold(p.id, "released")
    yield one_of(p, "relay", "coil shorted", *shorted)
    yield from _sticking(p)
    for pin, word, prefix in (("87", "make", "contact"), ("87a", "break", "break contact")):
        if pin in p.pins:
            yield from _contact(p, word, prefix, c, currents_a)
    if "87" in p.pins:
        beside = Bridge(f"{p.id}.30", f"{p.id}.87", ADDED_OHM)
        yield one_of(p, "relay", "bypassed", beside)
    if p.options.get("suppression") == "diode":
        name = f"{p.id}.suppressor"
        yield one_of(p, "relay", "suppression shorted", Hold(name, "conducting"), SetEmf(name, 0.0))


def _sticking(p: Part) -> Iterator[Draft]:
    yield one_of(p, "relay", "contact welded", Hold(p.id, "pulled"))
    yield one_of(p, "relay", "sticks at drop-out", Limit(p.id, 1, 0.0))


def _contact(p: Part, word: str, prefix: str, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    branch = f"{p.id}.{word}"
    yield one_of(p, "relay", f"{prefix} open", Open(branch))
    yield grid_of(p, "relay", f"{prefix} burnt", branch, c, currents_a)


def _split_charge(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    yield one_of(p, "relay", "coil open", Open(f"{p.id}.coil"))
    yield from _sticking(p)
    yield from _contact(p, "make", "contact", c, currents_a)


def _starter_solenoid(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    for word in ("pull-in", "hold-in"):
        yield one_of(p, "starter solenoid", f"{word} winding open", Open(f"{p.id}.{word}"))
    yield from _sticking(p)
    yield from _contact(p, "make", "contact", c, currents_a)


def _flasher(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    states: dict[bool, str] = {on: state for state, on in p.active.items()}
    for on, name in ((True, "stuck on"), (False, "stuck off")):
        if on in states:
            yield one_of(p, "flasher", name, Hold(p.id, states[on]))
    yield grid_of(p, "switch", "poor contact", f"{p.id}.make", c, currents_a)


def _park_switch(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    stuck: list[tuple[str, Edit]] = [
        (f"as if {'parked' if on else 'moving'}", Hold(p.id, state))
        for on, state in {on: state for state, on in p.active.items()}.items()
    ]
    yield settings("park switch", "stuck", p.id, p.unit, title_of(p), stuck)
    for word in ("parked", "moving"):
        branch = f"{p.id}.{word}"
        yield one_of(p, "switch", "does not make", Open(branch), pin=word)
        yield grid_of(p, "switch", "poor contact", branch, c, currents_a)


def _switch(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    stuck: list[tuple[str, Edit]] = [(f"in {s}", Hold(p.id, s)) for s in p.positions]
    yield settings("switch", "stuck", p.id, p.unit, title_of(p), stuck)
    for a, b in dict.fromkeys(pair for pairs in p.positions.values() for pair in pairs):
        branch = f"{p.id}.{a}-{b}"
        beside = Bridge(f"{p.id}.{a}", f"{p.id}.{b}", ADDED_OHM)
        yield one_of(p, "switch", "bypassed", beside, pin=f"{a}-{b}")
        yield one_of(p, "switch", "does not make", Open(branch), pin=f"{a}-{b}")
        yield grid_of(p, "switch", "poor contact", branch, c, currents_a)


def _load(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    pins = tuple(FILAMENTS) if p.kind == "two-filament lamp" else ("",)
    for pin in pins:
        name = f"{p.id}.{pin}" if pin else p.id
        branch, title = f"{name}.element", f"{title_of(p)}, {pin}" if pin else title_of(p)
        yield one_of(p, "load", "open", Open(branch), pin=pin)
        yield one_of(p, "load", "partly shorted", Scale(branch, 3.0), pin=pin)
        wrong: list[tuple[str, Edit]] = [
            ("weaker", Scale(branch, 0.4)), ("stronger", Scale(branch, 1.8))
        ]  # fmt: skip
        yield settings("load", "wrong type", name, p.unit, title, wrong)


def _knee(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    applies = "LED" if p.kind == "LED" else "zener"
    yield one_of(p, applies, "open", Open(f"{p.id}.element"))
    shorted = SetOhm(f"{p.id}.shorted", SHORT_OHM), Open(f"{p.id}.element")
    yield one_of(p, applies, "shorted", *shorted)
    if p.kind == "LED":
        wrong: list[tuple[str, Edit]] = [("weaker", Scale(f"{p.id}.element", 0.4))]
        yield settings("load", "wrong type", p.id, p.unit, title_of(p), wrong)


def _motor(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    windings = ["slow", "fast"] if p.kind == "two-speed motor" else ["winding"]
    for word in windings:
        branch = f"{p.id}.{word}"
        pin = "" if len(windings) == 1 else word
        yield one_of(p, "motor", "open winding", Open(branch), pin=pin)
        yield one_of(p, "motor", "shorted turns", Scale(branch, 2.0), pin=pin)
        yield grid_of(p, "motor", "worn brush", branch, c, currents_a)
    yield one_of(p, "motor", "seized", Hold(p.id, "stalled"))
    tight = Scale(f"{p.id}.load", 2.5), Scale(f"{p.id}.load back", 2.5)
    yield one_of(p, "motor", "tight", *tight)


def _diode(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    name = f"{p.id}.junction"
    yield one_of(p, "diode", "open", Open(name))
    yield one_of(p, "diode", "shorted", Hold(name, "conducting"), SetEmf(name, 0.0))
    on_ohm = p.values["on_ohm"]
    yield one_of(p, "diode", "reversed", Open(name), SetOhm(f"{name} reversed", on_ohm))


KINDS: dict[str, Callable[[Part, Circuit, Currents], Iterator[Draft]]] = {
    **dict.fromkeys(("fuse", "fusible link"), _fuse),
    **dict.fromkeys(("lamp", "two-filament lamp", "heater", "horn", "solenoid"), _load),
    **dict.fromkeys(("motor", "reversible motor", "two-speed motor"), _motor),
    **dict.fromkeys(("LED", "zener"), _knee),
    **dict.fromkeys(("sensor", "NTC"), sensing.sensor_faults),
    **dict.fromkeys(("breaker", "PTC"), feeds.breaker_faults),
    "battery": feeds.battery_faults,
    "charging source": feeds.charging_faults,
    "equaliser": feeds.equaliser_faults,
    "relay": _relay,
    "split-charge relay": _split_charge,
    "starter solenoid": _starter_solenoid,
    "flasher": _flasher,
    "switch": _switch,
    "park switch": _park_switch,
    "diode": _diode,
    "resistor": sensing.resistor_faults,
    "capacitor": sensing.capacitor_faults,
    "ladder switch": sensing.ladder_faults,
    "potentiometer": sensing.potentiometer_faults,
    "module": module_faults,
}
