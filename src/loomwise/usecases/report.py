"""The report of a job: what was found, done and proven, written to a file."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from loomwise.advice.endings import conclude
from loomwise.advice.expert import Expert
from loomwise.advice.proof import Check, ProofPlan, judge_proof, proof_plan
from loomwise.circuit.loads import load_named
from loomwise.diagnosis.ranking import Ranking
from loomwise.errors import InputError, SolveError
from loomwise.evidence import Evidence, Sign
from loomwise.faults import Fault
from loomwise.job import Job
from loomwise.report.case import Case, Closing, Diagnosis, Proven, Wanted
from loomwise.report.document import Photo, Picture
from loomwise.report.job_report import job_report
from loomwise.report.repair import repair_of
from loomwise.report.shop import NO_SHOP, Shop
from loomwise.usecases.experts import expert_on
from loomwise.usecases.heading import find_shop, shop_in
from loomwise.usecases.items import value_text
from loomwise.usecases.paper import (
    Written,
    check_file,
    check_paper,
    set_document,
    write_document,
)
from loomwise.usecases.proof import answers_to, check_unit, kept_answers
from loomwise.usecases.rank import NO_LIMIT, bench_of, said
from loomwise.usecases.repair_steps import load_of
from loomwise.usecases.report_drawing import report_drawings
from loomwise.usecases.report_sources import photo_of, read_source, stored_source
from loomwise.usecases.wording import verdict_text

if TYPE_CHECKING:
    from loomwise.store import Store

__all__ = ["ReportWanted", "Wanted", "case_of", "write_report"]
LIKELY = 0.25
"""Faults of the cause that are told and marked have at least this part of the likeliest's share."""


@dataclass(frozen=True)
class ReportWanted:
    """What a person says beside the job: units repaired, what was done, answers to the proof
    ("P1=slow"), photographs ("FILE=caption"), the heading's file, and what to put in."""

    file: str
    paper: str = "A4"
    heading: str = ""
    repaired: tuple[str, ...] = ()
    done: str = ""
    answers: tuple[str, ...] = ()
    photos: tuple[str, ...] = ()
    put_in: Wanted = field(default_factory=Wanted)


def write_report(name: str, wanted: ReportWanted) -> Written:
    """The report of a job file or a stored job, as PDF or HTML by the name of the new file.

    Raises
    ------
    InputError : anything that is wrong with the job, the heading, a photograph or the file.
    PaperError : what sets the pages is missing.
    """
    check_file(wanted.file)
    check_paper(wanted.paper)
    shop = find_shop(wanted.heading)
    photos = [photo_of(words) for words in wanted.photos]
    source = read_source(name)
    closing = replace(
        source.closing,
        repaired=wanted.repaired or source.closing.repaired,
        done=wanted.done or source.closing.done,
    )
    case = case_of(
        source.job, closing, shop, (*source.photos, *photos), wanted.put_in, wanted.answers,
        source.number,
    )  # fmt: skip
    return write_document(job_report(case), wanted.file, wanted.paper)


def stored_report(store: "Store", number: int, kind: str, paper: str, put_in: Wanted) -> bytes:
    """The report of a stored job as the bytes of a ``.pdf`` or ``.html``, under the kept heading.

    Raises
    ------
    InputError : the job has no circuit yet, or there is no such paper.
    PaperError : what sets the pages is missing.
    """
    source = stored_source(store, number)
    shop = shop_in(store) or find_shop()
    case = case_of(source.job, source.closing, shop, source.photos, put_in, (), source.number)
    return set_document(job_report(case), kind, paper)


def case_of(
    job: Job, closing: Closing, shop: Shop = NO_SHOP, photos: Sequence[Photo] = (),
    put_in: Wanted | None = None, answers: Sequence[str] = (), number: str = "",
) -> Case:  # fmt: skip
    """All that the report is made from; ``answers`` are those to the proof, "P1=slow"."""
    put_in = put_in or Wanted()
    for unit in closing.repaired:
        check_unit(job.circuit, unit)
    expert = expert_on(job)
    found = _diagnosis(expert, job, closing)
    load = load_of(job.circuit, found.unit)
    return Case(
        job=job, expert=expert, diagnosis=found, closing=closing,
        repair=repair_of(job.circuit, found.unit, load) if found.unit else None,
        proven=_proven(expert, job, found, closing, answers),
        drawings=_drawings(job, found, put_in.grey),
        photos=tuple(photos), shop=shop, wanted=put_in, number=number,
    )  # fmt: skip


