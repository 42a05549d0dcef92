"""More than one step ahead: the best of the weighed tests with what moving between them costs."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from loomwise.advice.candidates import Candidate
from loomwise.advice.costs import minutes_of, reach_of, setup_minutes
from loomwise.advice.effects import fuse_trials
from loomwise.advice.endings import Bench, concluded
from loomwise.advice.expert import Expert
from loomwise.advice.leaders import repair_of
from loomwise.advice.next_test import Weighed, proposal, unit_title, weighed_for
from loomwise.advice.outcomes import edges_of
from loomwise.advice.proposal import Proposal, Verdict
from loomwise.advice.say import bin_text, changes_between, title_of, words_of
from loomwise.diagnosis.ranking import Ranking, Suspect
from loomwise.evidence import Evidence
from loomwise.planning import (
    Branch,
    Effort,
    Finish,
    Limits,
    Moves,
    Stop,
    TestProblem,
    Tree,
    plan_tree,
    rollout,
)
from loomwise.setups import Setup

MOST = 60
"""Tests looked ahead over, the best by themselves."""
FINISH = Finish(stop_at=0.99, doubt_minutes=60.0, least_gain_bits=0.003)
EFFORT = Effort(candidates=8, tests=60, width=20)
PLAN_EFFORT = Effort(candidates=5, tests=30, width=8)
Stopper = Callable[[], bool]


def never() -> bool:
    """There is all the time it takes."""
    return False


def advise(
    expert: Expert, evidence: Sequence[Evidence], ranking: Ranking, bench: Bench, most: int,
    by: Callable[[Suspect], str] = repair_of, stop: Stopper = never,
) -> tuple[Verdict, tuple[Proposal, ...]]:  # fmt: skip
    """The verdict and the best next tests, looking more than one step ahead as far as there is
    time."""
    verdict, weighed = weighed_once(expert, evidence, ranking, bench, by)
    trials = fuse_trials(expert, evidence, verdict.fuse, weighed.tests) if verdict.fuse else []
    order = [*trials, *further(expert, weighed, bench.here, bench.opened, stop)]
    chosen = list(dict.fromkeys(order))[:most]
    return verdict, tuple(proposal(expert, weighed, t, bench.here, evidence) for t in chosen)


def weighed_once(
    expert: Expert, evidence: Sequence[Evidence], ranking: Ranking, bench: Bench,
    by: Callable[[Suspect], str] = repair_of,
) -> tuple[Verdict, Weighed]:  # fmt: skip
    """The verdict and the tests that go with it, weighed once where both ask for the same."""
    verdict, weighed = concluded(expert, evidence, ranking, bench)
    if weighed is None or verdict.kind != "open" or by is not repair_of:
        weighed = weighed_for(
            expert, evidence, ranking, bench.here, bench.opened, bench.instruments, verdict,
            bench.cannot, by,
        )  # fmt: skip
    return verdict, weighed


def further(
    expert: Expert, weighed: Weighed, here: Setup, opened: frozenset[str], stop: Stopper
) -> list[int]:
    """The weighed tests worth making, best first as far as looking ahead can tell in the time."""
    picks = weighed.order
    if len(picks) < 2 or len(weighed.group.units) < 2:
        return picks
    some = picks[:MOST]
    found = rollout(problem_of(expert, weighed, some, here, opened), FINISH, EFFORT, stop)
    ahead = [some[o.test] for o in found]
    return list(dict.fromkeys([*ahead, *picks]))


def problem_of(
    expert: Expert, w: Weighed, picks: list[int], here: Setup, opened: frozenset[str]
) -> TestProblem:
    """Some of the weighed tests as the planner's arrays, with setups and panels to move between."""
    circuit, tests = expert.circuit, [w.tests[t] for t in picks]
    setups = list(dict.fromkeys(t.setup for t in tests))
    between = [[setup_minutes(circuit, a, b) for b in setups] for a in (*setups, here)]
    zones = list(dict.fromkeys(reach_of(circuit, t, opened)[0] for t in tests))
    to_open = dict(reach_of(circuit, t, opened) for t in tests)
    own = [
        minutes_of(circuit, t, t.setup, opened)[0] - reach_of(circuit, t, opened)[1] for t in tests
    ]
    harm = w.minutes[picks] - [minutes_of(circuit, t, here, opened)[0] for t in tests]
    moves = Moves(
        setup=np.array([setups.index(t.setup) for t in tests]),
        setup_minutes=np.array(between),
        zone=np.array([zones.index(reach_of(circuit, t, opened)[0]) for t in tests]),
        zone_minutes=np.array([to_open[z] for z in zones]),
    )
    return TestProblem(
        w.group.weights, w.chances[:, picks], np.maximum(own, 0.05), w.group.repair,
        np.maximum(harm, 0.0), moves,
    )  # fmt: skip


