"""Doubts of the diagram, worded for whoever has it in hand next, and of single readings."""

from collections.abc import Iterator
from math import log
from typing import Any

from loomwise.advice.evidence_words import item_logs
from loomwise.advice.wording import percent
from loomwise.diagnosis.choices import counted
from loomwise.diagnosis.columns import as_drawn, numbers_first
from loomwise.diagnosis.doubts import Exchange
from loomwise.report.case import Case
from loomwise.report.document import Facts, Points, Section, Words, section
from loomwise.report.found import what_of

DRAWING, READING = 0.1, 0.2
"""Doubts below these shares are not told."""
TOLD_BITS, MOST = 0.5, 4


def drawing_doubts(case: Case) -> Iterator[Section]:
    """What the diagram has wrong, which vehicle and which edition, and what told so."""
    ranking = case.diagnosis.ranking
    some = [(name, share) for name, share in ranking.doubted.items() if share >= DRAWING]
    if not some:
        return
    points = tuple(_doubt(case, name, share) for name, share in some)
    yield from section(
        "Doubts about the diagram",
        Words(
            "For any workshop that uses this diagram. Places are named here as the diagram names"
            " them."
        ),
        Facts(tuple(_edition(case))),
        Points(points),
    )


def _edition(case: Case) -> Iterator[tuple[str, str]]:
    circuit, vehicle = case.job.circuit, case.job.vehicle
    yield "Diagram", circuit.title
    for source in circuit.sources:
        yield "Source", f"{source.name}, {_drawn(source.drawn)}"
    yield "Circuit file", f"{case.job.circuit_name}, content {circuit.digest[:12]}"
    yield "Vehicle", f"{vehicle.name}, VIN {vehicle.vin}" if vehicle.vin else vehicle.name


def _drawn(word: str) -> str:
    return word if word == "redrawn" else f"drawn {word}"


def _doubt(case: Case, name: str, share: float) -> str:
    title = case.expert.judge.doubt_title(name)
    if share > 0.5:
        text = f"On this vehicle, as against the diagram: {title} ({percent(share)})."
    else:
        text = (
            f"It may be that on this vehicle, as against the diagram: {title} ({percent(share)})."
        )
    exchange = next((e for e in case.expert.judge.drawing if e.id == name), None)
    if exchange is None:
        return text
    a, b = name.split("/")
    found = "was found" if share > 0.5 else "would then be found"
    told = _told_by(case, exchange)
    return (
        f"{text} What the diagram calls {a} {found} at {b}, and the other way round."
        + (f" Told by {told}." if told else "")
        + f" Before you rely on {a} or {b} on another vehicle, read both in one setup in which"
        " they differ."
    )


def _told_by(case: Case, exchange: Exchange) -> str:
    """The items that are likelier with the labels exchanged than as drawn, under the cause."""
    d, table = case.diagnosis, case.expert.table
    items = numbers_first(counted(d.evidence))
    rows = [h for h in range(len(table.faults) + 1) if table.fault(h).unit == d.unit]
    groups = {f.group for f in d.faults}
    rows = [h for h in rows if table.fault(h).group in groups] or rows
    if not rows:
        return ""
    real, drawn = (
        _best(item_logs(case.expert, items, relabel), rows, len(items))
        for relabel in (exchange.real, as_drawn)
    )
    bits = [(a - b) / log(2.0) for a, b in zip(real, drawn, strict=True)]
    order = [k for k in sorted(range(len(bits)), key=lambda k: -bits[k]) if bits[k] >= TOLD_BITS]
    return ", ".join(f"{items[k].id} ({what_of(items[k])})" for k in order[:MOST])


def _best(logs: Any, rows: list[int], many: int) -> list[float]:
    return [max(float(logs[h, k]) for h in rows) for k in range(many)]


def reading_doubts(case: Case) -> Iterator[Section]:
    """Readings that the others speak against."""
    named = {e.id: e for e in case.diagnosis.evidence}
    bad = {i: s for i, s in case.diagnosis.ranking.bad.items() if s >= READING and i in named}
    points = tuple(
        f"{i}, {what_of(named[i])}: {percent(share)} that the probe did not touch or was elsewhere."
        + (" It fits nothing else; take it again where it matters." if share > 0.5 else "")
        for i, share in bad.items()
    )
    yield from section("Readings in doubt", Points(points))
