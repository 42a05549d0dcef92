"""Faults of parts, one small function a kind."""

from collections.abc import Callable, Iterator, Mapping

from loomwise.circuit.model import BODY, Circuit, Part
from loomwise.edits import AddOhm, Bridge, Edit, Hold, Limit, Open, Scale, SetEmf, SetOhm
from loomwise.faults.draft import Draft, grid, one, settings
from loomwise.faults.fuses import fuse_faults
from loomwise.faults.grid import series_range_ohm

Currents = Mapping[str, float]
SHORTED_COIL_OHM = 0.5
LEAKS_OHM = (20.0, 60.0, 200.0, 600.0)
DRIFTS = ("low", 3.0), ("high", 0.33)
"""A sensor's resistance off to a third or to three times, as factors on its current. [-]"""


def part_faults(circuit: Circuit, currents_a: Currents) -> Iterator[Draft]:
    """All faults of parts other than splices and grounds, drafts without weights."""
    for part in circuit.parts.values():
        make = KINDS.get(part.kind)
        if make is not None:
            yield from make(part, circuit, currents_a)


def _title(part: Part) -> str:
    return f"{part.kind} {part.id}"


def _one(part: Part, applies: str, name: str, *edits: Edit, pin: str = "") -> Draft:
    where = f"{part.id}.{pin}" if pin else part.id
    title = f"{_title(part)}, {pin}" if pin else _title(part)
    return one(applies, name, where, part.unit, title, *edits)


def _grid(
    part: Part, applies: str, name: str, branch: str, circuit: Circuit, currents_a: Currents
) -> Draft:
    limits = series_range_ohm(currents_a.get(branch, 0.0), circuit.supply_v)
    return grid(applies, name, branch, part.unit, _title(part), [branch], limits)


