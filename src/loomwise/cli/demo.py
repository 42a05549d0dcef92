"""`loomwise demo`: the demo job on paper, step by step."""

import re
from collections.abc import Iterator
from typing import Any

from loomwise.cli.rank import evidence_row
from loomwise.cli.report import say
from loomwise.cli.show import heading, lines, minutes, patience, percent, print_json, table
from loomwise.usecases.demo import Bay, make_bay, play_demo
from loomwise.usecases.paper import check_file, check_paper
from loomwise.usecases.wording import verdict_text

INDENT = "     "
SUSPECTS = 3
WORTH_SAYING = 0.1
"""A doubt is told again when it has moved by this much. [-]"""
_WITH_SETUP = re.compile(r"(.*) \(([^()]*)\)")


def run(as_json: bool, report: str = "", paper: str = "A4") -> None:
    """Play the job and print each step as it is made; with a file, write its report too."""
    if report:
        check_file(report)
        check_paper(paper)
    bay = make_bay()
    steps = _patient(play_demo(bay))
    if as_json:
        print_json({"format": 1, "steps": list(steps)})
    else:
        teller = Teller()
        for number, step in enumerate(steps):
            teller.tell(step, number)
    if report:
        _report(bay, report, paper, as_json)


def _report(bay: Bay, file: str, paper: str, quiet: bool) -> None:
    from loomwise.usecases.demo_report import write_demo_report

    with patience("writing the report"):
        written = write_demo_report(bay, file, paper)
    if not quiet:
        print()
        say(written, "the report of this job, with the repair and its proof,", False)


def _patient(steps: Iterator[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    while True:
        with patience("thinking"):
            step = next(steps, None)
        if step is None:
            return
        yield step


class Teller:
    """Tells the steps in order; says the setup only where it changes."""

    def __init__(self) -> None:
        self.setup = ""
        self.doubts: dict[str, float] = {}

    def tell(self, step: dict[str, Any], number: int) -> None:
        """Print one step."""
        if step["step"] == "intake":
            self._intake(step)
        elif step["step"] == "end":
            _end(step)
        else:
            self._test(step, number)

    def _intake(self, step: dict[str, Any]) -> None:
        heading(f"{step['vehicle']}. {step['circuit']}")
        lines(f"Complaint: {step['complaint']}")
        print("Seen:")
        for item in step["items"]:
            self._item(item, "")
        _suspects(step, f"{INDENT}suspects: ")
        print()
        lines("Hidden from the advice: the fault; that the drawing has two cavities of one plug"
              " exchanged; and that one probe will not touch.")  # fmt: skip

    def _test(self, step: dict[str, Any], number: int) -> None:
        print()
        test = step.get("proposal")
        if test is None:
            print(f"{number}. a reading of her own")
        else:
            lines(f"{test['title']}, {minutes(test['minutes'])}", INDENT, f"{number}. ")
            if test["changes"]:
                lines(", then ".join(test["changes"]), INDENT, f"{INDENT}first: ")
            if step["verdict"]["weakest_reading"]:
                lines("; ".join(step["verdict"]["reasons"]), INDENT, f"{INDENT}not proven yet: ")
            lines(why(test), INDENT + "     ", f"{INDENT}why: ")
        self._item(step["read"], f"{step['item']}: ")
        _suspects(step, f"{INDENT}now: ")
        for doubt in step["doubts"]:
            self._doubt(doubt["title"], doubt["share"])

    def _doubt(self, title: str, share: float) -> None:
        """A doubt, where it is new or has moved."""
        if abs(share - self.doubts.get(title, 0.0)) >= WORTH_SAYING:
            lines(f"{title}, {percent(share)}", INDENT, f"{INDENT}doubt: ")
            self.doubts[title] = share

    def _item(self, text: str, lead: str) -> None:
        found = _WITH_SETUP.fullmatch(text)
        what, setup = (found[1], found[2]) if found else (text, self.setup)
        if setup != self.setup:
            lines(setup, INDENT, f"{INDENT}with ")
            self.setup = setup
        lines(what, INDENT, f"{INDENT}{lead}")


def why(test: dict[str, Any]) -> str:
    """The suspects gathered by what they predict."""
    told: dict[str, list[str]] = {}
    for e in test["expectations"]:
        told.setdefault(e["text"], []).append(e["title"])
    return "; ".join(f"{text} if it is {_either(who)}" for text, who in told.items())


def _either(names: list[str]) -> str:
    return " or ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


def _suspects(step: dict[str, Any], lead: str) -> None:
    shown = [s for s in step["suspects"][:SUSPECTS] if s["share"] > 0.001]
    listed = "; ".join(f"{s['title']} {percent(s['share'])}" for s in shown)
    lines(listed, " " * len(lead), lead)


def _end(step: dict[str, Any]) -> None:
    verdict = step["verdict"]
    print()
    lines(verdict_text(verdict), "  ", "")
    lines(f"Likeliest in it: {step['fault']}.")
    cost = f"part {step['price']:.0f}, labour {minutes(step['labour_minutes'])}"
    lines(f"To repair: {step['title']}, {cost}. Testing took {minutes(step['minutes'])}.")
    for doubt in step["doubts"]:
        lines(f"{doubt['title']}, {percent(doubt['share'])}.", "  ", "Found on the way: ")
    heading(f"why the {step['title']}: how many times likelier each item makes it")
    table(("", "", ""), map(evidence_row, step["why"]), right=[1])
    for title, found in step["why_not"].items():
        heading(f"why not the {title}")
        table(("", "", ""), map(evidence_row, found), right=[1])
    print()
    for caution in step["cautions"]:
        lines(caution, "  ", "Caution: ")
    truth = step["truth"]
    lines(
        f"What was hidden in the vehicle: {truth['fault']}; labels {truth['exchanged']} exchanged;"
        f" reading {truth['missed']} did not touch.", "  ", "",
    )  # fmt: skip
