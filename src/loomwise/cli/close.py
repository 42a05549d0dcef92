"""`loomwise close` and `reopen`."""

import typer

from loomwise.cli.errors import NO
from loomwise.cli.show import heading, lines, patience, print_json, table, words
from loomwise.store import open_store
from loomwise.usecases import closing
from loomwise.usecases.closing import JobEnd


def run_close(
    job: int, repaired: tuple[str, ...], answers: tuple[str, ...], unproven: str, look: bool,
    as_json: bool,
) -> None:  # fmt: skip
    """Record repairs and answers, then close; with ``look`` only say what is missing."""
    store = open_store()
    with patience("planning the proof"):
        for unit in repaired:
            if unit not in list(closing.end_of(store, job).repaired)[-1:]:
                closing.repair(store, job, unit)
        if answers:
            closing.answer(store, job, answers)
        end = closing.end_of(store, job) if look else closing.close(store, job, unproven)
    _say(end, as_json)
    if look and not (end.closed or (end.passed and not end.put_back)):
        raise typer.Exit(NO)


def run_reopen(job: int, reason: str, comeback: bool, as_json: bool) -> None:
    """Open a job again."""
    _say(closing.reopen(open_store(), job, reason, comeback), as_json)


def _say(end: JobEnd, as_json: bool) -> None:
    if as_json:
        print_json(end)
        return
    state = f"closed as {end.closed}" if end.closed else "open"
    lines(f"job {end.number} is {state}{': ' if end.reason else ''}{end.reason}")
    if end.repaired:
        lines(f"repaired: {words(end.repaired.values())}")
    if end.checks:
        heading("proof: " + ("passed" if end.passed else "not passed"))
        rows = [(c["id"], c["setup"], c["title"], c["expected"], end.shown.get(c["id"], ""))
                for c in end.checks]  # fmt: skip
        table(("", "with", "check", "expected", "shown"), rows)
    if not end.closed:
        for text in (*end.missing, *(f"still to do: {u}" for u in end.put_back)):
            lines(text, "  ", "")
    if end.learned:
        lines(end.learned)
