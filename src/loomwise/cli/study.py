"""`loomwise study`."""

import os
import sys
from typing import Any

from loomwise.cli.show import heading, lines, percent, print_json, table
from loomwise.usecases.shape import plain
from loomwise.usecases.shelf import list_shelf
from loomwise.usecases.study import run_study


def run(circuits: tuple[str, ...], cases: int, seed: int, jobs: int, as_json: bool) -> None:
    """Play the cases and print the figures."""
    names = circuits or tuple(c.name for c in list_shelf().circuits)
    found = run_study(names, cases, seed, jobs or os.cpu_count() or 1, _progress)
    figures = [plain(f) for f in found]
    if as_json:
        print_json({"format": 1, "cases": cases, "seed": seed, "circuits": figures})
        return
    _show(figures, cases, seed)


def _progress(done: int, total: int) -> None:
    if sys.stderr.isatty():
        end = "\n" if done >= total else ""
        print(f"\r{done} of {total} cases", end=end, file=sys.stderr, flush=True)


def _show(figures: list[dict[str, Any]], cases: int, seed: int) -> None:
    lines(f"{cases} single faults a circuit, drawn by weight among those with a sign; seed {seed}")
    rows = [
        (
            f["circuit"], _p(f["ceiling"]), _p(f["right"]), _p(f["proven"]),
            f"{_p(f['wrong_of_proven'])} (at most {_p(f['wrong_upper'])})",
            _p(f["open"]), _p(f["not_explained"]),
            f"{f['readings_mean']:.1f}", f"{f['minutes_mean']:.0f}", f"{f['minutes_p90']:.0f}",
            f"{f['missed_recognised']}/{f['missed']}",
        )
        for f in figures
    ]  # fmt: skip
    head = ("circuit", "ceiling", "right", "proven", "of these wrong", "open", "not expl.",
            "readings", "min", "p90", "missed seen")  # fmt: skip
    table(head, rows, right=range(1, len(head)))
    for f in figures:
        heading(f"{f['circuit']}: what was claimed, and what came true")
        bins = [
            (f"{percent(b['low'])} to {percent(b['high'])}", str(b["cases"]), _p(b["claimed"]),
             _p(b["right"]))
            for b in f["calibration"]
        ]  # fmt: skip
        table(("share of the leader", "cases", "claimed", "right"), bins, right=[1, 2, 3])


def _p(share: float) -> str:
    """A measured share: here 100 % may stand, it is a count."""
    return f"{100 * share:.1f} %"
