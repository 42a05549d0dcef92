"""Weights learned from finished jobs: counted, in any order, and taken out again."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwise.errors import InputError
from loomwise.faults import Fault, enumerate_faults
from loomwise.faults.tables import class_percents, mode
from loomwise.shelf import read_shelf
from loomwise.weights import PRIOR_JOBS, Learned

CLASSES = tuple(class_percents())
JOBS = st.dictionaries(st.text(min_size=1, max_size=6), st.sampled_from(CLASSES), max_size=30)


def counted(jobs: dict[str, str]) -> Learned:
    """All these jobs counted, one after the other."""
    learned = Learned()
    for job, share_class in jobs.items():
        learned = learned.with_job(job, share_class)
    return learned


@given(JOBS, st.text(min_size=7, max_size=9), st.sampled_from(CLASSES))
def test_a_job_taken_out_leaves_no_trace(jobs: dict[str, str], job: str, share_class: str) -> None:
    """A job that was counted by mistake can be taken out: all is as if it had never been."""
    before = counted(jobs)
    after = before.with_job(job, share_class).without_job(job)
    assert after == before
    assert after.percents(class_percents()) == before.percents(class_percents())


@given(JOBS, st.randoms(use_true_random=False))
def test_the_order_of_jobs_does_not_matter(jobs: dict[str, str], order: object) -> None:
    """The shop's books may be read from either end."""
    shuffled = list(jobs.items())
    order.shuffle(shuffled)  # type: ignore[attr-defined]
    one, other = counted(jobs), counted(dict(shuffled))
    assert one == other and list(one.jobs) == list(other.jobs)


@given(JOBS)
def test_the_shares_sum_to_the_whole(jobs: dict[str, str]) -> None:
    """Whatever was counted, every class keeps a share and together they are all jobs."""
    percents = counted(jobs).percents(class_percents())
    assert sum(percents.values()) == pytest.approx(100.0)
    assert min(percents.values()) > 0.0


def test_without_jobs_the_table_stands() -> None:
    """A new shop works with the table's weights."""
    table = class_percents()
    whole = sum(table.values())
    for row in Learned().rows(table):
        assert row.after_percent == pytest.approx(row.before_percent)
        assert row.before_percent == pytest.approx(100.0 * table[row.share_class] / whole)


def test_a_job_moves_its_class_as_far_as_it_should() -> None:
    """As many jobs of one kind as the table is worth: its share is half of the way to all."""
    learned = counted({f"J{k}": "sensor" for k in range(int(PRIOR_JOBS))})
    (row,) = (r for r in learned.rows(class_percents()) if r.share_class == "sensor")
    assert row.jobs == PRIOR_JOBS
    assert row.after_percent == pytest.approx((row.before_percent + 100.0) / 2.0)


@given(JOBS)
def test_the_record_survives_being_written(jobs: dict[str, str]) -> None:
    """The record is plain data: written and read again it is the same."""
    learned = counted(jobs)
    assert Learned.from_plain(json.loads(json.dumps(learned.to_plain()))) == learned


@pytest.mark.parametrize(
    "record", [[], {"jobs": {}}, {"format": 2, "jobs": {}}, {"format": 1},
               {"format": 1, "jobs": {"J1": 3}}],
)  # fmt: skip
def test_a_broken_record_is_refused(record: object) -> None:
    """What is no record says how one looks."""
    with pytest.raises(InputError, match="JOB: CLASS"):
        Learned.from_plain(record)


def test_unknown_classes_and_jobs_are_named() -> None:
    """A class that the table does not have, or a job never counted, is named."""
    with pytest.raises(InputError, match="gremlins"):
        Learned().with_job("J1", "gremlins").percents(class_percents())
    with pytest.raises(InputError, match="J9"):
        Learned().without_job("J9")


def class_weight(faults: tuple[Fault, ...], share_class: str) -> float:
    """What a class has among the faults of the horn's conductors."""
    return sum(
        f.weight for f in faults
        if share_class == "ground open" and (f.mode, f.looks) == ("open", "ground")
        and "stud" in f.title
    )  # fmt: skip


def test_learned_percents_weigh_the_faults() -> None:
    """After many open grounds an open ground is likelier, the rest keep their proportions."""
    circuit = read_shelf("horn")
    jobs = {f"J{k}": mode("ground", "open").share_class for k in range(60)}
    percents = counted(jobs).percents(class_percents())
    before, after = enumerate_faults(circuit, {}), enumerate_faults(circuit, {}, percents)
    assert sum(f.weight for f in after) == pytest.approx(1.0)
    assert class_weight(after, "ground open") > 3.0 * class_weight(before, "ground open")
    weigh = {f.id: f.weight for f in after}
    others = [f for f in before if f.unit == "K1"]
    ratios = [weigh[f.id] / f.weight for f in others]
    assert max(ratios) == pytest.approx(min(ratios)) and max(ratios) < 1.0


def test_an_empty_record_changes_nothing() -> None:
    """The table's own percentages, handed in, give the table's own weights."""
    circuit = read_shelf("horn")
    same = enumerate_faults(circuit, {}, Learned().percents(class_percents()))
    for a, b in zip(enumerate_faults(circuit, {}), same, strict=True):
        assert a.id == b.id and a.weight == pytest.approx(b.weight)
