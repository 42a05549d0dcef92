"""Loads the table of fault modes once. Percentages: see the table's source column."""

import csv
from dataclasses import dataclass
from functools import cache
from importlib import resources


@dataclass(frozen=True)
class Mode:
    """One row: what it applies to, how often its class is the answer, and where that is from."""

    applies: str
    mode: str
    share_class: str
    percent: float
    title: str
    looks: str
    source: str


@cache
def modes() -> tuple[Mode, ...]:
    """All fault modes, in table order."""
    text = resources.files(__package__).joinpath("modes.csv").read_text(encoding="utf-8")
    return tuple(
        Mode(
            r["applies"], r["mode"], r["class"], float(r["percent"]), r["title"], r["looks"],
            r["source"],
        )
        for r in csv.DictReader(text.splitlines())
    )  # fmt: skip


def mode(applies: str, name: str) -> Mode:
    """The row for a mode of something."""
    return next(m for m in modes() if m.applies == applies and m.mode == name)


@cache
def class_percents() -> dict[str, float]:
    """What each class of faults has in the table, all its modes together. [%]"""
    sums: dict[str, float] = {}
    for m in modes():
        sums[m.share_class] = sums.get(m.share_class, 0.0) + m.percent
    return sums
