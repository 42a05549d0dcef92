"""The shop's figures by month: minutes a job, share proven, comebacks; as numbers and as plots."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from loomwise.drawing.bars import Bars, draw_bars
from loomwise.job.log import Folded, fold
from loomwise.store import Store
from loomwise.usecases.new_file import write_new

MOST_MONTHS = 24


@dataclass(frozen=True)
class Closing:
    """A job that was closed: ``minutes`` of testing since it was opened or closed before."""

    number: int
    at: datetime
    proven: bool
    comeback: bool
    minutes: float


@dataclass(frozen=True)
class Month:
    """Jobs closed in a month (2026-11): testing minutes a job, share proven, comebacks."""

    month: str
    jobs: int
    minutes_a_job: float
    proven_share: float
    comebacks: int
    comeback_share: float


@dataclass(frozen=True)
class Figures:
    """The last months, the oldest first; ``file`` is where the plots were written, if anywhere."""

    months: tuple[Month, ...]
    file: str = ""


def closings_of(store: Store) -> tuple[Closing, ...]:
    """Every closing of every job on the list, by time."""
    found = [c for row in store.jobs(most=1_000_000) for c in _closings(store, row.number)]
    return tuple(sorted(found, key=lambda c: (c.at, c.number)))


def _closings(store: Store, number: int) -> list[Closing]:
    folded = fold(store.log(number))
    found, since = [], None
    for told in folded.closings:
        at: datetime = told["at"]
        found.append(Closing(number, at, told["as"] == "proven", bool(told["comeback"]),
                             _minutes(folded, since, at)))  # fmt: skip
        since = at
    return found


def _minutes(folded: Folded, since: datetime | None, until: datetime) -> float:
    return sum(
        float(i.body.get("minutes") or 0.0)
        for i in folded.items
        if i.at <= until and (since is None or i.at > since)
    )


def figures_of(store: Store) -> Figures:
    """The figures of the last months that have any; months by the clock on the wall."""
    by: dict[str, list[Closing]] = defaultdict(list)
    for closing in closings_of(store):
        by[closing.at.astimezone().strftime("%Y-%m")].append(closing)
    return Figures(tuple(_month(m, by[m]) for m in sorted(by)[-MOST_MONTHS:]))


def _month(name: str, some: Sequence[Closing]) -> Month:
    timed = [c.minutes for c in some if c.minutes > 0.0]
    back = sum(c.comeback for c in some)
    return Month(
        name, len(some), sum(timed) / len(timed) if timed else 0.0,
        sum(c.proven for c in some) / len(some), back, back / len(some),
    )  # fmt: skip


def plots_of(found: Figures) -> str:
    """The figures as one SVG of three plots, one below the other."""
    names = tuple(m.month for m in found.months)
    notes = tuple(f"{m.jobs} job{'s' * (m.jobs != 1)}" for m in found.months)
    proven = tuple(100.0 * m.proven_share for m in found.months)
    back = tuple(100.0 * m.comeback_share for m in found.months)
    plots = (
        Bars("Testing minutes a job", tuple(m.minutes_a_job for m in found.months), " min"),
        Bars("Jobs closed as proven", proven, " %", 100.0),
        Bars("Jobs that came back", back, " %", 100.0),
    )
    return draw_bars(names, plots, notes)


def write_plots(found: Figures, file: str) -> Figures:
    """Write the plots to a new SVG file.

    Raises
    ------
    InputError : there are no figures yet, the file is there already or cannot be written.
    """
    write_new(file, plots_of(found))
    return Figures(found.months, file)
