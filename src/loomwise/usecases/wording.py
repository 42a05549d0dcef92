"""Shares, times and verdicts in words: the same on the command line and on the pages."""

from typing import Any

PRESENT = {
    "yes": "taken with the complaint present",
    "no": "complaint absent: clears nothing",
    "unknown": "not known whether the complaint was there",
}
MOST_TIMES = 10_000


def percent(share: float) -> str:
    """A share of belief: never 100 %, as nothing is certain."""
    if share > 0.999:
        return "over 99.9 %"
    if share < 0.001:
        return "under 0.1 %"
    return f"{100 * share:.1f} %" if share > 0.99 or share < 0.01 else f"{100 * share:.0f} %"


def minutes(value: float) -> str:
    """Time in minutes, short."""
    return f"{value:.0f} min" if value >= 10 else f"{value:.1f} min"


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


def factor_text(bits: float) -> str:
    """The weight of an item of evidence as a factor: "12 times for"."""
    times = 2.0 ** abs(bits)
    side = "for" if bits > 0 else "against"
    size = f"over {MOST_TIMES} times" if times > MOST_TIMES else f"{times:.3g} times"
    if 10 <= times <= MOST_TIMES:
        size = f"{times:.0f} times"
    return f"{size} {side}"
