"""What was done: correction, steps of the repair, proof, times, prices."""

from collections.abc import Iterator

from loomwise.advice.proof import Check
from loomwise.advice.wording import minutes, percent
from loomwise.report.case import Case, Proven
from loomwise.report.document import Cautions, Facts, Photos, Points, Section, Table, Words, section
from loomwise.report.words import pretty, unit_words

NAMED = 6


def correction(case: Case) -> Iterator[Section]:
    """What was repaired, or what is to be."""
    closing, title = case.closing, unit_words(case.expert, case.diagnosis.unit)
    words = []
    if closing.repaired:
        *first, last = closing.repaired
        words += [
            f"First repaired: {unit_words(case.expert, u)}; the complaint was still there."
            for u in first
        ]
        words.append(f"Repaired: {unit_words(case.expert, last)}.")
    elif closing.decided:
        words.append(f"Decided on: {title}. Not repaired yet.")
    elif title:
        words.append(f"Nothing is repaired yet. To be repaired: {title}.")
    said = [closing.words, closing.done, closing.ending]
    yield from section(
        "Correction", Words(" ".join(words), "lead"), *(Words(text) for text in said)
    )


def repair(case: Case) -> Iterator[Section]:
    """The steps with their cautions, and the figures of a wire."""
    if case.repair is None:
        return
    figures = case.repair.wire
    title = f"Repair: {unit_words(case.expert, case.diagnosis.unit)}"
    yield from section(
        title, Cautions(case.repair.cautions), Points(case.repair.steps, numbered=True),
        Facts(figures),
    )  # fmt: skip


def proof(case: Case) -> Iterator[Section]:
    """The checks after the repair: expected and found, and whether they prove it."""
    proven = case.proven
    if proven is None or not proven.plan.checks:
        return
    rows = tuple(_check(c, proven) for c in proven.plan.checks)
    strong = tuple(n for n, row in enumerate(rows) if row[-1] == "failed")
    blank = () if proven.shown else (4,)
    head = ("", "check", "with", "expected", "found", "")
    table = Table(head, rows, (0, 3, 3, 2.2, 1.6, 0), blank=blank, strong=strong, small=True)
    caught = _caught(case, proven)
    left = [
        f"{pretty(x.title)} ({percent(x.share)} before the repair)" for x in proven.plan.uncovered
    ]
    yield from section(
        "Proof", Words(_judged(proven), "lead"), table,
        Words(caught, "small"),
        Words(f"What no check can show: {'; '.join(left)}." if left else "", "small"),
    )  # fmt: skip


def _caught(case: Case, proven: Proven) -> str:
    """The units whose faults the checks would show."""
    units = [u for c in proven.plan.checks for x in c.catches for u in x.unit.split(" + ")]
    titles = list(dict.fromkeys(unit_words(case.expert, u) for u in units if u))
    more = [f"{len(titles) - NAMED} more"] if len(titles) > NAMED else []
    listed = ", ".join([*titles[:NAMED], *more])
    return f"These checks would show a fault that is still in: {listed}." if listed else ""


def _check(check: Check, proven: Proven) -> tuple[str, ...]:
    shown = proven.shown.get(check.id, "")
    reasons = proven.judged.reasons if proven.judged else ()
    failed = any(r.startswith(f"{check.id} failed") for r in reasons)
    mark = "" if not shown else "failed" if failed else "as expected"
    return check.id, check.title, str(check.setup), check.expected, shown, mark


def _judged(proven: Proven) -> str:
    if proven.judged is None:
        return "Not proven yet: the checks are still to be made."
    if proven.judged.passed:
        return "Proven: every check is as expected."
    return "Not proven: " + "; ".join(proven.judged.reasons) + "."


def photographs(case: Case) -> Iterator[Section]:
    """The photographs of the job."""
    yield from section("Photographs", Photos(case.photos))


def road_test(case: Case) -> Iterator[Section]:
    """When the complaint came and went on the road, and what held then."""
    head = ("time", "min after\u00a0setting off", "mark", "conditions")
    yield from section("Road test", Table(head, case.closing.road, (0, 0, 2, 4), (1,), small=True))


def notes(case: Case) -> Iterator[Section]:
    """What was written down beside, and what goes with the repair."""
    remarks = [f"{text[:1].upper()}{text[1:]}." for text in case.diagnosis.verdict.remarks]
    yield from section("Notes", Points((*remarks, *case.closing.notes)))


def times(case: Case) -> Iterator[Section]:
    """Minutes of testing, repair and proof, and the days."""
    rows = [(name, minutes(m)) for name, m in _minutes(case) if m]
    if case.job.authorised_minutes is not None:
        rows.append(("Testing authorised", minutes(case.job.authorised_minutes)))
    yield from section("Times", Facts((*case.closing.dates, *rows)))


def _minutes(case: Case) -> Iterator[tuple[str, float]]:
    units = case.job.circuit.units
    yield "Testing", case.job.spent_minutes
    for unit in _units(case):
        if unit in units:
            yield (
                f"Repair, {unit_words(case.expert, unit)} (by the circuit file)",
                units[unit].minutes,
            )
    if case.proven is not None:
        planned = "" if case.proven.judged else " (planned)"
        yield f"Proof{planned}", case.proven.plan.minutes


def _units(case: Case) -> tuple[str, ...]:
    return case.closing.repaired or tuple(u for u in (case.diagnosis.unit,) if u)


def prices(case: Case) -> Iterator[Section]:
    """Part, labour, tax and sum, by the prices of the circuit file."""
    if not case.wanted.prices:
        return
    lines = list(_lines(case))
    shop = case.shop
    net = sum(amount for _, amount in lines)
    rows = [(text, _money(amount)) for text, amount in lines]
    if shop.tax_share is not None:
        rows += [("Sum without tax", _money(net))]
        rows += [(f"Tax {100 * shop.tax_share:g} %", _money(net * shop.tax_share))]
        net *= 1.0 + shop.tax_share
    rows.append(("To pay", _money(net)))
    amount = f"amount, {shop.currency}" if shop.currency else "amount"
    table = Table(("", amount), tuple(rows), (1, 0), (1,), strong=(len(rows) - 1,))
    yield from section("Price", table)


def _lines(case: Case) -> Iterator[tuple[str, float]]:
    circuit = case.job.circuit
    rate = case.shop.labour_per_hour
    an_hour = circuit.labour_per_hour if rate is None else rate
    for unit in _units(case):
        if unit in circuit.units and circuit.units[unit].price:
            yield f"Part or material: {unit_words(case.expert, unit)}", circuit.units[unit].price
    for name, spent in _minutes(case):
        if spent:
            yield f"{name}, {minutes(spent)} at {an_hour:g} an hour", spent / 60.0 * an_hour


def _money(amount: float) -> str:
    return f"{amount:,.2f}".replace(",", "\u202f")
