"""Play faults of circuits through, in parallel, and sum up how the advice did."""

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import ExitStack
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path
from typing import TextIO

import numpy as np

from loomwise.errors import InputError
from loomwise.faults import Fault
from loomwise.setups import Setup
from loomwise.study.ceiling import ceiling
from loomwise.study.figures import TOTAL, Beside, Figures, figures
from loomwise.study.kept import CaseKey, as_line, read_lines
from loomwise.study.play import Ended, draw_case, play, with_sign
from loomwise.study.scenario import PLAIN, RIVALS, SCENARIOS, Scenario, scenarios_named
from loomwise.study.small import SmallProblem, small_problems
from loomwise.usecases.experts import expert_unlearned
from loomwise.usecases.files import find_circuit

BATCH = 2
"""Cases a process plays before they are kept: what a stop loses of each."""
SMALL_PROBLEMS = 54
"""Small problems of a study, shared among its circuits."""
Progress = Callable[[int, int], None]
Task = tuple[str, Scenario, int, tuple[int, ...]]
_CASES: dict[str, tuple[tuple[Fault, Setup], ...]] = {}


@dataclass(frozen=True)
class Plan:
    """What to play; with plain cases go small problems, held against the optimum. ``compared``: the
    plain cases are played by half-splitting too. ``keep`` is a file of cases played, to go on from.
    """

    names: tuple[str, ...]
    cases: int
    seed: int
    scenarios: tuple[Scenario, ...] = (PLAIN,)
    compared: bool = False
    keep: str = ""

    @property
    def played(self) -> tuple[Scenario, ...]:
        """All scenarios, the rival's included."""
        more = [SCENARIOS[RIVALS[0]]] if self.compared else []
        return tuple(dict.fromkeys([*self.scenarios, *more]))


def make_plan(
    names: Sequence[str], cases: int, seed: int, scenarios: str = PLAIN.name,
    compared: bool = False, keep: str = "",
) -> Plan:  # fmt: skip
    """A plan with scenarios by name, several joined by commas.

    Raises
    ------
    InputError : there is no scenario of that name.
    """
    return Plan(tuple(names), cases, seed, scenarios_named(scenarios), compared, keep)


def scenario_title(name: str) -> str:
    """What a scenario is, in words."""
    return SCENARIOS[name].title


@dataclass(frozen=True)
class Studied:
    """Figures by scenario and circuit, in total by scenario, and the small problems one by one."""

    cases: int
    seed: int
    circuits: tuple[Figures, ...]
    total: tuple[Figures, ...]
    small_problems: tuple[SmallProblem, ...]


def run_study(plan: Plan, jobs: int, progress: Progress) -> Studied:
    """Figures of each named circuit over seeded cases of each scenario.

    ``progress`` is told how many cases of how many are done. The same seed gives the same figures
    whatever ``jobs`` is. Stopped by Ctrl-C, the file of ``keep`` holds every case that was played.

    Raises
    ------
    InputError : no case asked for, a file that cannot be kept, or a circuit that is not there or
        has no fault that shows.
    """
    if plan.cases < 1 or jobs < 1:
        raise InputError(f"{plan.cases} cases by {jobs} processes", "study", "both are at least 1")
    for name in plan.names:
        find_circuit(name)
    done = _played(plan, jobs, progress)
    ceilings = {n: ceiling(expert_unlearned(find_circuit(n)), _shown(n)) for n in plan.names}
    small = _small(plan)
    pairs = [(n, s.name) for s in plan.scenarios for n in plan.names]
    return Studied(
        plan.cases, plan.seed,
        tuple(_figures(done, small, [n], n, s, ceilings) for n, s in pairs),
        tuple(_figures(done, small, plan.names, TOTAL, s.name, ceilings) for s in plan.scenarios),
        small,
    )  # fmt: skip


Done = dict[tuple[str, str], dict[int, Ended]]


def _figures(
    done: Done, small: Sequence[SmallProblem], names: Sequence[str], title: str, scenario: str,
    ceilings: dict[str, float],
) -> Figures:  # fmt: skip
    def all_of(scenario: str) -> list[Ended]:
        some = (done.get((n, scenario), {}) for n in names)
        return [ended for by_case in some for _, ended in sorted(by_case.items())]

    plain = scenario == PLAIN.name
    return figures(title, scenario, all_of(scenario), Beside(
        sum(ceilings[n] for n in names) / len(names),
        [p.ratio for p in small if plain and p.circuit in names],
        *(all_of(r) if plain else [] for r in RIVALS),
    ))  # fmt: skip