@dataclass(frozen=True)
class End:
    """A branch of the plan that ends: make this repair. ``cut``: more tests would gain."""

    title: str
    share: float
    chance: float
    cut: bool


@dataclass(frozen=True)
class Step:
    """A test of the plan: what to change first, and for each result how to go on.

    ``chance`` of coming here, ``minutes`` expected from here to the end.
    """

    title: str
    changes: tuple[str, ...]
    chance: float
    minutes: float
    results: tuple[tuple[str, "Step | End"], ...]


def plan(
    expert: Expert, weighed: Weighed, here: Setup, opened: frozenset[str], leaves: int,
    stop: Stopper,
) -> Step | End | None:  # fmt: skip
    """The tree of the best tests from here, cut short where a branch is hardly likely."""
    picks = weighed.order[:MOST]
    if not picks:
        return None
    problem = problem_of(expert, weighed, picks, here, opened)
    tree = plan_tree(problem, FINISH, Limits(leaves, 0.01), PLAN_EFFORT, stop)
    return _told(expert, weighed, picks, here, tree)


def _told(expert: Expert, w: Weighed, picks: list[int], here: Setup, tree: Tree) -> Step | End:
    if isinstance(tree, Stop):
        title = unit_title(expert, w.group.units[tree.repair])
        return End(title, tree.share, tree.chance, tree.cut)
    test = w.tests[picks[tree.test]]
    results = [
        (text, _told(expert, w, picks, test.setup, subtree))
        for text, subtree in _results(expert, test, tree)
    ]
    return Step(
        title_of(expert.circuit, test), changes_between(expert.circuit, here, test.setup),
        tree.chance, tree.minutes, tuple(results),
    )  # fmt: skip


def _results(expert: Expert, test: Candidate, branch: Branch) -> list[tuple[str, Tree]]:
    """Outcomes with how to go on; neighbouring numbers that go on alike are one."""
    words = words_of(expert.circuit, test)
    likely = [(o, t) for o, t in sorted(branch.after.items()) if t.chance > HARDLY * branch.chance]
    if words:
        return [(words[o], tree) for o, tree in likely if o < len(words)]
    runs: list[tuple[list[int], Tree]] = []
    for o, tree in likely:
        if runs and _alike(runs[-1][1], tree):
            runs[-1] = [*runs[-1][0], o], _both(runs[-1][1], tree)
        else:
            runs.append(([o], tree))
    edges = edges_of(test.instrument, expert.circuit.supply_v)
    return [(bin_text(some, edges, test.instrument), tree) for some, tree in runs]


HARDLY = 0.004
"""Results less likely than this are left out of a printed plan. [-]"""


def _alike(a: Tree, b: Tree) -> bool:
    return a == b or (isinstance(a, Stop) and isinstance(b, Stop) and a.repair == b.repair)


def _both(a: Tree, b: Tree) -> Tree:
    """Two branches that go on alike, as one."""
    if not (isinstance(a, Stop) and isinstance(b, Stop)):
        return a
    chance = a.chance + b.chance
    share = (a.share * a.chance + b.share * b.chance) / chance
    return Stop(a.repair, share, chance, a.minutes, a.cut and b.cut)