def _diagnosis(expert: Expert, job: Job, closing: Closing) -> Diagnosis:
    last = closing.repaired[-1] if closing.repaired else ""
    before = [e for e in job.evidence if last not in e.repaired] if last else list(job.evidence)
    signs = [e for e in before if isinstance(e, Sign) and load_named(job.circuit, e.what)]
    ranking = expert.judge.rank(before)
    verdict = conclude(expert, before, ranking, bench_of(job, NO_LIMIT))
    unit = last or closing.decided or verdict.unit
    return Diagnosis(
        tuple(before), expert.judge.rank(signs), ranking, verdict,
        verdict_text(said(expert, verdict)), unit, _likeliest(ranking, unit),
    )  # fmt: skip


def _likeliest(ranking: Ranking, unit: str) -> tuple[Fault, ...]:
    """The faults of a unit that come near the likeliest, cells of one fault taken together."""
    sums: dict[str, tuple[Fault, float]] = {}
    for s in ranking.suspects:
        if s.fault is not None and unit in s.unit.split(" + "):
            first, share = sums.get(s.fault.group, (s.fault, 0.0))
            sums[s.fault.group] = first, share + s.share
    best = max((share for _, share in sums.values()), default=0.0)
    order = sorted(sums.values(), key=lambda fs: -fs[1])
    return tuple(f for f, share in order if share >= LIKELY * best)[:3]


def _proven(
    expert: Expert, job: Job, found: Diagnosis, closing: Closing, answers: Sequence[str]
) -> Proven | None:
    """The proof after a repair, with the answers given or taken from what was seen and read."""
    if not closing.repaired:
        if answers:
            hint = "say with --repaired which unit was repaired"
            raise InputError("nothing was repaired, so nothing can be proven", "--answer", hint)
        return None
    kept = bool(closing.proof)  # then the plan is the one it was kept for: from rest
    here, opened = (expert.states[0], frozenset[str]()) if kept else (job.here, job.opened)
    plan = proof_plan(
        expert, found.evidence, found.ranking, closing.repaired, here, opened, job.instruments
    )
    told = {**_taken(plan, job, closing), **kept_answers(plan.checks, closing.proof)}
    told |= closing.answers
    lines = [*(f"{name}={words}" for name, words in told.items()), *answers]
    read = answers_to(plan.checks, lines)
    parts = [line.partition("=") for line in lines]
    shown = {name.strip(): words.strip() for name, _, words in parts}
    return Proven(plan, shown, judge_proof(plan.checks, read) if read else None)


def _taken(plan: ProofPlan, job: Job, closing: Closing) -> Mapping[str, str]:
    """What was seen and read after the repair where a check asks for it."""
    after = [e for e in job.evidence if closing.repaired[-1] in e.repaired]
    found = {c.id: [_shown(e) for e in after if _answers(c, e)] for c in plan.checks}
    return {name: some[-1] for name, some in found.items() if some}


def _answers(check: Check, item: Evidence) -> bool:
    if check.setup != item.setup:
        return False
    if isinstance(item, Sign):
        return check.instrument in ("sign", "scan tool") and check.red == item.what
    return (check.instrument, check.red, check.black) == (item.instrument, item.red, item.black)


def _shown(item: Evidence) -> str:
    if isinstance(item, Sign):
        return item.seen
    return value_text(item.instrument, item.value, item.word)


def _drawings(job: Job, found: Diagnosis, grey: bool) -> tuple[Picture, ...]:
    """The drawing with the fault; without it where the vehicle cannot be solved with it in."""
    try:
        return report_drawings(job, found.evidence, found.faults[:1], grey)
    except SolveError:
        return report_drawings(job, found.evidence, (), grey)
