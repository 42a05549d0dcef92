"""Suspects, doubts and evidence of a job; and its next tests."""

from collections.abc import Callable
from dataclasses import asdict, dataclass
from time import perf_counter
from typing import Any

from loomwise.advice.ahead import End, Step, advise, plan, weighed_once
from loomwise.advice.endings import Bench, conclude
from loomwise.advice.evidence_words import describe, evidence_for
from loomwise.advice.expert import Expert
from loomwise.advice.leaders import drawing_of, repair_of
from loomwise.advice.next_test import unit_title
from loomwise.advice.proposal import Bet, Proposal, Verdict
from loomwise.diagnosis.ranking import Ranking
from loomwise.faults import added_work
from loomwise.job import Job
from loomwise.usecases.experts import expert_on
from loomwise.usecases.files import find_job
from loomwise.usecases.sneak import sneaks_of_suspects

SHOWN = 0.002
LOOK_AHEAD_S, PLAN_S, PLAN_LEAVES = 0.8, 20.0, 60
"""Time for looking ahead and for growing a plan, and the plan's ends. [s, s, -]"""
TAKE_AGAIN = "fits nothing else: take it again"


@dataclass(frozen=True)
class Time:
    """Testing time used so far, and authorised by the customer (None: no limit). [min]"""

    spent_minutes: float = 0.0
    authorised_minutes: float | None = None


NO_LIMIT = Time()


def rank_job(name: str, time: Time = NO_LIMIT) -> dict[str, Any]:
    """Suspects by unit and fault, doubts, what nothing explains, and evidence; JSON-ready."""
    return rank_of(find_job(name), time)


def rank_of(job: Job, time: Time = NO_LIMIT) -> dict[str, Any]:
    """The same for a job that has been read."""
    expert = expert_on(job)
    ranking = expert.judge.rank(job.evidence)
    verdict = conclude(expert, job.evidence, ranking, bench_of(job, time))
    return {
        "format": 1,
        **header(job),
        **ranked(expert, job, ranking),
        "added": added_text(job),
        "sneak_paths": sneaks_of_suspects(expert, job.evidence, ranking),
        "verdict": said(expert, verdict),
    }


def next_for_job(
    name: str, most: int = 3, time: Time = NO_LIMIT, drawing: bool = False
) -> dict[str, Any]:
    """The verdict so far and the best next tests; JSON-ready. ``drawing``: about what the drawing
    has wrong rather than about the repair."""
    return next_of(find_job(name), most, time, drawing)


def next_of(
    job: Job, most: int = 3, time: Time = NO_LIMIT, drawing: bool = False,
    look_ahead_s: float = LOOK_AHEAD_S,
) -> dict[str, Any]:  # fmt: skip
    """The same for a job that has been read, with the time to look ahead. [s]"""
    expert = expert_on(job)
    ranking = expert.judge.rank(job.evidence)
    bench = bench_of(job, time)
    by = drawing_of if drawing else repair_of
    verdict, tests = advise(expert, job.evidence, ranking, bench, most, by, within(look_ahead_s))
    return {
        "format": 1, **header(job), "here": str(job.here), "verdict": said(expert, verdict),
        "tests": [proposed(p) for p in tests],
    }  # fmt: skip


def plan_for_job(name: str, leaves: int = PLAN_LEAVES, time: Time = NO_LIMIT) -> dict[str, Any]:
    """The tree of tests from here, with expected minutes; JSON-ready."""
    job = find_job(name)
    verdict, found = plan_of(job, leaves, time)
    return {
        "format": 1, **header(job), "here": str(job.here), "verdict": verdict,
        "plan": None if found is None else asdict(found),
    }  # fmt: skip


def plan_of(
    job: Job, leaves: int = PLAN_LEAVES, time: Time = NO_LIMIT
) -> tuple[dict[str, Any], Step | End | None]:
    """The verdict, and the tree of tests from here, if there is one."""
    expert = expert_on(job)
    ranking = expert.judge.rank(job.evidence)
    bench = bench_of(job, time)
    verdict, weighed = weighed_once(expert, job.evidence, ranking, bench)
    found = plan(expert, weighed, bench.here, bench.opened, leaves, within(PLAN_S))
    return said(expert, verdict), found


def within(seconds: float) -> Callable[[], bool]:
    """Whether so much time is up since it was first asked: what went before does not count."""
    begun: list[float] = []

    def is_up() -> bool:
        now = perf_counter()
        begun.extend([] if begun else [now])
        return now - begun[0] > seconds

    return is_up


def bench_of(job: Job, time: Time) -> Bench:
    """How the job's vehicle stands, and the time there is."""
    spent = time.spent_minutes or job.spent_minutes
    limit = time.authorised_minutes
    limit = job.authorised_minutes if limit is None else limit
    return Bench(job.here, job.opened, job.instruments, spent, limit, job.cannot)


