"""From a reading to an answer: `rank` and `next` on the fans, warm, as a job goes on.

Warm means that the circuit is ready and earlier answers are kept, as in a running program; every
reading is new to it. The median over the readings of six jobs is reported, and the worst, in
seconds of the processor: what one job on a quiet machine takes, as nothing here runs side by side.
"""

import statistics
import time

import numpy as np

from benchmarks.report import Report
from loomwise.advice.decide import decide
from loomwise.advice.expert import Expert, make_expert
from loomwise.advice.next_test import next_tests
from loomwise.evidence import Evidence
from loomwise.shelf import read_shelf
from loomwise.solver.result import loads
from loomwise.study.play import answer, draw_case, with_sign
from loomwise.study.world import World

NAME = "answer"
WARM_UP, JOBS, STEPS = 6, 6, 8


def run(report: Report) -> None:
    """Play a few jobs, timing each answer after the warm-up."""
    started = time.process_time()
    expert = make_expert(read_shelf("radiator-fans"))
    report.add(NAME, "circuit made ready (cold)", time.process_time() - started, "s")
    cases = with_sign(expert)
    taken: dict[str, list[float]] = {"rank": [], "next": []}
    for seed in range(WARM_UP + JOBS):
        world, complaint = draw_case(expert, cases, np.random.default_rng([9, seed]))
        first = [
            world.sign(f"S{k}", complaint, part.id)
            for k, part in enumerate(loads(expert.circuit), 1)
        ]
        for words, seconds in job(expert, world, list(first)):
            if seed >= WARM_UP:
                taken[words].append(seconds)
    for words, seconds_all in taken.items():
        report.add(NAME, f"{words}, median", 1e3 * statistics.median(seconds_all), "ms")
        report.add(NAME, f"{words}, worst of {len(seconds_all)}", 1e3 * max(seconds_all), "ms")


def job(
    expert: Expert, world: World, items: list[Evidence], steps: int = STEPS
) -> list[tuple[str, float]]:
    """Seconds that ``rank`` and ``next`` take at each step of a job, in turn."""
    expert.judge = expert.judge.fresh()
    here, timed = items[0].setup, list[tuple[str, float]]()
    for step in range(steps):
        start = time.process_time()
        ranking = expert.judge.rank(items)
        middle = time.process_time()
        verdict = decide(expert, items, ranking)
        before = time.process_time()
        proposals = next_tests(expert, items, here, ranking=ranking, verdict=verdict)
        timed += [("rank", middle - start), ("next", time.process_time() - before)]
        if not proposals:
            break
        items = [*items, answer(world, proposals[0], 100 + step)]
        here = proposals[0].setup
    return timed
