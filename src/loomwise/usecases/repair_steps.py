"""How a unit is repaired: steps, cautions, price and minutes, and the figures of a wire."""

from dataclasses import dataclass

from loomwise.circuit.model import Circuit
from loomwise.report.repair import Load, repair_of, wires_of
from loomwise.report.words import pretty
from loomwise.usecases.how import how_circuit


@dataclass(frozen=True)
class RepairTold:
    """A repair for the eye; ``price`` is that of the part, 0 if the circuit file names none."""

    unit: str
    title: str
    steps: tuple[str, ...]
    cautions: tuple[str, ...]
    wire: tuple[tuple[str, str], ...]
    price: float
    minutes: float


def repair_told(circuit: Circuit, unit: str) -> RepairTold:
    """How a unit of a circuit is repaired."""
    own, found = circuit.units[unit], repair_of(circuit, unit, load_of(circuit, unit))
    return RepairTold(unit, pretty(own.title), found.steps, found.cautions, found.wire, own.price,
                      own.minutes)  # fmt: skip


def load_of(circuit: Circuit, unit: str) -> Load | None:
    """The most that a wire carries in ordinary use, and the fuse on that way."""
    names = {s.id for s in wires_of(circuit, unit)}
    if not names:
        return None
    best = Load(0.0, "")
    for load in how_circuit(circuit).loads:
        for run in load.runs:
            own = next((s.current_a for s in run.path if s.id in names), 0.0)
            if own > best.current_a:
                fuse = next((s.id for s in reversed(run.path) if s.kind == "fuse"), "")
                rating = circuit.parts[fuse].values["rating_a"] if fuse else 0.0
                asked = [c for c, s in run.setup.items() if circuit.controls[c].rest != s]
                setup = ", ".join(f"{c} {run.setup[c]}" for c in asked)
                best = Load(own, setup, fuse, rating)
    return best if best.current_a else None
