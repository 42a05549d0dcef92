"""`loomwise proof`."""

from typing import Any

import typer

from loomwise.cli.errors import NO
from loomwise.cli.rank import show_head
from loomwise.cli.show import heading, lines, minutes, patience, percent, print_json, table, words
from loomwise.usecases.proof import proof_of_job

NAMED = 3


def run(job: str, repaired: tuple[str, ...], shown: tuple[str, ...], as_json: bool) -> None:
    """The checks after a repair, and with answers the judgement; exit 1 if it is not proven."""
    with patience("planning the proof"):
        answer = proof_of_job(job, repaired, shown)
    if as_json:
        print_json(answer)
    else:
        _show(answer)
    if answer["proof"] and not answer["proof"]["passed"]:
        raise typer.Exit(NO)


def _show(answer: dict[str, Any]) -> None:
    show_head(answer)
    lines(f"repaired: {words(u['title'] for u in answer['repaired'])}")
    if answer["proof"]:
        _judged(answer["proof"])
    many = len(answer["checks"])
    heading(f"{many} check{'s' * (many != 1)}, {minutes(answer['minutes'])} in all")
    setup = ""
    for check in answer["checks"]:
        if check["setup"] != setup:
            setup = check["setup"]
            lines(setup, "     ", "with ")
        _check(check)
    for caution in dict.fromkeys(c for check in answer["checks"] for c in check["cautions"]):
        lines(caution, "         ", "caution: ")
    if answer["uncovered"]:
        heading("what no check can catch")
        table(("", ""), [(u["fault"], percent(u["share"])) for u in answer["uncovered"]], [1])


def _judged(proof: dict[str, Any]) -> None:
    if proof["passed"]:
        lines("Proven: every check is as expected.")
    for reason in proof["reasons"]:
        lines(reason, "  ", "Not proven: ")


def _check(check: dict[str, Any]) -> None:
    """What to do, what must be found, and which faults would show otherwise."""
    lines(f"{check['title']}: {check['expected']}", "      ", f"  {check['id']}  ")
    units = list(dict.fromkeys(c["title"] for c in check["catches"]))
    if units:
        more = [f"{len(units) - NAMED} more"] if len(units) > NAMED else []
        lines(f"would show a fault in {words([*units[:NAMED], *more])}", "      ")
