"""`loomwise practice`."""

from typing import Any

import typer

from loomwise.cli.errors import NO
from loomwise.cli.show import heading, lines, minutes, patience, percent, print_json, table
from loomwise.store import open_store
from loomwise.usecases import practise
from loomwise.usecases.practice_progress import Progress, progress
from loomwise.usecases.practice_words import Asked
from loomwise.usecases.practise import Practice


def run_start(circuit: str, difficulty: str, seed: int | None, person: str, as_json: bool) -> None:
    """Hide a fault."""
    with patience("hiding a fault"):
        found = practise.start(open_store(), circuit, difficulty, seed, person)
    _show(found, as_json)


def run_ask(
    number: int, test: str, setup: str, undo: tuple[str, ...], back: tuple[str, ...], as_json: bool
) -> None:
    """One test or setup."""
    asked = Asked(test, setup, undo, back)
    found = practise.ask(open_store(), number, asked)
    if as_json:
        print_json(found)
    elif test:
        step = found.steps[-1]
        lines(f"{step.answer}, {minutes(step.minutes)}", "  ", f"{step.id}  ")
    else:
        _stands(found)


def run_decide(number: int, unit: str, as_json: bool) -> None:
    """End a practice; exit 1 if another unit was at fault."""
    with patience("going both paths again"):
        found = practise.decide(open_store(), number, unit)
    _show(found, as_json)
    if found.debrief and not found.debrief["right"]:
        raise typer.Exit(NO)


def run_show(number: int, as_json: bool) -> None:
    """A practice as it stands."""
    _show(practise.show(open_store(), number), as_json)


def run_list(person: str, as_json: bool) -> None:
    """What was practised."""
    found = progress(open_store(), person)
    if as_json:
        print_json(found)
    else:
        _list(found)


def _show(p: Practice, as_json: bool) -> None:
    if as_json:
        print_json(p)
        return
    heading(f"practice {p.number}: {p.circuit}, {p.difficulty}, seed {p.seed} ({p.person})")
    lines("The complaint: " + "; ".join(p.complaint))
    _stands(p)
    rows = [(s.id, s.title, s.setup, s.answer, minutes(s.minutes)) for s in p.steps]
    if rows:
        heading(f"{len(rows)} tests, {minutes(p.minutes)}")
        table(("", "test", "with", "answer", ""), rows, [4])
    if p.debrief:
        _debrief(p, p.debrief)
    else:
        heading("what may be at fault")
        table(("unit", ""), [(name, title) for name, title in p.units.items() if name != title])


def _stands(p: Practice) -> None:
    lines(f"the vehicle stands: {p.here}")


def _debrief(p: Practice, d: Any) -> None:
    heading("right" if d["right"] else "not right")
    lines(f"You decided on {d['own']['unit']}. What was wrong: {d['fault']}.")
    if d["exchange"]:
        lines(f"The drawing was wrong too: {d['exchange']}.")
    if d["missed"]:
        lines(f"Told wrong, by a missed contact or a wrong label: {', '.join(d['missed'])}.")
    rows = [
        (who, str(len(w["tests"])), minutes(w["minutes"]), f"{w['cost']:.0f}", w["unit"])
        for who, w in (("yours", d["own"]), ("advised", d["advised"]))
    ]
    table(("path", "tests", "time", "cost", "ends in"), rows, [1, 2, 3])
    for words in d["words"]:
        lines(words)
    heading("test by test: share of the doubt it should settle, in which time")
    table(("", "yours", "", "", "advised", "", ""), [_beside(b) for b in d["beside"]], [2, 3, 5, 6])


def _beside(b: Any) -> tuple[str, ...]:
    own, best = _weighed(b["own"]), b["advised"]
    other = _weighed(best) if best else ("proven before" if b["proven"] else "none", "", "")
    return (b["item"], *own, *other)


def _weighed(w: Any) -> tuple[str, str, str]:
    return w["title"], percent(w["settles"]), minutes(w["minutes"])


def _list(p: Progress) -> None:
    if not p.practices:
        lines("Nothing was practised yet: loomwise practice start CIRCUIT.")
        return
    lines(f"{p.decided} decided, {p.right} right")
    rows = [
        (str(x.number), x.person, x.at, x.circuit, x.difficulty,
         {True: "right", False: "wrong", None: "open"}[x.right], _of(x.minutes, x.advised_minutes),
         _of(x.cost, x.advised_cost))
        for x in p.practices
    ]  # fmt: skip
    head = ("", "who", "when", "circuit", "level", "", "minutes / advised", "cost / advised")
    table(head, rows, [0, 6, 7])


def _of(own: float | None, advised: float | None) -> str:
    return "" if own is None or advised is None else f"{own:.0f} / {advised:.0f}"
