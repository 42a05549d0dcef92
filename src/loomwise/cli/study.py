"""`loomwise study`."""

import os
import secrets
import sys
from collections.abc import Callable, Sequence
from typing import Any

from loomwise.cli.show import heading, lines, print_json, table
from loomwise.usecases.shape import plain
from loomwise.usecases.shelf import list_shelf
from loomwise.usecases.study import make_plan, run_study, scenario_title

PUBLIC_SEED = 1
"""The seed that published figures are of."""


def run(
    circuits: tuple[str, ...], cases: int, seed: int | None, jobs: int, as_json: bool,
    scenarios: str = "plain", keep: str = "", shelf: bool = False,
) -> None:  # fmt: skip
    """Play the cases and print the figures.

    Without ``circuits`` or with ``shelf``: all on the shelf, the latter with half-splitting
    beside. ``seed`` None is a fresh one.
    """
    names = (() if shelf else circuits) or tuple(c.name for c in list_shelf().circuits)
    seed = secrets.randbelow(2**31) if seed is None else seed
    plan = make_plan(names, cases, seed, scenarios, compared=shelf, keep=keep)
    found = plain(run_study(plan, jobs or os.cpu_count() or 1, _progress))
    if as_json:
        print_json({"format": 1, **found})
        return
    for number, total in enumerate(found["total"]):
        if number:
            print()
        some = [f for f in found["circuits"] if f["scenario"] == total["scenario"]]
        _show(some if len(some) == 1 else [*some, total], cases, seed)


def _progress(done: int, total: int) -> None:
    if sys.stderr.isatty():
        end = "\n" if done >= total else ""
        print(f"\r{done} of {total} cases", end=end, file=sys.stderr, flush=True)


def _show(figures: Sequence[dict[str, Any]], cases: int, seed: int) -> None:
    name = figures[0]["scenario"]
    lines(f"{name}: {scenario_title(name)}. {cases} cases a circuit, faults drawn by weight"
          f" among those with a sign; seed {seed}")  # fmt: skip
    rows = [
        (title, *(said(f) for f in figures))
        for title, said in MEASURES
        if any(said(f) not in ("-", "0 of 0") for f in figures)
    ]
    table(("", *(f["circuit"] for f in figures)), rows, right=range(1, len(figures) + 1))
    for f in figures:
        heading(f"{f['circuit']}: what was claimed, and what came true")
        bins = [
            (f"{100 * b['low']:g} to {100 * b['high']:g} %", str(b["cases"]), _p(b["claimed"]),
             _p(b["right"]), f"{_p(b['right_low'])} to {_p(b['right_high'])}",
             "yes" if b["inside"] else "no")
            for b in f["calibration"]
        ]  # fmt: skip
        head = ("share of the leader", "cases", "claimed", "right", "95 % interval", "inside")
        table(head, bins, right=[1, 2, 3])


def _p(share: float | None) -> str:
    """A measured share: here 100 % may stand, it is a count."""
    return "-" if share is None else f"{100 * share:.1f} %"


def _n(value: float | None, digits: int = 2) -> str:
    return "-" if value is None else f"{value:.{digits}f}"


MEASURES: tuple[tuple[str, Callable[[dict[str, Any]], str]], ...] = (
    ("ceiling: what all tests together could tell", lambda f: _p(f["ceiling"])),
    ("right at the end, proven or not", lambda f: _p(f["right_unit"])),
    ("proven", lambda f: _p(f["proven"])),
    ("of the proven, wrong", lambda f: _p(f["wrong_unit"])),
    ("  at most, at 95 % confidence", lambda f: _p(f["wrong_unit_upper"])),
    ("best bet", lambda f: _p(f["best_bet"])),
    ("  cost of wrong bets, mean of those not proven", lambda f: _n(f["best_bet_regret"], 0)),
    ("not separable", lambda f: _p(f["not_separable"])),
    ("not explained", lambda f: _p(f["not_explained"])),
    ("left open", lambda f: _p(f["open"])),
    ("readings, mean", lambda f: _n(f["readings_mean"], 1)),
    ("minutes, mean", lambda f: _n(f["minutes_mean"], 0)),
    ("minutes, nine of ten jobs within", lambda f: _n(f["minutes_p90"], 0)),
    ("minutes, to the optimum", lambda f: _n(f["ratio_to_optimal"], 3)),
    ("  worst small problem", lambda f: _n(f["ratio_to_optimal_worst"], 3)),
    ("minutes, to half-splitting", lambda f: _n(f["ratio_to_half_split"])),
    ("minutes, to the places in order", lambda f: _n(f["ratio_to_in_order"])),
    ("missed contacts recognised", lambda f: f"{f['missed_recognised']} of {f['missed']}"),
    ("exchanged labels found", lambda f: f"{f['exchanged_found']} of {f['exchanged']}"),
    ("drawing doubted wrongly", lambda f: _p(f["exchanged_claimed"])),
    ("truth outside, a wrong unit proven", lambda f: f"{f['outside_wrong']} of {f['outside']}"),
)
