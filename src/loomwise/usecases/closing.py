"""The end of a stored job: repair, proof, put-back list, closing; and opening it again.

A job is closed as proven only with its proof passed, otherwise as unproven with the reason; and not
at all while something is still to be put back.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from loomwise.advice.next_test import unit_title
from loomwise.advice.proof import Check, Proof, ProofPlan, judge_proof, proof_plan
from loomwise.errors import InputError
from loomwise.job import Job
from loomwise.job.log import Folded, fold
from loomwise.store import Store
from loomwise.store.store import new_entry
from loomwise.usecases.bench import put_back_of
from loomwise.usecases.experts import expert_on
from loomwise.usecases.items import value_text
from loomwise.usecases.proof import answers_to, check_unit, kept_answers, key_of, plain_check
from loomwise.usecases.stored import job_of, still_open
from loomwise.usecases.weights import count_closed, uncount

MOST_WORDS = 2000


@dataclass(frozen=True)
class JobEnd:
    """What stands between a job and its closing.

    ``checks`` are those of the proof, ``shown`` what they showed by name; ``missing`` says what
    failed or is not done. ``closed`` is proven, unproven or nothing; ``learned`` says what the
    weights took from it.
    """

    number: int
    repaired: Mapping[str, str]
    put_back: tuple[str, ...]
    checks: tuple[Mapping[str, Any], ...]
    shown: Mapping[str, str]
    passed: bool
    missing: tuple[str, ...]
    closed: str
    reason: str
    comebacks: int
    learned: str = ""


def end_of(store: Store, number: int, learned: str = "") -> JobEnd:
    """How far a job is from being closed.

    Raises
    ------
    InputError : no such job, or one without a circuit.
    """
    folded = fold(store.log(number))
    job = job_of(store, number, folded)
    plan, shown = _plan(job, folded), dict[str, str]()
    if plan:
        shown = kept_answers(plan.checks, folded.proof)
    found = _judged(plan, shown)
    closing, repaired, checks = folded.closing, dict[str, str](), list[Mapping[str, Any]]()
    if plan or folded.repaired:  # else there may be nothing yet to reason about
        expert = expert_on(job)
        repaired = {u: unit_title(expert, u) for u in folded.repaired}
        checks = [plain_check(expert, c) for c in plan.checks] if plan else []
    return JobEnd(
        number, repaired, tuple(u.text for u in put_back_of(job)), tuple(checks), shown,
        found.passed, found.reasons, str(closing.get("as", "")), str(closing.get("reason", "")),
        sum(bool(c["comeback"]) for c in folded.closings), learned,
    )  # fmt: skip


def repair(store: Store, number: int, unit: str, words: str = "", uid: str = "") -> int:
    """Say that a unit has been repaired: its proof begins, and what is read from now on is after.

    Raises
    ------
    InputError : no such unit, or the job is closed.
    """
    _, job = _open(store, number)
    check_unit(job.circuit, unit)
    body = {"unit": unit, "words": words.strip()[:MOST_WORDS]}
    return store.append(number, new_entry("repair", body, uid))


def answer(store: Store, number: int, answers: Sequence[str], uid: str = "") -> int:
    """Say what checks of the proof showed: "P1=slow", "P2=12.4 V".

    Raises
    ------
    InputError : nothing is repaired yet, no such check, or an answer that it cannot give.
    """
    folded, job = _open(store, number)
    plan = _plan(job, folded)
    if plan is None:
        raise InputError("nothing is repaired yet", f"job {number}", _SAY_REPAIR)
    read = answers_to(plan.checks, answers)
    judge_proof(plan.checks, read)
    told = {key_of(c): _written(c, read[c.id]) for c in plan.checks if c.id in read}
    return store.append(number, new_entry("proof", {"answers": told}, uid))


def _written(check: Check, shown: float | str) -> str:
    """What a check showed, a number with its unit."""
    return shown if isinstance(shown, str) else value_text(check.instrument, shown)


_SAY_REPAIR = "say first what was repaired"


def close(
    store: Store, number: int, unproven: str = "", learn: bool = True, uid: str = ""
) -> JobEnd:
    """Close a job: as proven, or with a reason as unproven. With ``learn`` a proven one moves the
    weights.

    Raises
    ------
    InputError : something is to be put back; without a reason also: the proof is not passed.
    """
    folded, job = _open(store, number)
    back = [u.text for u in put_back_of(job)]
    if back:
        hint = f"put back first, and tick it off: {'; '.join(back)}"
        raise InputError("the job cannot be closed: something is still undone", _job(number), hint)
    if not unproven.strip():
        _check_proven(number, _plan(job, folded), folded)
    kind = "unproven" if unproven.strip() else "proven"
    body = {"as": kind, "reason": unproven.strip()[:MOST_WORDS]}
    store.append(number, new_entry("close", body, uid))
    counts = learn and kind == "proven"
    learned = count_closed(str(number), job, folded.repaired[-1]) if counts else ""
    return end_of(store, number, learned)


def reopen(
    store: Store, number: int, reason: str, comeback: bool = False, uid: str = ""
) -> JobEnd:  # fmt: skip
    """Open a closed job again. With ``comeback`` the vehicle came back with its complaint, which
    the month of the closing keeps; the job counts in the weights no more.

    Raises
    ------
    InputError : it is not closed, or no reason is given.
    """
    if not fold(store.log(number)).closing:
        raise InputError("the job is not closed", _job(number), "go on with it")
    if not reason.strip():
        raise InputError("no reason is given", _job(number), "say why it is opened again")
    body = {"reason": reason.strip()[:MOST_WORDS], "comeback": comeback}
    store.append(number, new_entry("reopen", body, uid))
    return end_of(store, number, uncount(str(number)))


def _check_proven(number: int, plan: ProofPlan | None, folded: Folded) -> None:
    hint = "or close it as unproven, with the reason"
    if plan is None:
        what = "it cannot be closed as proven: nothing was repaired"
        raise InputError(what, _job(number), f"{_SAY_REPAIR}, {hint}")
    if not plan.checks:
        what = "it cannot be closed as proven: no check would show whether the fault is gone"
        raise InputError(what, _job(number), hint.removeprefix("or "))
    found = _judged(plan, kept_answers(plan.checks, folded.proof))
    if not found.passed:
        why = "; ".join(found.reasons)
        raise InputError(f"it cannot be closed as proven: {why}", _job(number),
                         f"make the checks, {hint}")  # fmt: skip


def _job(number: int) -> str:
    return f"job {number}"


def _open(store: Store, number: int) -> tuple[Folded, Job]:
    folded = fold(store.log(number))
    still_open(folded, number)
    return folded, job_of(store, number, folded)


def _plan(job: Job, folded: Folded) -> ProofPlan | None:
    """The proof of all repairs, planned on what was taken before the last of them."""
    if not folded.repairs:
        return None
    expert, last = expert_on(job), folded.repairs[-1]["at"]
    after = {i.id for i in folded.items if i.at > last}
    evidence = [e for e in job.evidence if e.id not in after]
    ranking = expert.judge.rank(evidence)
    rest = expert.states[0]
    return proof_plan(
        expert, evidence, ranking, tuple(dict.fromkeys(folded.repaired)), rest, frozenset(),
        job.instruments,
    )  # fmt: skip


def _judged(plan: ProofPlan | None, shown: Mapping[str, str]) -> Proof:
    if plan is None or not plan.checks:
        return Proof(False, ("nothing was repaired",) if plan is None else ())
    lines = [f"{name}={value}" for name, value in shown.items()]
    return judge_proof(plan.checks, answers_to(plan.checks, lines))
