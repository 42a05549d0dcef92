"""Suspects, verdict and next tests of a job in one go, and what a place would show now."""

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np

from loomwise.advice.ahead import advise as verdict_and_tests
from loomwise.advice.candidates import Candidate, minus_of
from loomwise.advice.cautions import cautions_for
from loomwise.advice.costs import minutes_of
from loomwise.advice.expert import Expert
from loomwise.advice.foresee import thoughts
from loomwise.advice.leaders import leaders
from loomwise.advice.next_test import Weighed, proposal
from loomwise.advice.outcomes import outcome_chances
from loomwise.advice.proposal import Proposal, Verdict
from loomwise.advice.say import words_of
from loomwise.advice.telling import bands
from loomwise.diagnosis.ranking import Ranking
from loomwise.errors import EvidenceError
from loomwise.evidence import Evidence, Reading, checked_reading
from loomwise.evidence.items import TWO_TIPS, UNITS, check_ohmmeter
from loomwise.job import Job
from loomwise.usecases.experts import expert_on
from loomwise.usecases.items import standing_of
from loomwise.usecases.rank import NO_LIMIT, bench_of, header, proposed, ranked, said, within

__all__ = ["Ranking", "advise", "expect", "ranking_of", "suspects_of", "tests_of", "thoughts_of"]
TESTS = 3
SHORT_S = 0.05
"""Time to look ahead where a person waits. [s]"""


def ranking_of(job: Job) -> Ranking:
    """Every hypothesis with its share, from which suspects and tests follow."""
    return expert_on(job).judge.rank(job.evidence)


def suspects_of(job: Job, ranking: Ranking) -> dict[str, Any]:
    """Suspects, doubts and evidence; JSON-ready."""
    return {"format": 1, **header(job), **ranked(expert_on(job), job, ranking)}


def tests_of(
    job: Job, ranking: Ranking, most: int = TESTS, look_ahead_s: float = SHORT_S
) -> dict[str, Any]:
    """The verdict and the next tests, each with its answers to choose from; JSON-ready."""
    expert = expert_on(job)
    verdict, tests = _advised(job, ranking, most, look_ahead_s)
    return {
        "verdict": said(expert, verdict),
        "tests": [_asked(expert, p) for p in tests],
        "cautions": shared_cautions(tests),
    }


def _advised(
    job: Job, ranking: Ranking, most: int = TESTS, look_ahead_s: float = SHORT_S
) -> tuple[Verdict, tuple[Proposal, ...]]:
    expert, bench = expert_on(job), bench_of(job, NO_LIMIT)
    stop = within(look_ahead_s)
    return verdict_and_tests(expert, job.evidence, ranking, bench, most, stop=stop)


def thoughts_of(job: Job, ranking: Ranking) -> Iterator[Evidence]:
    """Think through the likely answers to the next tests, so that the one that comes is answered
    sooner; each that is done with."""
    tests = _advised(job, ranking)[1]
    return thoughts(expert_on(job), job.evidence, tests, bench_of(job, NO_LIMIT))


def advise(job: Job) -> dict[str, Any]:
    """Suspects and tests in one answer."""
    ranking = ranking_of(job)
    return {**suspects_of(job, ranking), **tests_of(job, ranking)}


def shared_cautions(tests: Sequence[Proposal]) -> list[str]:
    """Cautions that more than one test has: said once, above them."""
    every = [c for t in tests for c in t.cautions]
    return [c for c in dict.fromkeys(every) if every.count(c) > 1]


def _asked(expert: Expert, p: Proposal) -> dict[str, Any]:
    test = Candidate(p.setup, p.instrument, p.red, p.black, p.method)
    words = words_of(expert.circuit, test)
    return {**proposed(p), "standing": standing_of(p.setup), "words": list(words)}


def expect(
    job: Job, ranking: Ranking, red: str, black: str = "", instrument: str = "voltmeter"
) -> dict[str, Any]:
    """What an instrument would show there as the vehicle stands: if all were sound, and under
    each leading suspect. Nothing is stored; JSON-ready.

    Raises
    ------
    EvidenceError : no such place, or an instrument that cannot be used so.
    """
    black = (black or minus_of(job.circuit)) if instrument in TWO_TIPS else ""
    test = Candidate(job.here, instrument, red, black, _method(job, red))
    _check(job, test)
    expert = expert_on(job)
    shown = _weighed_one(expert, job, ranking, test)
    sound = bands(expert.judge.singles, [test])[0]
    return {
        "format": 1, "title": shown.title, "setup": str(job.here), "instrument": instrument,
        "red": red, "black": black, "method": test.method,
        "words": list(words_of(job.circuit, test)),
        "sound": sound.text(instrument) if sound else "",
        "expectations": [
            {"unit": e.unit, "title": e.title, "share": e.share, "text": e.text}
            for e in shown.expectations
        ],
        "cautions": list(cautions_for(job.circuit, test)),
    }  # fmt: skip


def _method(job: Job, red: str) -> str:
    place = job.circuit.places.get(red)
    return place.method if place and place.method != "none" else "open"


def _check(job: Job, test: Candidate) -> None:
    if test.instrument not in UNITS and test.instrument not in ("test lamp", "look"):
        hint = f"use {', '.join((*UNITS, 'test lamp', 'look'))}"
        raise EvidenceError(f"nothing to expect of '{test.instrument[:20]}'", "instrument", hint)
    words = words_of(job.circuit, test) if test.instrument == "test lamp" else ()
    value, word = (None, words[0]) if words else (0.0, "")
    if test.instrument != "look":
        checked_reading(job.circuit, Reading("here", job.here, test.instrument, test.red,
                                             test.black, value, word))  # fmt: skip
    if test.instrument == "ohmmeter":
        check_ohmmeter(job.circuit, job.here, test.red, test.black, "here")


def _weighed_one(expert: Expert, job: Job, ranking: Ranking, test: Candidate) -> Proposal:
    group = leaders(ranking, job.evidence)
    chances, means = outcome_chances(group, (test,), expert.circuit.supply_v)
    minutes = np.array([minutes_of(expert.circuit, test, job.here, job.opened)[0]])
    weighed = Weighed((test,), group, chances, means, minutes, np.zeros(1))
    return proposal(expert, weighed, 0, job.here, job.evidence)