def added_text(job: Job) -> str:
    """What was declared as added to the wiring, and where that makes added work likelier; or
    nothing."""
    found = added_work(job.circuit, job.added)
    if not (found.places or found.anywhere):
        return ""
    where = f"at {', '.join(found.places)}" if found.places else "anywhere: it names no place"
    return f"{job.added} (added work counts as likelier {where})"


def header(job: Job) -> dict[str, Any]:
    """What the job is about."""
    return {
        "complaint": job.complaint, "vehicle": job.vehicle.name, "circuit": job.circuit.title,
    }  # fmt: skip


def ranked(expert: Expert, job: Job, ranking: Ranking) -> dict[str, Any]:
    """A ranking as data, with the evidence for the three leading units."""
    units = [(u, s) for u, s in ranking.units.items() if s >= SHOWN][:8]
    return {
        "units": [
            {
                "unit": u, "title": unit_title(expert, u), "share": s,
                "price": job.circuit.units[u].price, "labour_minutes": job.circuit.units[u].minutes,
                "faults": _faults(expert, ranking, u),
            }
            for u, s in units
        ],
        "several_faults_left": {
            "at_most": ranking.left_at_most, "likely": ranking.left_likely,
        },
        "not_explained": ranking.not_explained,
        "nothing_wrong": ranking.nothing_wrong,
        "parts_concerned": sum(expert.concerns(p) for p in job.circuit.parts),
        "parts": len(job.circuit.parts),
        "drawing_doubts": [
            {"id": name, "title": expert.judge.doubt_title(name), "share": share}
            for name, share in ranking.doubted.items()
            if share >= 0.01
        ],
        "reading_doubts": [
            {"id": name, "share": share, "advice": TAKE_AGAIN if share > 0.5 else ""}
            for name, share in ranking.bad.items()
            if share >= 0.05
        ],
        "evidence": {
            u: [
                {"id": line.item_id, "text": line.text, "bits": line.bits}
                for line in evidence_for(expert, job.evidence, ranking, u)
            ]
            for u, _ in units[:3]
        },
        "items": [
            {"id": e.id, "text": describe(e), "complaint": e.complaint} for e in job.evidence
        ],
        "withdrawn": [{"id": i, "reason": why} for i, why in job.withdrawn],
    }  # fmt: skip


def _faults(expert: Expert, ranking: Ranking, unit: str) -> list[dict[str, Any]]:
    """The unit's likeliest faults, cells of one fault taken together, its own name left out."""
    mine = f"{unit_title(expert, unit)}: "
    sums: dict[str, tuple[str, float]] = {}
    for s in ranking.suspects:
        if s.fault is not None and unit in s.unit.split(" + "):
            title, share = sums.get(s.fault.group, (s.fault.title, 0.0))
            sums[s.fault.group] = title, share + s.share
    best = sorted(sums.values(), key=lambda ts: -ts[1])[:3]
    return [
        {"title": title.removeprefix(mine), "share": share}
        for title, share in best
        if share > SHOWN
    ]


def said(expert: Expert, verdict: Verdict) -> dict[str, Any]:
    """A verdict as data."""
    title = unit_title(expert, verdict.unit) if verdict.unit else ""
    return {
        "kind": verdict.kind, "unit": verdict.unit, "title": title, "share": verdict.share,
        "weakest_share": verdict.weakest, "weakest_reading": verdict.weakest_reading,
        "fuse": verdict.fuse,
        "reasons": list(verdict.reasons), "remarks": list(verdict.remarks),
        "units": [{"unit": u, "title": unit_title(expert, u)} for u in verdict.units],
        "bets": [_bet(b) for b in verdict.bets],
        "settles": _settles(verdict.settles),
        "going_on_cost": verdict.going_on, "at_risk_cost": verdict.at_risk,
    }  # fmt: skip


def _bet(b: Bet) -> dict[str, Any]:
    return {
        "unit": b.unit, "title": b.title, "share": b.share, "price": b.price,
        "labour_minutes": b.minutes, "cost": b.cost, "comeback_cost": b.comeback,
        "expected_cost": b.expected,
    }  # fmt: skip


def _settles(p: Proposal | None) -> dict[str, Any] | None:
    """The cheapest test that would settle it, in short."""
    if p is None:
        return None
    return {
        "title": p.title, "setup": str(p.setup), "changes": list(p.changes), "minutes": p.minutes,
    }  # fmt: skip


def proposed(p: Proposal) -> dict[str, Any]:
    """A proposal as data."""
    return {
        "title": p.title, "setup": str(p.setup), "changes": list(p.changes),
        "instrument": p.instrument, "red": p.red, "black": p.black, "method": p.method,
        "minutes": p.minutes, "gain_bits": p.gain_bits,
        "expectations": [
            {"unit": e.unit, "title": e.title, "share": e.share, "text": e.text}
            for e in p.expectations
        ],
        "outcomes": [
            {"text": o.text, "chance": o.chance, "then": o.unit, "share": o.share}
            for o in p.outcomes
        ],
        "cautions": list(p.cautions),
    }  # fmt: skip
