"""How often each class of faults is the answer, from the table and the shop's finished jobs.

The table's percentages count as a number of jobs seen before, each finished job as one more of its
class (a Dirichlet distribution with its conjugate counts: textbook knowledge). A job counts alike
whichever circuit it was on: a circuit without sensors says nothing against sensors, but lowers
their share a little all the same. That is small beside the prior while the shop sees all sorts.
"""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from loomwise.errors import InputError

PRIOR_JOBS = 200.0
"""How many finished jobs the table is worth: engineering judgement."""
FORMAT = 1


@dataclass(frozen=True)
class Row:
    """One class: its percentage by the table, the shop's jobs, and its percentage with them."""

    share_class: str
    before_percent: float
    jobs: int
    after_percent: float


@dataclass(frozen=True)
class Learned:
    """The class of each finished job, by the job's id. Jobs go in and out one by one."""

    jobs: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))

    def with_job(self, job: str, share_class: str) -> "Learned":
        """One finished job more; the same job again replaces what it said."""
        return _of({**self.jobs, job: share_class})

    def without_job(self, job: str) -> "Learned":
        """The job taken out again.

        Raises
        ------
        InputError : the job has not been counted.
        """
        if job not in self.jobs:
            raise InputError(f"job {job} has not been counted", "weights", "see the list of jobs")
        return _of({name: c for name, c in self.jobs.items() if name != job})

    def percents(self, table: Mapping[str, float]) -> dict[str, float]:
        """Each class's percentage with the jobs counted in; they sum to 100.

        ``table`` gives the percentages to start from, whatever they sum to.

        Raises
        ------
        InputError : a job's class is not in the table, or a percentage is not above zero.
        """
        _check(table, self.jobs)
        whole, counts = sum(table.values()), Counter(self.jobs.values())
        strength = PRIOR_JOBS + len(self.jobs)
        return {
            name: 100.0 * (PRIOR_JOBS * percent / whole + counts[name]) / strength
            for name, percent in table.items()
        }

    def rows(self, table: Mapping[str, float]) -> tuple[Row, ...]:
        """Every class with its percentage before and after, in the table's order."""
        whole, counts = sum(table.values()), Counter(self.jobs.values())
        after = self.percents(table)
        return tuple(
            Row(name, 100.0 * percent / whole, counts[name], after[name])
            for name, percent in table.items()
        )

    def to_plain(self) -> dict[str, object]:
        """The record as plain data, for JSON or YAML."""
        return {"format": FORMAT, "jobs": dict(self.jobs)}

    @staticmethod
    def from_plain(data: object) -> "Learned":
        """The record from plain data.

        Raises
        ------
        InputError : another format, or anything that is not job: class.
        """
        hint = f"a record is {{format: {FORMAT}, jobs: {{JOB: CLASS}}}}"
        if not isinstance(data, Mapping) or data.get("format") != FORMAT:
            raise InputError("this is no record of learned weights", "weights", hint)
        jobs = data.get("jobs")
        if not isinstance(jobs, Mapping):
            raise InputError("the record has no jobs", "weights", hint)
        for job, share_class in jobs.items():
            if not isinstance(job, str) or not isinstance(share_class, str):
                raise InputError(f"job {job}: this is no class", "weights", hint)
        return _of(jobs)


def _of(jobs: Mapping[str, str]) -> Learned:
    """The record with its jobs in one order, whichever they came in."""
    return Learned(MappingProxyType(dict(sorted(jobs.items()))))


def _check(table: Mapping[str, float], jobs: Mapping[str, str]) -> None:
    for job, share_class in jobs.items():
        if share_class not in table:
            hint = f"the classes are {', '.join(table)}"
            raise InputError(f"job {job}: there is no class '{share_class}'", "weights", hint)
    for name, percent in table.items():
        if not percent > 0.0:
            raise InputError(f"class {name} has {percent:g} %", "weights", "give it more than 0 %")