def _fuse(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    current_a = currents_a.get(f"{p.id}.link", 0.0)
    yield from fuse_faults(p, current_a, series_range_ohm(current_a, c.supply_v))


def _relay(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    coil = f"{p.id}.coil"
    yield _one(p, "relay", "coil open", Open(coil))
    shorted = SetOhm(coil, SHORTED_COIL_OHM), Hold(p.id, "released")
    yield _one(p, "relay", "coil shorted", *shorted)
    yield _one(p, "relay", "contact welded", Hold(p.id, "pulled"))
    yield _one(p, "relay", "sticks at drop-out", Limit(p.id, 1, 0.0))
    for pin, word, prefix in (("87", "make", "contact"), ("87a", "break", "break contact")):
        if pin in p.pins:
            yield _one(p, "relay", f"{prefix} open", Open(f"{p.id}.{word}"))
            branch = f"{p.id}.{word}"
            yield _grid(p, "relay", f"{prefix} burnt", branch, c, currents_a)
    if p.options.get("suppression") == "diode":
        name = f"{p.id}.suppressor"
        yield _one(p, "relay", "suppression shorted", Hold(name, "conducting"), SetEmf(name, 0.0))


def _switch(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    stuck: list[tuple[str, Edit]] = [(f"in {s}", Hold(p.id, s)) for s in p.positions]
    yield settings("switch", "stuck", p.id, p.unit, _title(p), stuck)
    for a, b in dict.fromkeys(pair for pairs in p.positions.values() for pair in pairs):
        branch = f"{p.id}.{a}-{b}"
        yield _one(p, "switch", "does not make", Open(branch), pin=f"{a}-{b}")
        yield _grid(p, "switch", "poor contact", branch, c, currents_a)


def _load(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    branch = f"{p.id}.element"
    yield _one(p, "load", "open", Open(branch))
    yield _one(p, "load", "partly shorted", Scale(branch, 3.0))
    wrong: list[tuple[str, Edit]] = [
        ("weaker", Scale(branch, 0.4)), ("stronger", Scale(branch, 1.8))
    ]  # fmt: skip
    yield settings("load", "wrong type", p.id, p.unit, _title(p), wrong)


def _resistor(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    branch = f"{p.id}.element"
    yield _one(p, "resistor", "open", Open(branch))
    yield _grid(p, "resistor", "drifted", branch, c, currents_a)


def _motor(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    windings = ["winding"] if p.kind == "motor" else ["slow", "fast"]
    for word in windings:
        branch = f"{p.id}.{word}"
        pin = "" if len(windings) == 1 else word
        yield _one(p, "motor", "open winding", Open(branch), pin=pin)
        yield _one(p, "motor", "shorted turns", Scale(branch, 2.0), pin=pin)
        yield _grid(p, "motor", "worn brush", branch, c, currents_a)
    yield _one(p, "motor", "seized", Hold(p.id, "stalled"))
    tight = Scale(f"{p.id}.load", 2.5), Scale(f"{p.id}.load back", 2.5)
    yield _one(p, "motor", "tight", *tight)


def _diode(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    name = f"{p.id}.junction"
    yield _one(p, "diode", "open", Open(name))
    yield _one(p, "diode", "shorted", Hold(name, "conducting"), SetEmf(name, 0.0))
    on_ohm = p.values["on_ohm"]
    yield _one(p, "diode", "reversed", Open(name), SetOhm(f"{name} reversed", on_ohm))


def _sensor(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    elements = [f"{p.id}.{state}" for state in p.ohms]
    yield _one(p, "sensor", "open", *(Open(e) for e in elements))
    yield _one(p, "sensor", "short", *(SetOhm(e, 1.0) for e in elements))
    for word, factor in DRIFTS:
        drifted = [Scale(e, factor) for e in elements]
        yield _one(p, "sensor", "drifted", *drifted, pin=word)
    for state in p.ohms:
        step: list[tuple[str, Edit]] = [
            (word, Scale(f"{p.id}.{state}", factor)) for word, factor in DRIFTS
        ]
        where, title = f"{p.id}.{state}", f"{_title(p)}, {state}"
        size = 1.0 / len(p.ohms)
        yield settings("sensor", "ladder resistor drifted", where, p.unit, title, step, size)


def _module(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    yield _one(p, "module", "dead", Hold(p.id, "dead"))
    for name, pin in p.module_pins.items():
        place = f"{p.id}.{name}"
        if pin.role in ("low-side", "high-side"):
            yield _one(p, "module", "output stuck off", Hold(place, "off"), pin=name)
            yield _one(p, "module", "output stuck on", Hold(place, "on"), pin=name)
            leaks: list[tuple[str, Edit]] = [
                (f"{ohm:g} ohm", Bridge(place, BODY, ohm)) for ohm in LEAKS_OHM
            ]
            title = f"{_title(p)}, {name}"
            yield settings("module", "output leaking", place, p.unit, title, leaks)
        if pin.role == "input" and pin.pull != "none":
            yield _one(p, "module", "input dead", Open(f"{place}.pull"), pin=name)


def _battery(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    cell, emf = f"{p.id}.cell", p.values["emf_v"]
    weak: list[tuple[str, Edit]] = [
        (f"{emf * share:.1f} V", SetEmf(cell, emf * share)) for share in (0.93, 0.89)
    ]
    yield settings("battery", "weak", p.id, p.unit, _title(p), weak)
    yield _one(p, "battery", "cell gone", SetEmf(cell, emf * 5.0 / 6.0))
    high: list[tuple[str, Edit]] = [
        (f"{ohm:g} ohm", AddOhm(cell, ohm)) for ohm in (0.02, 0.06, 0.2, 0.6)
    ]
    yield settings("battery", "high resistance", p.id, p.unit, _title(p), high)


KINDS: dict[str, Callable[[Part, Circuit, Currents], Iterator[Draft]]] = {
    "fuse": _fuse, "relay": _relay, "switch": _switch, "lamp": _load, "heater": _load,
    "horn": _load, "resistor": _resistor, "motor": _motor, "two-speed motor": _motor,
    "diode": _diode, "sensor": _sensor, "module": _module, "battery": _battery,
}  # fmt: skip
