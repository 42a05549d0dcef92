"""Jobs on an invented vehicle with a silent horn."""

from loomwise.job import Job, read_job
from loomwise.shelf import read_shelf

HEAD = """\
format: 1
complaint: "The horn is silent <b> #strong[now]"
vehicle: {name: Norvik T4, mileage_km: 184000}
circuit: horn
"""
SIGN = """\
signs:
  - H1 silent, horn=pressed, complaint yes
  - K1 pulled, horn=pressed, complaint yes
"""
WIRE = f"""\
{HEAD}spent: 14 min
earlier: a new horn last year
{SIGN}readings:
  - volts BAT.+ 12.5 V, horn=pressed, post, complaint yes
  - volts C1.3.a 12.4 V, horn=pressed, complaint yes
  - volts C1.3.b 12.4 V, horn=pressed, complaint yes
  - volts C3.1.a 0 V, horn=pressed, complaint yes
  - volts C3.1.a 0.01 V, horn=pressed, complaint yes
  - {{red: C3.1.b, value: 3 V, withdrawn: the clip had come off}}
"""
REPAIRED = WIRE.replace(
    "readings:",
    "  - {what: H1, seen: sounds, setup: horn=pressed, repaired: [wire C1.3-C3.1]}\nreadings:",
)
UNIT = "wire C1.3-C3.1"


def job_of(text: str) -> Job:
    """The job in a text."""
    return read_job(text, "job.yaml", read_shelf)
