"""The page of a study: what it measured, against what is aimed at."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from loomwise.study.scenario import SCENARIOS

Row = Mapping[str, Any]

INTRO = """\
# How well the advice works

A simulated technician plays hidden faults through: a vehicle is drawn with values of its own, it is
given a fault by weight among those that show at a load, its resistance anywhere in its range, and
it answers each test by a direct solution of the faulty circuit with the instrument in it, a meter
of 1 % and probes that miss 3 in 100 contacts. Signs of the complaint come first, then the test of
the best gain per minute, one step at a time, until a unit is proven, no test tells more, 2 h are
over or 25 items are taken. Stopping for cost (a best bet) is not taken while a test tells more: it
only names how a case ended.

The technician's vehicle follows the same laws as the reasoning, and its faults are drawn from the
same tables: the figures tell how well the reasoning uses its model, not how well the model fits a
workshop.
"""
WORDS = """\
## What the figures mean

- **ceiling**: how often any technician could name the right unit with answers free of noise. Two
  faults are alike if every test that the advice may propose answers alike: volts within 0.05 V,
  amperes within 0.1 A, ohms within 10 %, the same words from loads, relays, the scan tool, the test
  lamp and the eye, to which a bad contact looks bad. Of faults alike the heaviest unit is named.
- **right**: the leading unit at the end is at fault, proven or not. Of two faults, both were named,
  or the complaint is gone.
- **wrong**: of those called proven; the limit is the upper one at 95 % (Clopper and Pearson, 1934).
- **regret**: what the repair named in cases not proven costs for nothing, with a comeback; 0 where
  it is right. In the price units of the circuit file.
- **missed contacts**: readings near 0 V where over 0.5 V was; recognised if held bad at the end.
- **exchanged**: cases where two readings or more are changed by over 1 V by exchanged labels; found
  if that exchange ends above 50 %. Claimed when absent: any doubt of the drawing above 50 %.
- **outside**: an undrawn path between nets no part joins, an output against its rule in one
  position, a load hung on a wire (to name a unit of that wire is no error there).
- **to the optimum**: on small problems free of noise, up to 12 units and 10 tests cut from the
  circuits by listed seeds, expected minutes over those of the best tree there is. Here more than
  one test is looked ahead, as `next` does it.
- **to half-splitting**, **to the places in order**: minutes over theirs on the same cases, with the
  same tests, costs and end.
"""


def study_page(*studies: Row) -> str:
    """Markdown from what `loomwise study --json` printed, once or several times: of a scenario
    played in several the first counts."""
    totals: dict[str, tuple[Row, Row]] = {}
    for study in studies:
        for total in study["total"]:
            totals.setdefault(total["scenario"], (study, total))
    parts = [INTRO, *(_played(study, totals) for study in studies)]
    parts += ["## Aims\n", _table(("figure", "aim", "today", "of"), _aims(studies))]
    for name, (study, total) in totals.items():
        some = [f for f in study["circuits"] if f["scenario"] == name]
        parts += [f"## {name}: {SCENARIOS[name].title}\n", _figures([*some, total])]
        parts += ["Claimed, and come true:\n", _calibration(total)]
    small = next((study["small_problems"] for study in studies if study["small_problems"]), ())
    if small:
        parts += ["## Small problems\n", _small(small)]
    return "\n".join([*parts, WORDS])


def _played(study: Row, totals: Mapping[str, tuple[Row, Row]]) -> str:
    names = [name for name, (whose, _) in totals.items() if whose is study]
    return f"Seed {study['seed']}, {study['cases']} cases a circuit: {', '.join(names)}.\n"


def _aims(studies: Sequence[Row]) -> list[tuple[str, ...]]:
    """Each aim beside the first study's figure that there is."""
    rows: list[tuple[str, ...]] = []
    for figure, aim, name, said in AIMS:
        found = [said(f) for study in studies for f in study["total"] if f["scenario"] == name]
        measured = [text for text in found if text != "-"]
        rows.append((figure, aim, (*measured, *found, "not played")[0], name))
    return rows


def _figures(some: Sequence[Row]) -> str:
    rows = [(title, *(said(f) for f in some)) for title, said in ROWS]
    return _table(("", *(f["circuit"] for f in some)), rows)


def _calibration(f: Row) -> str:
    rows = [
        (f"{100 * b['low']:g} to {100 * b['high']:g} %", str(b["cases"]), _p(b["claimed"]),
         _p(b["right"]), f"{_p(b['right_low'])} to {_p(b['right_high'])}",
         "yes" if b["inside"] else "no")
        for b in f["calibration"]
    ]  # fmt: skip
    head = ("share of the leader", "cases", "claimed", "right", "95 % interval", "inside")
    return _table(head, rows)


