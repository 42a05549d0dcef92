"""`loomwise rank`."""

from typing import Any

import typer

from loomwise.cli.errors import NO
from loomwise.cli.show import heading, lines, minutes, patience, percent, print_json, table
from loomwise.usecases.rank import Time, rank_job

PRESENT = {
    "yes": "taken with the complaint present",
    "no": "complaint absent: clears nothing",
    "unknown": "not known whether the complaint was there",
}
MOST_TIMES = 10_000


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
            ("nothing wrong in this circuit", answer["nothing_wrong"])]  # fmt: skip
    rows += [(title, percent(share), "", "") for title, share in rest]
    table(("unit to repair", "share", "repair", "likeliest faults"), rows, right=[1])
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


def verdict_text(verdict: dict[str, Any]) -> str:
    """Where the job stands, in a sentence or two."""
    title, share = verdict["title"], percent(verdict["share"])
    why, kind = "; ".join(verdict["reasons"]), verdict["kind"]
    if kind == "open" and (verdict["weakest_reading"] or verdict["fuse"]):
        return f"Not proven yet: {title}, {share}, but {why}."
    if kind == "open":
        return f"Open: {title} leads with {share}; proof takes 99 %.{_pays(verdict)}"
    if kind == "proven":
        least = percent(verdict["weakest_share"])
        text = f"Proven: {title}, {share}; whichever one reading is left out, {least} at least."
        return text + _remarks(verdict)
    if kind == "best bet":
        return f"Best bet: {title}, {share}; {why}.{_settle(verdict)}{_remarks(verdict)}"
    if kind == "not separable":
        return f"Not separable, together {share}: {why}."
    return f"{HEADS[kind]}: {why}."


HEADS = {
    "not explained": "Not explained",
    "as designed": "Not electrical, or as designed",
    "authorised time reached": "Authorised time reached, ask the customer",
}


def _remarks(verdict: dict[str, Any]) -> str:
    return "".join(f" {text[:1].upper()}{text[1:]}." for text in verdict["remarks"])


def _pays(verdict: dict[str, Any]) -> str:
    """Why to go on: what it costs against what being wrong would."""
    if not verdict["settles"]:
        return ""
    wrong, on = verdict["at_risk_cost"], verdict["going_on_cost"]
    return f" Repairing now risks {wrong:.0f}, testing on costs about {max(on, 1.0):.0f}."


def _settle(verdict: dict[str, Any]) -> str:
    test = verdict["settles"]
    if not test:
        return ""
    first = f" (first {', then '.join(test['changes'])})" if test["changes"] else ""
    return f" To settle it cheapest: {test['title']}{first}, {minutes(test['minutes'])}."


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
    rows = [(i["id"], i["text"], PRESENT[i["complaint"]]) for i in answer["items"]]
    rows += [(w["id"], "withdrawn", w["reason"]) for w in answer["withdrawn"]]
    table(("", "", ""), rows)


def evidence_row(line: dict[str, Any]) -> tuple[str, str, str]:
    """One item of evidence: its id, its weight as a factor, its words."""
    times = 2.0 ** abs(line["bits"])
    side = "for" if line["bits"] > 0 else "against"
    size = f"over {MOST_TIMES} times" if times > MOST_TIMES else f"{times:.3g} times"
    if 10 <= times <= MOST_TIMES:
        size = f"{times:.0f} times"
    return line["id"], f"{size} {side}", line["text"]
