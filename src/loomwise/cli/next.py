"""`loomwise next`."""

from typing import Any

import typer

from loomwise.cli.errors import NO
from loomwise.cli.rank import show_bets, show_head
from loomwise.cli.report import say
from loomwise.cli.show import lines, minutes, patience, percent, print_json, table
from loomwise.usecases.paper import Output, write_plan
from loomwise.usecases.rank import Time, next_for_job, plan_for_job
from loomwise.usecases.wording import no_test, plan_end, verdict_text

WAYS = {"test lamp": "test lamp", "voltmeter": "voltmeter", "look": "look", "sign": "watch"}


def run(job: str, most: int, time: Time, drawing: bool, as_json: bool) -> None:
    """The next tests of the job; exit 1 if nothing explains it, or no test is worth its time."""
    with patience("weighing tests"):
        answer = next_for_job(job, most, time, drawing)
    if as_json:
        print_json(answer)
    else:
        _show(answer)
    kind = answer["verdict"]["kind"]
    if kind == "not explained" or (not answer["tests"] and kind != "proven"):
        raise typer.Exit(NO)


def run_plan(job: str, leaves: int, time: Time, as_json: bool) -> None:
    """The tree of tests from here, for paper; exit 1 if there is nothing left to test."""
    with patience("growing the plan"):
        answer = plan_for_job(job, leaves, time)
    if as_json:
        print_json(answer)
    else:
        _show_plan(answer)
    if answer["plan"] is None:
        raise typer.Exit(NO)


def run_plan_paper(job: str, time: Time, out: Output, as_json: bool) -> None:
    """The tree of tests in a file; exit 1 if there is nothing left to test."""
    with patience("growing the plan"):
        written = write_plan(job, time, out.file, out.paper, out.heading)
    if written is None:
        lines(
            "No test that could be made here would tell enough about the repair: nothing written."
        )
        raise typer.Exit(NO)
    say(written, "the test plan", as_json)


def _show_plan(answer: dict[str, Any]) -> None:
    show_head(answer)
    lines(verdict_text(answer["verdict"]), "  ", "")
    lines(f"the vehicle stands: {answer['here']}")
    print()
    if answer["plan"] is None:
        lines(no_test(answer["verdict"]))
    else:
        _show_step(answer["plan"], "1", "")


def _show_step(step: dict[str, Any], number: str, lead: str) -> None:
    """A test and what follows from each result, indented by depth."""
    if "results" not in step:
        lines(f"{lead}{plan_end(step)}", lead + "   ", "")
        return
    left = f"{minutes(step['minutes'])} to the end on average, chance {percent(step['chance'])}"
    first = f"{', then '.join(step['changes'])}: " if step["changes"] else ""
    lines(f"{lead}{number} {first}{step['title']} ({left})", lead + "   ", "")
    for k, (text, then) in enumerate(step["results"], 1):
        lines(f"{lead}  {text}:", lead + "     ", "")
        _show_step(then, f"{number}.{k}", lead + "    ")


def _show(answer: dict[str, Any]) -> None:
    show_head(answer)
    lines(verdict_text(answer["verdict"]), "  ", "")
    show_bets(answer["verdict"])
    lines(f"the vehicle stands: {answer['here']}")
    for number, test in enumerate(answer["tests"], 1):
        print()
        _show_test(test, f"{number}. ")
    if not answer["tests"]:
        print()
        lines(no_test(answer["verdict"]))
    _show_cautions(answer["tests"])


def _show_test(test: dict[str, Any], lead: str) -> None:
    """One proposal in full."""
    lines(f"{test['title']}, {minutes(test['minutes'])}", "   ", lead)
    if test["changes"]:
        lines(", then ".join(test["changes"]), "        ", "   first ")
    if test["method"] not in ("open", "") and test["instrument"] != "look":
        print(f"   reach it by: {test['method']}")
    print("   what each suspect predicts:")
    rows = [("   " + e["title"], percent(e["share"]), e["text"]) for e in test["expectations"]]
    table(("", "", ""), rows, right=[1])
    print("   what it would tell:")
    rows = [
        ("   " + o["text"], percent(o["chance"]), f"then {o['then']} leads, {percent(o['share'])}")
        for o in test["outcomes"]
    ]
    table(("", "", ""), rows, right=[1])


def _show_cautions(tests: list[dict[str, Any]]) -> None:
    """What to mind with any of the tests, each once."""
    cautions = dict.fromkeys(c for test in tests for c in test["cautions"])
    if cautions:
        print()
    for caution in cautions:
        lines(caution, "         ", "caution: ")