def _small(some: Sequence[Row]) -> str:
    rows = [
        (p["circuit"], str(p["seed"]), str(p["hypotheses"]), str(p["tests"]),
         f"{p['optimal_minutes']:.1f}", f"{p['advised_minutes']:.1f}",
         f"{p['advised_minutes'] / p['optimal_minutes']:.3f}")
        for p in some
    ]  # fmt: skip
    head = ("circuit", "seed", "units", "tests", "best, min", "advised, min", "ratio")
    return _table(head, rows)


def _table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    lines = [head, ["---" for _ in head], *rows]
    return "\n".join("| " + " | ".join(row) + " |" for row in lines) + "\n"


def _p(share: float | None) -> str:
    return "-" if share is None else f"{100 * share:.1f} %"


def _n(value: float | None, digits: int = 2) -> str:
    return "-" if value is None else f"{value:.{digits}f}"


def _of(f: Row, hits: str, trials: str) -> str:
    return f"{f[hits]} of {f[trials]}" if f[trials] else "-"


def _bins_inside(f: Row) -> str:
    bins = f["calibration"]
    return f"{sum(b['inside'] for b in bins)} of {len(bins)} bins"


Said = Callable[[Row], str]
ROWS: tuple[tuple[str, Said], ...] = (
    ("cases", lambda f: str(f["cases"])),
    ("ceiling", lambda f: _p(f["ceiling"])),
    ("right", lambda f: _p(f["right_unit"])),
    ("proven", lambda f: _p(f["proven"])),
    ("wrong", lambda f: _p(f["wrong_unit"])),
    ("wrong at most", lambda f: _p(f["wrong_unit_upper"])),
    ("best bet", lambda f: _p(f["best_bet"])),
    ("regret", lambda f: _n(f["best_bet_regret"], 0)),
    ("not separable", lambda f: _p(f["not_separable"])),
    ("not explained", lambda f: _p(f["not_explained"])),
    ("left open", lambda f: _p(f["open"])),
    ("readings, mean", lambda f: _n(f["readings_mean"], 1)),
    ("minutes, mean", lambda f: _n(f["minutes_mean"], 1)),
    ("minutes, nine of ten within", lambda f: _n(f["minutes_p90"], 1)),
    ("missed contacts recognised", lambda f: _of(f, "missed_recognised", "missed")),
    ("exchanged found", lambda f: _of(f, "exchanged_found", "exchanged")),
    ("exchanged claimed when absent", lambda f: _p(f["exchanged_claimed"])),
    ("outside, wrong unit proven", lambda f: _of(f, "outside_wrong", "outside")),
    ("to the optimum, mean", lambda f: _n(f["ratio_to_optimal"], 3)),
    ("to the optimum, worst", lambda f: _n(f["ratio_to_optimal_worst"], 3)),
    ("to half-splitting", lambda f: _n(f["ratio_to_half_split"])),
    ("to the places in order", lambda f: _n(f["ratio_to_in_order"])),
)
AIMS: tuple[tuple[str, str, str, Said], ...] = (
    ("right unit", "at least the ceiling less 1.5 points", "plain",
     lambda f: f"{_p(f['right_unit'])}, ceiling {_p(f['ceiling'])}"),
    ("wrong unit, upper 95 % limit", "at most 0.5 %", "plain", lambda f: _p(f["wrong_unit_upper"])),
    ("calibration", "every claim inside its interval", "plain", _bins_inside),
    ("missed contacts recognised", "at least 90 %", "plain",
     lambda f: _of(f, "missed_recognised", "missed")),
    ("exchanged found", "at least 95 %", "exchanged",
     lambda f: _of(f, "exchanged_found", "exchanged")),
    ("exchanged claimed when absent", "at most 1 %", "plain", lambda f: _p(f["exchanged_claimed"])),
    ("outside, wrong unit proven", "at most 3 %", "outside",
     lambda f: _of(f, "outside_wrong", "outside")),
    ("to the optimum, mean", "at most 1.05", "plain", lambda f: _n(f["ratio_to_optimal"], 3)),
    ("to the optimum, worst", "at most 1.15", "plain",
     lambda f: _n(f["ratio_to_optimal_worst"], 3)),
    ("to half-splitting", "at most 0.9", "plain", lambda f: _n(f["ratio_to_half_split"])),
)  # fmt: skip
