"""Steps of a repair by what the unit is, with their cautions; for a wire the figures too.

The steps are common practice, no source; the maker's instructions go before them.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from loomwise.advice.cautions import FUSE, MOVING
from loomwise.circuit.model import Circuit, Part, Segment
from loomwise.sizing import Judged, Question, judge
from loomwise.units import format_quantity

MAKER = "The maker's instructions go before these steps."
OFF = "Key off, read up what the modules would forget, then battery minus off."
BACK = "Put back all that was taken out, parted or bridged; battery minus on last."
AIRBAG = "Leave yellow looms and plugs of airbags and belt tensioners alone: licensed people only."
DROP_SHARE = 0.03
"""What a wire may lose of the supply: the share that `loomwise wire` takes too."""


@dataclass(frozen=True)
class Load:
    """What a wire carries: the most in ordinary use, the setup in words, and the fuse before it
    with its rating (none: nothing found that protects it)."""

    current_a: float
    setup: str
    fuse: str = ""
    rating_a: float = 0.0


@dataclass(frozen=True)
class Repair:
    """How a unit is repaired; ``wire`` are names and values where it is a wire."""

    steps: tuple[str, ...]
    cautions: tuple[str, ...]
    wire: tuple[tuple[str, str], ...] = ()


def repair_of(circuit: Circuit, unit: str, load: Load | None = None) -> Repair:
    """The steps for a unit; ``load`` is what its wire carries, where it is one."""
    wires = wires_of(circuit, unit)
    found = [OFF, *_steps(circuit, unit, wires), BACK]
    cautions = [*circuit.cautions, *_cautions(circuit, unit)]
    figures: tuple[tuple[str, str], ...] = ()
    if wires and load:
        judged = _judged(circuit, wires, load)
        figures = tuple(_figures(circuit, wires, load, judged))
    return Repair(tuple(found), tuple(dict.fromkeys([*cautions, MAKER])), figures)


def wires_of(circuit: Circuit, unit: str) -> tuple[Segment, ...]:
    """The pieces of wire that a unit is; none if it is something else."""
    mine = tuple(s for s in circuit.segments.values() if s.unit == unit)
    return mine if mine and all(s.kind == "wire" for s in mine) else ()


def _steps(circuit: Circuit, unit: str, wires: tuple[Segment, ...]) -> Iterator[str]:
    contacts = [s for s in circuit.segments.values() if s.unit == unit and s.kind == "contact"]
    parts = [p for p in circuit.parts.values() if p.unit == unit]
    own = circuit.parts[unit].kind if unit in circuit.parts else ""
    kind, _, name = unit.partition(" ")
    if wires:
        yield from _wire_steps(wires[0])
    elif kind == "loom" and not contacts and not parts:
        yield f"Open the {name} where it may chafe, get hot or wet; look at every wire in it."
        yield "Mend each damaged wire by itself: same size, crimped and sealed, splices apart."
        yield "Wrap it, lay it as it was, and mend what damaged it."
    elif kind == "connector" and not contacts and not parts:
        yield f"Part {name}; look for water, corrosion, heat, a broken lock, a missing seal."
        yield f"Clean or renew all its terminals, or fit a new {name}; mate it until it locks."
    elif contacts and not parts:
        yield from _contact_steps(contacts[0])
    elif own == "ground":
        name = parts[0].id
        yield f"Undo {name}; clean ring, bolt and body to bare metal; tighten; seal against water."
        yield "Measure the drop from the ring to battery minus with the load on: a few millivolts."
    elif own == "fuse":
        yield "Find what blew it first: measure the load's current and look for a short behind it."
        yield f"Fit {_ratings(parts)}; look at both fuse ears for heat and spread contacts."
    elif own == "splice":
        yield f"Open {parts[0].id}, cut back to bright copper, crimp anew, seal with heat-shrink."
        yield "Keep it apart from other splices and from bends; lay it where no water stands."
    else:
        yield from _replace_steps(circuit, unit, parts)


def _wire_steps(wire: Segment) -> Iterator[str]:
    size = format_quantity(wire.area_mm2, "mm2")
    looks = f"{wire.colour} {size}".strip()
    yield f"Look along the wire from {wire.a} to {wire.b} for chafing, heat, water, pinched places."
    yield (
        f"Cut out the damaged piece back to bright copper and let in {looks} of the same kind;"
        f" the whole wire is {format_quantity(wire.length_m, 'm')} long."
    )
    yield (
        "Crimp, do not twist or only solder; seal each splice with adhesive heat-shrink; keep"
        " splices apart from each other and from bends."
    )
    yield "Lay it as it was, away from edges and heat, and mend what damaged it."


def _contact_steps(contact: Segment) -> Iterator[str]:
    where = f"cavity {contact.cavity} of {contact.connector}"
    looks = "corroded, burnt, spread or pushed back"
    yield f"Part {contact.connector}; look at both sides of {where}: {looks}?"
    yield "Clean it, or fit new terminals of the same kind on both sides and pull to see they hold."
    yield f"Mate {contact.connector} until it locks; see to its seals."


def _replace_steps(circuit: Circuit, unit: str, parts: list[Part]) -> Iterator[str]:
    title = circuit.units[unit].title
    yield f"Take out the {title}; look at its plug and contacts before you order."
    if any(p.kind == "module" for p in parts):
        yield "Read out its coding first; a new one may have to be coded to the vehicle."
    yield f"Fit a {title} with the same numbers; mate its plugs until they lock."


def _ratings(parts: list[Part]) -> str:
    return ", ".join(f"{p.id} {p.values['rating_a']:g} A" for p in parts)


def _cautions(circuit: Circuit, unit: str) -> Iterator[str]:
    if not circuit.cautions and circuit.parts_of_kind("motor", "two-speed motor"):
        yield MOVING
    if any(p.kind == "fuse" for p in circuit.parts.values() if p.unit == unit):
        yield FUSE
    if wires_of(circuit, unit):
        yield FUSE
        yield AIRBAG


def _judged(circuit: Circuit, wires: tuple[Segment, ...], load: Load) -> Judged:
    wire = wires[0]
    length_m = sum(w.length_m for w in wires)
    question = Question(
        max(load.current_a, 0.01), max(length_m, 0.01), circuit.supply_v,
        DROP_SHARE * circuit.supply_v,
    )  # fmt: skip
    name = format_quantity(wire.area_mm2, "mm2")
    return judge(question, name, wire.area_mm2, load.rating_a or None)


def _figures(
    circuit: Circuit, wires: tuple[Segment, ...], load: Load, judged: Judged
) -> Iterator[tuple[str, str]]:
    wire, length_m = wires[0], sum(w.length_m for w in wires)
    yield "Wire", f"{wire.a} to {wires[-1].b}, {wire.colour}".removesuffix(", ")
    if wire.loom:
        yield "Loom", wire.loom
    yield (
        "Size, length",
        (f"{format_quantity(wire.area_mm2, 'mm2')}, {format_quantity(length_m, 'm')}"),
    )
    amps = format_quantity(load.current_a, "A")
    yield "Current", f"{amps} with {load.setup}" if load.setup else amps
    if judged.wire:
        lost = format_quantity(judged.wire.drop_v, "V")
        share = f"{100 * judged.wire.drop_share:.1f} % of the supply"
        yield "Drop", f"{lost} over the whole wire, {share}"
        yield "Warms to", f"{judged.wire.conductor_c:.0f} °C in air of 30 °C, alone"
        most = judged.wire.largest_fuse_a
        yield "Largest fuse", f"{most:g} A" if most else "no usual fuse is small enough"
    fuse = f"{load.fuse}, {load.rating_a:g} A" if load.fuse else "none found in its way"
    yield "Fuse before it", fuse
    yield "Judgement", "The drawn size does it." if judged.ok else " ".join(judged.why)
