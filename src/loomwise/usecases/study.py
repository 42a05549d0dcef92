"""Play faults of circuits through, in parallel, and sum up how the advice did."""

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

import numpy as np

from loomwise.errors import InputError
from loomwise.faults import Fault
from loomwise.setups import Setup
from loomwise.study.ceiling import ceiling
from loomwise.study.figures import Figures, figures
from loomwise.study.play import Ended, draw_case, play, with_sign
from loomwise.usecases.experts import expert_for
from loomwise.usecases.files import find_circuit

BATCH = 10
Progress = Callable[[int, int], None]
_CASES: dict[str, tuple[tuple[Fault, Setup], ...]] = {}


def run_study(
    names: Sequence[str], cases: int, seed: int, jobs: int, progress: Progress
) -> tuple[Figures, ...]:
    """Figures of each named circuit over ``cases`` seeded cases.

    ``progress`` is told how many cases of how many are done. The same seed gives the same figures
    whatever ``jobs`` is.

    Raises
    ------
    InputError : no case asked for, or a circuit that is not there or has no fault that shows.
    """
    if cases < 1 or jobs < 1:
        raise InputError(f"{cases} cases by {jobs} processes", "study", "both are at least 1")
    for name in names:
        find_circuit(name)
    done: list[Figures] = []
    for k, name in enumerate(names):
        ended: list[Ended] = []
        for batch in _batches(name, cases, seed, jobs):
            ended += batch
            progress(k * cases + len(ended), len(names) * cases)
        done.append(figures(name, ended, ceiling(expert_for(find_circuit(name)), _shown(name))))
    return tuple(done)


def _batches(name: str, cases: int, seed: int, jobs: int) -> Iterator[list[Ended]]:
    starts = range(0, cases, BATCH)
    tasks = [(name, seed, start, min(start + BATCH, cases)) for start in starts]
    if jobs == 1:
        yield from map(_play, tasks)
        return
    with ProcessPoolExecutor(jobs, mp_context=get_context("spawn")) as pool:
        yield from pool.map(_play, tasks)


def _play(task: tuple[str, int, int, int]) -> list[Ended]:
    name, seed, first, last = task
    expert = expert_for(find_circuit(name))
    ended = []
    for case in range(first, last):
        draw = np.random.default_rng([seed, case])
        world, complaint = draw_case(expert, _shown(name), draw)
        ended.append(play(expert, world, complaint, name))
    return ended


def _shown(name: str) -> tuple[tuple[Fault, Setup], ...]:
    if name not in _CASES:
        _CASES[name] = with_sign(expert_for(find_circuit(name)))
    if not _CASES[name]:
        raise InputError("no fault of this circuit shows at a load", name, "it has no load")
    return _CASES[name]
