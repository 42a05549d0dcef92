"""The shape of every answer: plain JSON with a format number, and setups spelled out."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass
from typing import Any

from loomwise.setups import Setup

FORMAT = 1


@dataclass(frozen=True)
class SetupShown:
    """How the vehicle stands. ``text`` says it in a line; ``undone`` is empty if nothing is."""

    text: str
    controls: Mapping[str, str]
    undone: tuple[str, ...]
    after: tuple[Mapping[str, str], ...]


def shown(setup: Setup) -> SetupShown:
    """A setup as an answer gives it."""
    controls = dict(setup.controls + setup.settled)
    undone = tuple(str(u) for u in setup.undone)
    return SetupShown(str(setup), controls, undone, tuple(dict(step) for step in setup.after))


def to_json(answer: object) -> dict[str, Any]:
    """An answer as JSON-ready data: ``format`` first, then its fields by name."""
    return {"format": FORMAT, **plain(answer)}


def plain(value: object) -> Any:
    """A value as JSON has it: numbers to nine digits, what is not finite as null."""
    if is_dataclass(value) and not isinstance(value, type):
        return {f.name: plain(getattr(value, f.name)) for f in fields(value)}
    if isinstance(value, Mapping):
        return {str(k): plain(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [plain(v) for v in value]
    if isinstance(value, frozenset | set):
        return sorted(plain(v) for v in value)
    if isinstance(value, float):
        return float(f"{value:.9g}") if math.isfinite(value) else None
    return value
