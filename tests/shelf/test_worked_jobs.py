"""The worked jobs at hand: their readings are the circuit's own, and `rank` ends as they say.

A sample, as making a circuit ready takes a while: `./run bench shelf` plays all of them.
"""

from dataclasses import replace

import pytest

from loomwise.shelf import shelf_jobs, shelf_names
from loomwise.usecases.rank import rank_of
from loomwise.usecases.shelf_jobs import list_shelf_jobs, read_shelf_job
from tests.shelf.as_found import shown_by

LEAST = 3
PLAYED = ("blower/only-four", "horn/silent", "wipers/crawling")


@pytest.mark.parametrize("name", shelf_names())
def test_three_worked_jobs_on_every_circuit(name: str) -> None:
    """Each tells a complaint, signs, readings and how it ended."""
    jobs = list_shelf_jobs(name).jobs
    assert len(jobs) >= LEAST
    for job in jobs:
        assert job.complaint and job.vehicle and job.signs and job.readings
        assert job.verdict and job.found


@pytest.mark.parametrize("name", [shelf_jobs(name)[0] for name in shelf_names()])
def test_readings_are_what_the_circuit_shows(name: str) -> None:
    """With the fault that was found, the circuit shows every sign and reading of the job."""
    job = read_shelf_job(name)
    assert shown_by(job) == []


@pytest.mark.parametrize("name", PLAYED)
def test_a_worked_job_ends_as_it_says(name: str) -> None:
    """`rank` comes to the verdict, and to the unit that was repaired."""
    job = read_shelf_job(name)
    verdict = rank_of(job)["verdict"]
    assert job.ending is not None
    assert verdict["kind"] == job.ending.verdict
    assert {u["unit"] for u in verdict["units"]} >= set(job.ending.units)


def test_a_reading_of_another_circuit_is_noticed() -> None:
    """The comparison fails where a reading is not what the fault would show."""
    job = read_shelf_job("horn/silent")
    signs = tuple(replace(i, seen="sounds") if i.id == "S1" else i for i in job.evidence)
    assert shown_by(replace(job, evidence=signs)) == ["S1"]
