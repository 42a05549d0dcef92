"""`loomwise rank`."""

from typing import Any

import typer

from loomwise.cli.errors import NO
from loomwise.cli.show import heading, lines, minutes, patience, percent, print_json, table
from loomwise.usecases.rank import Time, rank_job
from loomwise.usecases.wording import PRESENT, factor_text, nothing_wrong, verdict_text


def run(job: str, time: Time, as_json: bool) -> None:
    """Rank the job; exit 1 if nothing in the circuit explains it."""
    with patience("ranking"):
        answer = rank_job(job, time)
    if as_json:
        print_json(answer)
    else:
        _show(answer)
    if answer["verdict"]["kind"] == "not explained":
        raise typer.Exit(NO)


def _show(answer: dict[str, Any]) -> None:
    show_head(answer)
    lines(verdict_text(answer["verdict"]), "  ", "")
    show_bets(answer["verdict"])
    heading("suspects")
    rows = [(u["title"], percent(u["share"]), _repair(u), _faults(u)) for u in answer["units"]]
    rest = [("not explained by anything I know", answer["not_explained"]),
            (nothing_wrong(answer), answer["nothing_wrong"])]  # fmt: skip
    rows += [(title, percent(share), "", "") for title, share in rest]
    table(("unit to repair", "share", "repair", "likeliest faults"), rows, right=[1])
    if answer["parts_concerned"] < answer["parts"]:
        few, every = answer["parts_concerned"], answer["parts"]
        lines(
            f"Of {every} parts {few} concern what was seen; a fault elsewhere changes none of it."
        )
    _show_sneaks(answer)
    _show_doubts(answer)
    _show_items(answer)
    titles = {u["unit"]: u["title"] for u in answer["units"]}
    for unit, found in answer["evidence"].items():
        if found:
            heading(f"what speaks for and against {titles[unit]}")
            table(("", "how much likelier", ""), map(evidence_row, found), right=[1])


def show_head(answer: dict[str, Any]) -> None:
    """Vehicle, complaint and circuit."""
    lines(f"{answer['vehicle']}: {answer['complaint']}", "  ", "")
    lines(f"circuit: {answer['circuit']}")
    if answer.get("added"):
        lines(f"added: {answer['added']}", "  ", "")


def show_bets(verdict: dict[str, Any]) -> None:
    """The repairs that could be made now with their figures, where the job stops short of proof."""
    if verdict["kind"] not in ("best bet", "not separable", "authorised time reached"):
        return
    heading("repairs that could be made now, by expected cost")
    rows = [
        (b["title"], percent(b["share"]), f"{b['price']:.0f}", minutes(b["labour_minutes"]),
         f"{b['cost']:.0f}", f"{b['comeback_cost']:.0f}", f"{b['expected_cost']:.0f}")
        for b in verdict["bets"]
    ]  # fmt: skip
    head = ("unit", "chance", "part", "labour", "repair", "if it comes back", "expected")
    table(head, rows, right=range(1, 7))


def _repair(unit: dict[str, Any]) -> str:
    return f"part {unit['price']:.0f}, {minutes(unit['labour_minutes'])}"


def _faults(unit: dict[str, Any]) -> str:
    return "; ".join(f"{f['title']} {percent(f['share'])}" for f in unit["faults"])


def _show_sneaks(answer: dict[str, Any]) -> None:
    """Ways nobody meant, under the leading faults."""
    if answer["sneak_paths"]:
        heading("ways nobody meant")
    for sneak in answer["sneak_paths"]:
        lines(f"{sneak['fault']}: {' '.join(sneak['text'])} ({sneak['setup']})", "  ", "")


def _show_doubts(answer: dict[str, Any]) -> None:
    drawing, readings = answer["drawing_doubts"], answer["reading_doubts"]
    if drawing or readings:
        heading("doubts")
        rows = [(f"drawing: {d['title']}", percent(d["share"])) for d in drawing]
        rows += [
            (
                f"reading {r['id']} {r['advice'] or 'is bad (did not touch, or elsewhere)'}",
                percent(r["share"]),
            )
            for r in readings
        ]
        table(("", "share"), rows, right=[1])


def _show_items(answer: dict[str, Any]) -> None:
    heading("seen and read")
    if not answer["items"]:
        lines("Nothing counts yet: the shares are those of any job on this circuit.", "  ")
    rows = [(i["id"], i["text"], PRESENT[i["complaint"]]) for i in answer["items"]]
    rows += [(w["id"], "withdrawn", w["reason"]) for w in answer["withdrawn"]]
    table(("", "", ""), rows)


def evidence_row(line: dict[str, Any]) -> tuple[str, str, str]:
    """One item of evidence: its id, its weight as a factor, its words."""
    return line["id"], factor_text(line["bits"]), line["text"]