def _small(plan: Plan) -> tuple[SmallProblem, ...]:
    """The same problems every time, as many of each circuit."""
    if PLAIN not in plan.scenarios:
        return ()
    each = -(-SMALL_PROBLEMS // len(plan.names))
    return tuple(
        p
        for n in plan.names
        for p in small_problems(expert_unlearned(find_circuit(n)), _shown(n), n, each)
    )


def _played(plan: Plan, jobs: int, progress: Progress) -> Done:
    """Every case of the plan: kept from before, or played now and kept."""
    digests = {n: find_circuit(n).digest for n in plan.names}
    known = read_lines(_lines(plan.keep))
    done: Done = {}
    tasks: list[Task] = []
    for scenario in plan.played:
        for name in plan.names:
            keys = [CaseKey(digests[name], scenario.name, plan.seed, c) for c in range(plan.cases)]
            done[name, scenario.name] = {k.case: known[k] for k in keys if k in known}
            todo = [k.case for k in keys if k not in known]
            batches = (tuple(todo[i : i + BATCH]) for i in range(0, len(todo), BATCH))
            tasks += [(name, scenario, plan.seed, some) for some in batches]
    total = plan.cases * len(plan.names) * len(plan.played)
    progress(total - sum(len(task[3]) for task in tasks), total)
    with ExitStack() as stack:
        file = None
        if plan.keep:
            _end_last_line(plan.keep)
            file = stack.enter_context(Path(plan.keep).open("a", encoding="utf-8"))
        for (name, scenario, seed, cases), ended in _answers(tasks, jobs):
            for case, end in zip(cases, ended, strict=True):
                done[name, scenario.name][case] = end
                _keep(file, CaseKey(digests[name], scenario.name, seed, case), end)
            progress(sum(map(len, done.values())), total)
    return done


def _lines(keep: str) -> list[str]:
    if not keep or not Path(keep).exists():
        return []
    try:
        return Path(keep).read_text(encoding="utf-8", errors="replace").splitlines()
    except OSError as error:
        raise _unkept(keep, error) from None


def _end_last_line(keep: str) -> None:
    """Whatever a stop left of the last line ends there; a new file is begun."""
    try:
        with Path(keep).open("a", encoding="utf-8") as file:
            file.write("\n" if file.tell() else "")
    except OSError as error:
        raise _unkept(keep, error) from None


def _unkept(keep: str, error: OSError) -> InputError:
    words = (error.strerror or "no reason given").lower()
    return InputError(f"cannot keep cases: {words}", keep, "choose another file")


def _keep(file: TextIO | None, key: CaseKey, ended: Ended) -> None:
    if file is not None:
        file.write(as_line(key, ended))
        file.flush()


def _answers(tasks: Sequence[Task], jobs: int) -> Iterator[tuple[Task, list[Ended]]]:
    if jobs == 1 or len(tasks) < 2:
        yield from ((task, _play(task)) for task in tasks)
        return
    with ProcessPoolExecutor(jobs, mp_context=get_context("spawn")) as pool:
        try:
            yield from zip(tasks, pool.map(_play, tasks), strict=True)
        except BaseException:
            pool.shutdown(wait=False, cancel_futures=True)
            raise


def _play(task: Task) -> list[Ended]:
    name, scenario, seed, cases = task
    expert = expert_unlearned(find_circuit(name))
    ended = []
    for case in cases:
        draw = np.random.default_rng([seed, case])
        world, complaint = draw_case(expert, _shown(name), draw, scenario)
        ended.append(play(expert, world, complaint, name, scenario))
    return ended


def _shown(name: str) -> tuple[tuple[Fault, Setup], ...]:
    if name not in _CASES:
        _CASES[name] = with_sign(expert_unlearned(find_circuit(name)))
    if not _CASES[name]:
        raise InputError("no fault of this circuit shows at a load", name, "it has no load")
    return _CASES[name]
