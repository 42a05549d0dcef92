"""What was found: the evidence in words and as a table, and what was ruled out by it."""

from collections.abc import Iterator

from loomwise.advice.evidence_words import EvidenceLine, describe, evidence_for
from loomwise.advice.wording import factor_text, percent
from loomwise.evidence import Evidence
from loomwise.report.case import Case
from loomwise.report.document import Section, Table, Words, section
from loomwise.report.words import pretty, unit_words

TOLD = 6
"""Items told in words; the table has all of them."""
SUSPECTED, STILL = 0.02, 0.01
"""A unit counts as suspected from this share on by the complaint alone, and as ruled out below
this one in the end."""
BAD = 0.5
NAMED = 8
AT_FIRST = "At first: by what the loads did, before anything was measured."
COMPLAINT = {"yes": "there", "no": "not there", "unknown": "not noted"}


def suspects(case: Case) -> Iterator[Section]:
    """What can still be at fault, with what nothing explains; where one unit is left, short."""
    ranking = case.diagnosis.ranking
    left = [(u, s) for u, s in ranking.units.items() if s >= STILL][:NAMED]
    rows = [(unit_words(case.expert, u), percent(s), _faults(case, u)) for u, s in left]
    rows.append(("not explained by anything in this circuit", percent(ranking.not_explained), ""))
    if ranking.nothing_wrong >= 0.001:
        rows.append(("nothing wrong in this circuit", percent(ranking.nothing_wrong), ""))
    head = ("unit to repair", "share", "likeliest fault in it")
    yield from section("What it can be", Table(head, tuple(rows), (3, 0, 3), (1,)))


def _faults(case: Case, unit: str) -> str:
    """The likeliest fault in a unit, in words."""
    mine = f"{unit_words(case.expert, unit)}: "
    for s in case.diagnosis.ranking.suspects:
        if s.fault is not None and unit in s.unit.split(" + "):
            return pretty(s.fault.title).removeprefix(mine)
    return ""


def found(case: Case) -> Iterator[Section]:
    """The strongest items in words."""
    unit = case.diagnosis.unit
    title = unit_words(case.expert, unit)
    lines = [x for x in _lines(case, unit) if not _bad(case, x.item_id)][:TOLD]
    rows = tuple((x.item_id, x.text, factor_text(x.bits)) for x in lines)
    said = Words(
        f"The signs and readings that weigh most, by how many times likelier each is if it is the"
        f" {title} than if it is anything else in the circuit."
    )
    if rows:
        head = ("", "seen or read", "weighs")
        yield from section("How it was found", said, Table(head, rows, (0, 1, 0), (2,)))


def _lines(case: Case, unit: str) -> tuple[EvidenceLine, ...]:
    d = case.diagnosis
    return evidence_for(case.expert, d.evidence, d.ranking, unit) if unit else ()


def _bad(case: Case, item: str) -> bool:
    return case.diagnosis.ranking.bad.get(item, 0.0) > BAD


def ruled_out(case: Case) -> Iterator[Section]:
    """Units the complaint had pointed to, and what took them off the list."""
    d = case.diagnosis
    out = [
        u
        for u, share in d.start.units.items()
        if share >= SUSPECTED and d.ranking.units.get(u, 0.0) < STILL and u != d.unit
    ]
    rows = tuple(
        (unit_words(case.expert, u), percent(d.start.units[u]),
         percent(d.ranking.units.get(u, 0.0)), _against(case, u))
        for u in out[:NAMED]
    )  # fmt: skip
    more = len(out) - NAMED
    rest = f"{more} more were likelier than {percent(SUSPECTED)} by the complaint alone."
    if not rows:
        return
    head = ("unit", "at first", "now", "ruled out by")
    yield from section(
        "What was ruled out", Words(AT_FIRST), Table(head, rows, (3, 0, 0, 4), (1, 2)),
        Words(rest if more > 0 else "", "small"),
    )  # fmt: skip


def _against(case: Case, unit: str) -> str:
    """The readings that speak most against a unit."""
    lines = [x for x in _lines(case, unit) if x.bits < 0 and not _bad(case, x.item_id)][:2]
    told = [f"{x.item_id}, {_short(case, x.item_id)} ({factor_text(x.bits)})" for x in lines]
    return "; ".join(told) or "all items together, no single one"


def _short(case: Case, name: str) -> str:
    item = next(e for e in case.diagnosis.evidence if e.id == name)
    return what_of(item)


def what_of(item: Evidence) -> str:
    """An item in words without its setup."""
    return describe(item).removesuffix(f" ({item.setup})")


def evidence_table(case: Case) -> Iterator[Section]:
    """Everything that was seen and read, in the order it was taken, with its setup by a letter."""
    items = case.job.evidence
    setups = list(dict.fromkeys(str(e.setup) for e in items))
    letters = {text: chr(ord("A") + n) if n < 26 else f"A{n}" for n, text in enumerate(setups)}
    weights = {x.item_id: factor_text(x.bits) for x in _lines(case, case.diagnosis.unit)}
    rows = [
        (e.id, what_of(e), letters[str(e.setup)], COMPLAINT[e.complaint], weights.get(e.id, ""),
         _remarks(case, e))
        for e in items
    ]  # fmt: skip
    rows += [(name, "withdrawn", "", "", "", why) for name, why in case.job.withdrawn]
    head = ("", "seen or read", "setup", "complaint", "weighs", "remark")
    stood = Table(
        ("setup", "how the vehicle stood"), tuple((letters[s], s) for s in setups), (0, 1)
    )
    table = Table(head, tuple(rows), (0, 3, 0, 0, 1.7, 3), small=True)
    yield from section("All signs and readings", table, stood)


def _remarks(case: Case, item: Evidence) -> str:
    told = [item.condition] if item.condition else []
    bad = case.diagnosis.ranking.bad.get(item.id, 0.0)
    if bad > BAD:
        told.append("did not touch, or was taken elsewhere")
    if item.repaired:
        titles = [unit_words(case.expert, u) for u in item.repaired]
        told.append(f"after the repair of {', '.join(titles)}")
    return "; ".join(told)
