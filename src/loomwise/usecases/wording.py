"""Shares, times and verdicts in words: the same on the command line and on the pages."""

from collections.abc import Mapping
from typing import Any

from loomwise.advice.wording import METER, PRESENT, factor_text, minutes, percent, volts
from loomwise.diagnosis.ranking import NOT_EXPLAINED, NOTHING_WRONG

__all__ = [
    "METER",
    "PRESENT",
    "factor_text",
    "minutes",
    "no_test",
    "nothing_wrong",
    "percent",
    "plan_end",
    "verdict_text",
    "volts",
]


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


def nothing_wrong(answer: Mapping[str, Any]) -> str:
    """What the hypothesis that nothing is wrong is called: of a large circuit only some parts are
    reasoned about."""
    whole = answer["parts_concerned"] == answer["parts"]
    return f"nothing wrong in {'this circuit' if whole else 'what concerns it'}"


def no_test(verdict: Mapping[str, Any]) -> str:
    """Why no test is proposed."""
    if verdict["kind"] == "proven":
        return "It is proven: no further test is worth its time."
    return "No test that could be made here would tell enough about the repair."


def plan_end(step: Mapping[str, Any]) -> str:
    """What to do where a plan ends; where there is nothing to repair, what then holds."""
    share = percent(step["share"])
    if step["title"] in (NOT_EXPLAINED, NOTHING_WRONG):
        return f"{step['title']}: {share}{'; look further' if step['cut'] else ''}"
    return f"repair {step['title']}{' or look further' if step['cut'] else ''}: {share} there"
