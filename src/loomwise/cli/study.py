"""`loomwise study`."""

import os
import sys
from collections.abc import Callable
from typing import Any

from loomwise.cli.show import heading, lines, print_json, table
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
    rows = [(title, *(said(f) for f in figures)) for title, said in MEASURES]
    table(("", *(f["circuit"] for f in figures)), rows, right=range(1, len(figures) + 1))
    for f in figures:
        heading(f"{f['circuit']}: what was claimed, and what came true")
        bins = [
            (f"{100 * b['low']:g} to {100 * b['high']:g} %", str(b["cases"]), _p(b["claimed"]),
             _p(b["right"]))
            for b in f["calibration"]
        ]  # fmt: skip
        table(("share of the leader", "cases", "claimed", "right"), bins, right=[1, 2, 3])


def _p(share: float) -> str:
    """A measured share: here 100 % may stand, it is a count."""
    return f"{100 * share:.1f} %"


MEASURES: tuple[tuple[str, Callable[[dict[str, Any]], str]], ...] = (
    ("ceiling: what all tests together could tell", lambda f: _p(f["ceiling"])),
    ("right at the end, proven or not", lambda f: _p(f["right"])),
    ("proven", lambda f: _p(f["proven"])),
    ("of the proven, wrong", lambda f: _p(f["wrong_of_proven"])),
    ("  at most, at 95 % confidence", lambda f: _p(f["wrong_upper"])),
    ("left open", lambda f: _p(f["open"])),
    ("not explained", lambda f: _p(f["not_explained"])),
    ("readings, mean", lambda f: f"{f['readings_mean']:.1f}"),
    ("minutes, mean", lambda f: f"{f['minutes_mean']:.0f}"),
    ("minutes, nine of ten jobs within", lambda f: f"{f['minutes_p90']:.0f}"),
    ("missed contacts recognised", lambda f: f"{f['missed_recognised']} of {f['missed']}"),
)
