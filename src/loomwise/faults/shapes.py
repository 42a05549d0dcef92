"""The few shapes in which the faults of a part are written."""

from collections.abc import Mapping

from loomwise.circuit.model import Circuit, Part
from loomwise.edits import Edit
from loomwise.faults.draft import Draft, grid, one
from loomwise.faults.grid import series_range_ohm

Currents = Mapping[str, float]


def title_of(part: Part) -> str:
    """What a part is called in a sentence."""
    return f"{part.kind} {part.id}"


def one_of(part: Part, applies: str, name: str, *edits: Edit, pin: str = "") -> Draft:
    """A fault of a part, or of one pin of it, without a grid."""
    where = f"{part.id}.{pin}" if pin else part.id
    title = f"{title_of(part)}, {pin}" if pin else title_of(part)
    return one(applies, name, where, part.unit, title, *edits)


def grid_of(
    part: Part, applies: str, name: str, branch: str, circuit: Circuit, currents_a: Currents
) -> Draft:
    """A fault of unknown series resistance in a branch of a part."""
    limits = series_range_ohm(currents_a.get(branch, 0.0), circuit.supply_v)
    return grid(applies, name, branch, part.unit, title_of(part), [branch], limits)
