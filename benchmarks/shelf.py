"""The whole shelf: how quick `predict` is on each circuit, how far from ngspice in every setup, and
whether every worked job ends as it says."""

import shutil
import statistics
import time
import zlib
from pathlib import Path
from tempfile import TemporaryDirectory

from benchmarks.report import Report
from loomwise.edits import Edit
from loomwise.setups import Setup
from loomwise.shelf import read_shelf, shelf_jobs, shelf_names
from loomwise.usecases.predict import Question, predict
from loomwise.usecases.rank import rank_of
from loomwise.usecases.shelf_jobs import read_shelf_job
from tests.reference.agreement import largest_gap
from tests.reference.shelf_cases import control_setups, drawn_faults, faults_of
from tests.shelf.as_found import shown_by

NAME = "shelf"
FAULTS_A_SETUP = 60


def run(report: Report) -> None:
    """All three, circuit by circuit."""
    report.add(NAME, "circuits", len(shelf_names()), "")
    _quickness(report)
    _agreement(report)
    _jobs(report)


def _quickness(report: Report) -> None:
    """Warm `predict`, each setup of each circuit once; the slowest circuit and the largest."""
    medians = {}
    for name in shelf_names():
        circuit = read_shelf(name)
        predict(circuit, Question())
        taken = [_timed(name, setup) for setup in control_setups(circuit)]
        medians[name] = 1e3 * statistics.median(taken)
    slowest = max(medians, key=lambda n: medians[n])
    largest = max(shelf_names(), key=lambda n: len(read_shelf(n).places))
    report.add(NAME, f"predict, warm, slowest circuit ({slowest})", medians[slowest], "ms")
    report.add(NAME, f"predict, warm, largest circuit ({largest})", medians[largest], "ms")


def _timed(name: str, setup: Setup) -> float:
    """Processor time, so that a busy machine does not count. [s]"""
    words = ", ".join(f"{control}={state}" for control, state in setup.controls)
    started = time.process_time()
    predict(read_shelf(name), Question(words))
    return time.process_time() - started


def _agreement(report: Report) -> None:
    """Volts at every place beside ngspice's, in every setup, with a sample of faults in each."""
    ngspice = shutil.which("ngspice")
    if ngspice is None:
        report.note("shelf: ngspice is not installed, nothing was compared with it")
        return
    setups = cases = over = 0
    worst = 0.0
    for name in shelf_names():
        for setup in control_setups(read_shelf(name)):
            faults = drawn_faults(faults_of(name), FAULTS_A_SETUP, zlib.crc32(str(setup).encode()))
            variants: list[tuple[Edit, ...]] = [(), *(f.edits for f in faults)]
            with TemporaryDirectory() as folder:
                gap = largest_gap(read_shelf(name), setup, variants, ngspice, Path(folder))
            setups, cases, over = setups + 1, cases + len(variants), over + (gap.share > 1.0)
            worst = max(worst, gap.share)
    report.add(NAME, "setups compared with ngspice", setups, "")
    report.add(NAME, "cases compared with ngspice", cases, "")
    report.add(NAME, "setups with a case beyond 1 mV or 0.01 %", over, "")
    report.add(NAME, "largest disagreement, of what is allowed", worst, "x")


def _jobs(report: Report) -> None:
    names = [job for name in shelf_names() for job in shelf_jobs(name)]
    ended = sum(_ends_so(name) for name in names)
    shown = sum(shown_by(read_shelf_job(name)) == [] for name in names)
    report.add(NAME, "worked jobs", len(names), "")
    report.add(NAME, "worked jobs that end as they say", ended, "")
    report.add(NAME, "worked jobs whose readings the circuit shows", shown, "")


def _ends_so(name: str) -> bool:
    job = read_shelf_job(name)
    verdict = rank_of(job)["verdict"]
    units = {u["unit"] for u in verdict["units"]}
    return job.ending is not None and (
        verdict["kind"] == job.ending.verdict and units >= set(job.ending.units)
    )
