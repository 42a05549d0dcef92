"""Suspects, doubts and evidence of a job; and its next tests."""

from typing import Any

from loomwise.advice.decide import decide
from loomwise.advice.evidence_words import describe, evidence_for
from loomwise.advice.expert import Expert
from loomwise.advice.next_test import next_tests, unit_title
from loomwise.advice.proposal import Proposal, Verdict
from loomwise.diagnosis.ranking import Ranking
from loomwise.job import Job
from loomwise.usecases.experts import expert_for
from loomwise.usecases.files import find_job

SHOWN = 0.002


def rank_job(name: str) -> dict[str, Any]:
    """Suspects by unit and fault, doubts, what nothing explains, and evidence; JSON-ready."""
    job = find_job(name)
    expert = expert_for(job.circuit)
    ranking = expert.judge.rank(job.evidence)
    verdict = decide(expert, job.evidence, ranking)
    return {
        "format": 1,
        **header(job),
        **ranked(expert, job, ranking),
        "verdict": said(expert, verdict),
    }


def next_for_job(name: str, most: int = 3) -> dict[str, Any]:
    """The verdict so far and the best next tests; JSON-ready."""
    job = find_job(name)
    expert = expert_for(job.circuit)
    ranking = expert.judge.rank(job.evidence)
    verdict = decide(expert, job.evidence, ranking)
    tests = next_tests(
        expert, job.evidence, job.here, job.opened, most, job.instruments, ranking, verdict
    )
    return {
        "format": 1, **header(job), "here": str(job.here), "verdict": said(expert, verdict),
        "tests": [proposed(p) for p in tests],
    }  # fmt: skip


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
        "not_explained": ranking.not_explained,
        "nothing_wrong": ranking.nothing_wrong,
        "drawing_doubts": [
            {"id": name, "title": expert.judge.doubt_title(name), "share": share}
            for name, share in ranking.doubted.items()
            if share >= 0.01
        ],
        "reading_doubts": [
            {"id": name, "share": share} for name, share in ranking.bad.items() if share >= 0.05
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
        "reasons": list(verdict.reasons),
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
