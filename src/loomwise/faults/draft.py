"""A fault before its weight is known, and the few shapes its variants take."""

from collections.abc import Sequence
from dataclasses import dataclass

from loomwise.edits import AddOhm, Edit
from loomwise.faults.fault import Spread
from loomwise.faults.grid import cells
from loomwise.faults.tables import Mode, mode

Variant = tuple[tuple[Edit, ...], Spread | None, str]


@dataclass(frozen=True)
class Draft:
    """A fault before its weight: ``size`` shares its class among places, cells share equally."""

    mode: Mode
    where: str
    unit: str
    title: str
    variants: Sequence[Variant]
    size: float = 1.0


def one(applies: str, name: str, where: str, unit: str, title: str, *edits: Edit) -> Draft:
    """A fault without a grid."""
    return Draft(mode(applies, name), where, unit, title, [(tuple(edits), None, "")])


def grid(
    applies: str, name: str, where: str, unit: str, title: str,
    branches: Sequence[str], range_ohm: tuple[float, float], size: float = 1.0,
) -> Draft:  # fmt: skip
    """A fault of unknown series resistance in ``branches`` (the first one is named)."""
    variants: list[Variant] = [
        (tuple(AddOhm(b, c.middle_ohm) for b in branches), c, f"{c.middle_ohm:.3g} ohm")
        for c in cells(branches[0], *range_ohm)
    ]
    return Draft(mode(applies, name), where, unit, title, variants, size)


def settings(
    applies: str, name: str, where: str, unit: str, title: str,
    ohms: Sequence[tuple[str, Edit]], size: float = 1.0,
) -> Draft:  # fmt: skip
    """A fault with a few listed variants, each a word and an edit."""
    variants: list[Variant] = [((edit,), None, word) for word, edit in ohms]
    return Draft(mode(applies, name), where, unit, title, variants, size)
