"""From a reading to an answer: `rank` and `next` on the fans, warm, as a job goes on.

Warm means that the circuit is ready and earlier answers are kept, as in a running program; every
reading is new to it. The median over the readings of six jobs is reported, and the worst, in
seconds of the processor: what one job on a quiet machine takes, as nothing here runs side by side.
"""

import statistics
import time

import numpy as np

from benchmarks.report import Report
from loomwise.advice.ahead import advise
from loomwise.advice.endings import Bench
from loomwise.advice.expert import Expert, make_expert
from loomwise.advice.foresee import thoughts
from loomwise.evidence import Evidence
from loomwise.shelf import read_shelf
from loomwise.solver.result import loads
from loomwise.study.play import answer, draw_case, with_sign
from loomwise.study.world import World
from loomwise.usecases.advise import SHORT_S, TESTS
from loomwise.usecases.rank import within

NAME = "answer"
WARM_UP, JOBS, STEPS = 6, 6, 8


def run(report: Report) -> None:
    """Play a few jobs, timing each answer after the warm-up: as a running server does it, which
    thinks the likely answers through while she measures, and without that."""
    started = time.process_time()
    expert = make_expert(read_shelf("radiator-fans"))
    report.add(NAME, "circuit made ready (cold)", time.process_time() - started, "s")
    for ahead in (True, False):
        taken = _jobs(expert, ahead)
        words = "" if ahead else ", nothing thought ahead"
        for what, seconds in taken.items():
            middle, worst = statistics.median(seconds), max(seconds)
            report.add(NAME, f"{what}{words}, median", 1e3 * middle, "ms")
            report.add(NAME, f"{what}{words}, worst of {len(seconds)}", 1e3 * worst, "ms")


def _jobs(expert: Expert, ahead: bool) -> dict[str, list[float]]:
    cases = with_sign(expert)
    taken: dict[str, list[float]] = {}
    for seed in range(WARM_UP + JOBS):
        world, complaint = draw_case(expert, cases, np.random.default_rng([9, seed]))
        first = [
            world.sign(f"S{k}", complaint, part.id)
            for k, part in enumerate(loads(expert.circuit), 1)
        ]
        for what, seconds in job(expert, world, list(first), ahead=ahead):
            if seed >= WARM_UP:
                taken.setdefault(what, []).append(seconds)
    return taken


def job(
    expert: Expert, world: World, items: list[Evidence], steps: int = STEPS, ahead: bool = False
) -> list[tuple[str, float]]:
    """Seconds that ``rank`` and ``next`` take at each step of a job, in turn, and ``thinking
    ahead`` between the steps if asked for."""
    expert.judge = expert.judge.fresh()
    here, timed = items[0].setup, list[tuple[str, float]]()
    for step in range(steps):
        start = time.process_time()
        ranking = expert.judge.rank(items)
        middle = time.process_time()
        _, proposals = advise(expert, items, ranking, Bench(here), TESTS, stop=within(SHORT_S))
        end = time.process_time()
        timed += [("rank", middle - start), ("next", end - middle)]
        if not proposals:
            break
        if ahead:
            list(thoughts(expert, items, proposals, Bench(here)))
            timed.append(("thinking ahead", time.process_time() - end))
        items = [*items, answer(world, proposals[0], 100 + step)]
        here = proposals[0].setup
    return timed
