"""The page of all checks against the outside, from the table that tests/outside reads."""

from collections import Counter
from collections.abc import Iterable

from tests.outside.catalogue import TOPICS, catalogue
from tests.outside.check import MARKS, Check, Figure

_INTRO = """\
# Checks against the outside

Every figure below comes from outside and stands beside what the program gives. Tests and this page
read one table (`tests/outside`), so a row that is not met fails `./run test`, and so does a page
that is not fresh. "Computed" is worked out from published figures; trade rules without a standard
and figures that were remembered and not found again are counted apart, and prove less.
"""
_PROGRAMS = """\
## Another program

Not single figures but whole solutions. ngspice solves the circuits of the shelf, healthy and with
faults, in their control setups (`tests/reference/test_ngspice.py` a sample; `./run bench shelf`
every setup of every circuit), and invented circuits with faults in setups drawn at random
(`tests/reference/test_random.py` a sample, `./run bench random` 2,000 circuits). How near volts
must agree, and why, stands in `tests/reference/agreement.py`.

## Exact methods

Rankings of small circuits beside counting every possibility on a fine grid
(`tests/diagnosis/test_exact_posterior.py`: within 0.012 of a share), and orders of tests beside
dynamic programming (`tests/planning/test_sequencing.py`).
"""


def checks_page() -> str:
    """All checks by topic, with the counts by source at the top."""
    rows = catalogue()
    parts = [_INTRO, _counts([check for _, check in rows])]
    for topic in TOPICS:
        parts.append(f"## {topic}\n\n{_topic([c for t, c in rows if t == topic])}")
    return "\n".join([*parts, _PROGRAMS])


def _counts(checks: list[Check]) -> str:
    known = Counter(c.known for c in checks)
    head = [
        f"{len(checks)} checks: " + ", ".join(f"{known[m]} {m}" for m in MARKS if known[m]) + "."
    ]
    named = [c for c in checks if c.known in MARKS[:2]]
    by_source = Counter(c.source for c in named).most_common()
    rows = [(_linked(source.title, source.where), str(count)) for source, count in by_source]
    return "\n".join([*head, "", _table(("published source", "checks"), _sorted(rows))])


def _sorted(rows: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """Most checks first, then by name."""
    return sorted(rows, key=lambda r: (-int(r[1]), r[0]))


def _topic(checks: list[Check]) -> str:
    head = ("what", "ours", "theirs", "allowed, and why", "source")
    return _table(head, [_row(c) for c in checks])


def _row(check: Check) -> tuple[str, ...]:
    ours = check.ours()
    if isinstance(check.theirs, str) or isinstance(ours, str):
        return check.what, str(ours), str(check.theirs), "the same", _source(check)
    unit = "" if check.unit == "-" else f" {check.unit}"
    theirs = check.theirs
    return check.what, f"{ours:.5g}{unit}", theirs.text + unit, _allowed(theirs), _source(check)


def _allowed(theirs: Figure) -> str:
    low, high = (f"{x:.5g}" for x in (theirs.low, theirs.high))
    if low == high or "inf" in (low.strip("-"), high):
        return theirs.why
    return f"{low} to {high}: {theirs.why}"


def _source(check: Check) -> str:
    text = ", ".join(filter(None, [check.source.title, check.detail]))
    return text if check.known == check.source.mark else f"{text} ({check.known})"


def _linked(title: str, where: str) -> str:
    return f"[{title}]({where})" if where else title


def _table(head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    lines = [head, tuple("---" for _ in head), *rows]
    return "\n".join("| " + " | ".join(c.replace("|", "/") for c in r) + " |" for r in lines) + "\n"
