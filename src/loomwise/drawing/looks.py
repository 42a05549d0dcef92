"""How parts stand in a setup: which pins a switch or relay joins, which fuse is blown."""

from collections.abc import Iterable, Mapping

from loomwise.circuit.model import Circuit, Part
from loomwise.drawing.block import Look


def looks_of(
    circuit: Circuit,
    controls: Mapping[str, str],
    states: Mapping[str, str],
    out: Iterable[str] = (),
) -> dict[str, Look]:
    """The look of every part that can stand in more than one way.

    ``controls`` gives the state of each control (at rest where it says nothing), ``states`` that of
    relays and fuses by part, ``out`` the parts and connectors that are taken out or apart.
    """
    gone = set(out)
    rest = {name: control.rest for name, control in circuit.controls.items()} | dict(controls)
    looks = {
        segment.id: Look(out=True)
        for segment in circuit.segments.values()
        if segment.connector in gone
    }
    for part in circuit.parts.values():
        blown = states.get(part.id) == "blown"
        looks[part.id] = Look(_joined(part, rest, states), blown, part.id in gone)
    return looks


def _joined(
    part: Part, controls: Mapping[str, str], states: Mapping[str, str]
) -> frozenset[frozenset[str]]:
    if part.kind == "relay":
        contact = "87" if states.get(part.id) == "pulled" else "87a"
        return frozenset({frozenset(("30", contact))})
    if part.kind == "park switch":
        far = "31" if part.active.get(controls.get(part.control, "")) else "53a"
        return frozenset({frozenset(("53e", far))})
    if part.kind in ("split-charge relay", "starter solenoid"):
        far = "87" if "87" in part.pins else "45"
        return frozenset({frozenset(("30", far))} if states.get(part.id) == "pulled" else ())
    pairs = part.positions.get(controls.get(part.control, ""), ())
    return frozenset(frozenset(pair) for pair in pairs)
