"""Symbols moved by hand on a drawing: where one may be put, and the circuit with it there."""

import math
import re
from dataclasses import dataclass, replace

from loomwise.circuit.explain import nearest
from loomwise.circuit.model import Circuit
from loomwise.drawing import Sheet
from loomwise.drawing.sheet import Rect, Standing
from loomwise.errors import InputError
from loomwise.usecases.draw import sheet_of

BACK = "back"
ROUND = 150.0
"""So far beyond the outermost symbols the middle of a symbol may be put, to be outermost. [px]"""
_SPOT = re.compile(r"\s*(-?\d{1,6}(?:\.\d+)?)\s*,\s*(-?\d{1,6}(?:\.\d+)?)\s*")
Spot = tuple[float, float]


@dataclass(frozen=True)
class Move:
    """A symbol and its left upper corner on the drawing [px]; None: back where it is laid out."""

    part: str
    spot: Spot | None


@dataclass(frozen=True)
class SymbolShown:
    """Where a symbol stands: its left upper corner [px], and whether a person put it there."""

    part: str
    x: float
    y: float
    moved: bool


def parse_move(word: str) -> Move:
    """A move as a person writes it: ``K1=120,80`` or ``K1=back``.

    Raises
    ------
    InputError : it says no part or no place.
    """
    part, _, where = (piece.strip() for piece in word.partition("="))
    if part and where == BACK:
        return Move(part, None)
    found = _SPOT.fullmatch(where)
    if not part or found is None:
        hint = f"write the part and its left upper corner in pixels: K1=120,80; or K1={BACK}"
        raise InputError(f"'{word[:40]}' says no place", "move", hint)
    return Move(part, (float(found[1]), float(found[2])))


def symbols(circuit: Circuit) -> tuple[SymbolShown, ...]:
    """Where every symbol stands on the whole drawing."""
    stand = sheet_of(circuit).blocks
    ids = circuit.positions
    return tuple(SymbolShown(s.block.id, s.x, s.y, s.block.id in ids) for s in stand)


def with_move(circuit: Circuit, move: Move) -> Circuit:
    """The circuit with a symbol moved, after all that was moved before.

    Raises
    ------
    InputError : no such part; a place outside the drawing or on another symbol; or nothing would
        be changed by it.
    """
    if move.part not in circuit.parts:
        near = nearest(move.part, circuit.parts, "parts")
        raise InputError(f"there is no part '{move.part[:40]}' to move", "move", near)
    others = {k: v for k, v in circuit.positions.items() if k != move.part}
    if move.spot is None:
        if move.part not in circuit.positions:
            have = ", ".join(circuit.positions) or "nothing"
            raise InputError(f"{move.part} was not moved", "move", f"moved by hand: {have}")
        return replace(circuit, positions=others)
    sheet = sheet_of(circuit)
    spot = _allowed(sheet, move.part, move.spot)
    new = replace(circuit, positions=others | {move.part: spot})
    if _corners(sheet_of(new)) == _corners(sheet):
        hint = "put its middle beyond that of its neighbour, or in another row; feeds stay above"
        raise InputError(f"{move.part} would stay where it is", "move", f"{hint}, grounds below")
    return new


def _allowed(sheet: Sheet, part: str, spot: Spot) -> Spot:
    """The place in whole pixels, if the symbol's middle is near the sheet and on no other one."""
    standing = next(s for s in sheet.blocks if s.block.id == part)
    if not all(map(math.isfinite, spot)):
        raise InputError("the place is no number", "move", "give it in pixels of the drawing")
    left, top, width, height = standing.block.body
    x, y = spot[0] + left + width / 2, spot[1] + top + height / 2
    if not (-ROUND < x < sheet.width + ROUND and -ROUND < y < sheet.height + ROUND):
        what = f"{part} would stand outside the drawing at {spot[0]:.0f},{spot[1]:.0f}"
        hint = f"the drawing is {sheet.width:.0f} by {sheet.height:.0f} pixels"
        raise InputError(what, "move", f"{hint}, and {part} stands at {_at(standing)}")
    for other in sheet.blocks:
        if other.block.id != part and _holds(_box(other), x, y):
            hint = f"put its middle beside, above or below {other.block.id}; room is made for it"
            raise InputError(f"{part} would lie on {other.block.id}", "move", hint)
    return float(round(max(spot[0], 0))), float(round(max(spot[1], 0)))


def _at(standing: Standing) -> str:
    return f"{standing.x:.0f},{standing.y:.0f}"


def _box(standing: Standing) -> Rect:
    x, y, width, height = standing.block.body
    return standing.x + x, standing.y + y, width, height


def _holds(box: Rect, x: float, y: float) -> bool:
    return box[0] <= x <= box[0] + box[2] and box[1] <= y <= box[1] + box[3]


def _corners(sheet: Sheet) -> list[Spot]:
    return [(s.x, s.y) for s in sheet.blocks]
