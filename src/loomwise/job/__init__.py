"""A job: complaint, vehicle, circuit, what was seen and read. Nothing computed is kept."""

from loomwise.job.reader import read_job
from loomwise.job.record import Ending, Job, Vehicle

__all__ = ["Ending", "Job", "Vehicle", "read_job"]
