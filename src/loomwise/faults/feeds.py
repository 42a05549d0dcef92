"""Faults of sources and of what protects them, fuses aside."""

from collections.abc import Iterator

from loomwise.circuit.model import Circuit, Part
from loomwise.edits import AddOhm, Edit, Hold, Limit, Open, SetEmf
from loomwise.faults.draft import Draft, settings
from loomwise.faults.shapes import Currents, grid_of, one_of, title_of

LOW_SHARE, HIGH_SHARE = 0.92, 1.12
"""Charging voltage of a bad regulator over a good one's, as 13.1 and 15.9 V: engineering
judgement."""
RIPPLE_SHARE, RIPPLE_AMPS = 0.97, 0.6
"""A dead diode takes that much off the mean voltage and the most current: engineering
judgement."""
EARLY = 0.5
"""A tired breaker trips at this share of its current: engineering judgement."""


def battery_faults(p: Part, _: Circuit, __: Currents) -> Iterator[Draft]:
    """Discharged, a cell gone, or tired."""
    cell, emf = f"{p.id}.cell", p.values["emf_v"]
    weak: list[tuple[str, Edit]] = [
        (f"{emf * share:.1f} V", SetEmf(cell, emf * share)) for share in (0.93, 0.89)
    ]
    yield settings("battery", "weak", p.id, p.unit, title_of(p), weak)
    yield one_of(p, "battery", "cell gone", SetEmf(cell, emf * 5.0 / 6.0))
    high: list[tuple[str, Edit]] = [
        (f"{ohm:g} ohm", AddOhm(cell, ohm)) for ohm in (0.02, 0.06, 0.2, 0.6)
    ]
    yield settings("battery", "high resistance", p.id, p.unit, title_of(p), high)


def charging_faults(p: Part, _: Circuit, __: Currents) -> Iterator[Draft]:
    """Low, high, rippling, or not charging at all."""
    diodes = f"{p.id}.diodes"
    yield one_of(p, "charging source", "low", *_regulated(p, LOW_SHARE))
    yield one_of(p, "charging source", "high", *_regulated(p, HIGH_SHARE))
    fewer = Limit(f"{p.id}.regulator", 1, RIPPLE_AMPS)
    yield one_of(p, "charging source", "ripple", *_regulated(p, RIPPLE_SHARE), fewer)
    dead = Open(diodes), Open(f"{p.id}.exciter")
    yield one_of(p, "charging source", "not commanded", *dead)
    yield one_of(p, "charging source", "field open", *dead, Open(f"{p.id}.field"))


def _regulated(p: Part, share: float) -> tuple[Edit, ...]:
    name = f"{p.id}.regulator"
    return SetEmf(f"{name}.output", p.values["charging_v"] * share), Limit(name, 0, share)


def equaliser_faults(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    """No tap, or one that gives way."""
    branch = f"{p.id}.converter"
    yield one_of(p, "equaliser", "dead", Open(branch))
    yield grid_of(p, "equaliser", "weak", branch, c, currents_a)


def breaker_faults(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    """Open, resistive, early, or never."""
    link = f"{p.id}.link"
    yield one_of(p, "breaker", "open", Open(link))
    yield grid_of(p, "breaker", "poor contact", link, c, currents_a)
    yield one_of(p, "breaker", "trips early", Limit(p.id, 0, EARLY))
    yield one_of(p, "breaker", "does not trip", Hold(p.id, "closed"))
