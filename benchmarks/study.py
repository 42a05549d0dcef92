"""Seconds a case of a study takes on the horn, by scenario; and those of the ceiling."""

import time

import numpy as np

from benchmarks.report import Report
from loomwise.advice.expert import make_expert
from loomwise.shelf import read_shelf
from loomwise.study.ceiling import ceiling
from loomwise.study.play import draw_case, play, with_sign
from loomwise.study.scenario import SCENARIOS

NAME = "study"
CASES = 3


def run(report: Report) -> None:
    """Play a few cases of each scenario."""
    expert = make_expert(read_shelf("horn"))
    cases = with_sign(expert)
    start = time.perf_counter()
    ceiling(expert, cases)
    report.add(NAME, "ceiling", time.perf_counter() - start, "s")
    for scenario in SCENARIOS.values():
        start = time.perf_counter()
        for case in range(CASES):
            world, complaint = draw_case(expert, cases, np.random.default_rng([1, case]), scenario)
            play(expert, world, complaint, scenario=scenario)
        each = (time.perf_counter() - start) / CASES
        report.add(NAME, f"a case of {scenario.name}", each, "s")
