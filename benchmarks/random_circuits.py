"""Two thousand invented circuits, each in a setup drawn at random, healthy and with three faults:
how far our volts are from ngspice's."""

import shutil
from pathlib import Path
from tempfile import TemporaryDirectory

from benchmarks.report import Report
from tests.reference.random_cases import FAULTS, Compared, compare_random

NAME, CIRCUITS = "random", 2_000
MOST_TOLD = 10


def run(report: Report) -> None:
    """The seeds 0 to 1,999; those that disagree are told."""
    ngspice = shutil.which("ngspice")
    if ngspice is None:
        report.note("random: ngspice is not installed, nothing was compared with it")
        return
    found: list[Compared] = []
    with TemporaryDirectory() as folder:
        for seed in range(CIRCUITS):
            found.append(compare_random(seed, ngspice, Path(folder)))
    over = [c for c in found if c.share > 1.0]
    report.add(NAME, "circuits compared with ngspice", len(found), "")
    report.add(NAME, "cases compared with ngspice", len(found) * (1 + FAULTS), "")
    report.add(NAME, "parts in the largest", max(c.parts for c in found), "")
    report.add(NAME, "circuits with a case beyond 1 mV or 0.01 %", len(over), "")
    worst = max(c.share for c in found)
    report.add(NAME, "largest disagreement, of what is allowed", worst, "x")
    for c in over[:MOST_TOLD]:
        report.note(f"{NAME}: seed {c.seed}: {c.where}")
