"""What finished jobs teach: see the weights, count a job in, take one out again."""

from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path

from loomwise.advice.endings import Bench, conclude
from loomwise.diagnosis.ranking import Ranking
from loomwise.errors import InputError
from loomwise.evidence import Evidence
from loomwise.faults.tables import class_percents
from loomwise.job import Job
from loomwise.usecases.experts import expert_on
from loomwise.usecases.files import find_job
from loomwise.usecases.learned import read_learned, record_file, write_learned
from loomwise.weights import Learned

SURE = 0.8
"""A job teaches by itself where its unit's faults are so much of one class. Judgement. [-]"""


@dataclass(frozen=True)
class ClassWeight:
    """A class of faults: its percentage by the table, jobs counted, and its percentage now."""

    title: str
    table_percent: float
    jobs: int
    now_percent: float


@dataclass(frozen=True)
class Counted:
    """A finished job in the record."""

    job: str
    found: str


@dataclass(frozen=True)
class Weights:
    """The weights as they are, the jobs that moved them, and the file that holds these.

    ``changed`` says what was just done, if anything.
    """

    format: int
    classes: tuple[ClassWeight, ...]
    jobs: tuple[Counted, ...]
    file: str
    changed: str = ""


def list_weights() -> Weights:
    """The weights as they are."""
    return _shown(read_learned())


def count_job(name: str, found: str = "") -> Weights:
    """Count a finished job in, by the class of what was found; without one, by what it proves.

    Raises
    ------
    InputError : no such class, or the job proves nothing and no class is given.
    """
    learned, job = read_learned(), find_job(name)
    share_class = found or _proven_class(name, job)
    if share_class not in class_percents():
        hint = f"the classes are {', '.join(class_percents())}"
        raise InputError(f"there is no class '{share_class}'", "--found", hint)
    learned = learned.with_job(_called(name), share_class)
    write_learned(learned)
    return _shown(learned, f"job {_called(name)} counted as {share_class}")


def count_closed(name: str, job: Job, unit: str) -> str:
    """Count a job in whose repair of a unit is proven; what was done about it, in words."""
    try:
        found = class_of(name, expert_on(job).judge.rank(_before(job)), unit)
    except InputError as error:
        return f"not counted in the weights: {error.message}; {error.hint}"
    write_learned(read_learned().with_job(_called(name), found))
    return f"counted in the weights as {found}; taken out again by: loomwise weights forget {name}"


def uncount(name: str) -> str:
    """Take a job out again that is open once more; nothing where it was not counted."""
    learned = read_learned()
    if _called(name) not in learned.jobs:
        return ""
    write_learned(learned.without_job(_called(name)))
    return "taken out of the weights again"


def _before(job: Job) -> list[Evidence]:
    """What was seen and read before anything was repaired."""
    return [e for e in job.evidence if not e.repaired]


def forget_job(name: str) -> Weights:
    """Take a job out of the record again.

    Raises
    ------
    InputError : the job has not been counted.
    """
    learned = read_learned().without_job(_called(name))
    write_learned(learned)
    return _shown(learned, f"job {_called(name)} counts no more")


def _called(name: str) -> str:
    """A job in the record: a stored one by its number, a file by its name."""
    return Path(name).name


def _proven_class(name: str, job: Job) -> str:
    expert = expert_on(job)
    ranking = expert.judge.rank(job.evidence)
    verdict = conclude(expert, job.evidence, ranking, Bench(job.here, job.opened))
    if verdict.kind != "proven":
        raise InputError(
            "the job proves no unit, so it says nothing of what was wrong", name,
            "say what was found, as in --found 'contact resistive'",
        )  # fmt: skip
    return class_of(name, ranking, verdict.unit)


def class_of(name: str, ranking: Ranking, unit: str) -> str:
    """The class that a unit's faults are of, by far.

    Raises
    ------
    InputError : they may be of several classes.
    """
    shares: dict[str, float] = defaultdict(float)
    for suspect in ranking.suspects:
        if suspect.fault is not None and suspect.unit == unit:
            shares[suspect.fault.share_class] += suspect.share
    order = sorted(shares, key=lambda c: -shares[c])
    best = order[0] if order else ""
    if not best or shares[best] < SURE * sum(shares.values()):
        several = ", ".join(c for c in order[:3] if c) or "several faults at once"
        raise InputError(
            f"what the job proves may be of several classes: {several}", name,
            "say which was found, with --found",
        )  # fmt: skip
    return best


def _shown(learned: Learned, changed: str = "") -> Weights:
    rows = learned.rows(class_percents())
    return Weights(
        1,
        tuple(ClassWeight(r.share_class, r.before_percent, r.jobs, r.after_percent) for r in rows),
        tuple(Counted(job, found) for job, found in learned.jobs.items()),
        str(record_file()), changed,
    )  # fmt: skip
