"""A plan to print: a tree of tests, cut short where a branch is hardly likely."""

from loomwise.planning.optimal import best_policy, is_small_and_sure
from loomwise.planning.policies import look_ahead
from loomwise.planning.problem import TestProblem
from loomwise.planning.rollout import Effort, Stopper, never
from loomwise.planning.states import USUAL, Finish
from loomwise.planning.tree import Limits, Tree, grow

PRINTABLE = Limits(most_leaves=30, min_chance=0.01)
"""A page of branches."""

QUICK = Effort(candidates=6, tests=40, width=12)
"""A plan looks ahead at every branch, so at each it looks less closely."""


def plan_tree(
    problem: TestProblem,
    finish: Finish = USUAL,
    limits: Limits = PRINTABLE,
    effort: Effort = QUICK,
    stop: Stopper = never,
) -> Tree:
    """The tree of the best tests there are: exact where small, else looking ahead at every step.

    The likeliest branches grow first. Once ``stop`` says so, what is not grown is cut short.
    """
    exact = is_small_and_sure(problem)
    policy = best_policy(problem, finish) if exact else look_ahead(effort, stop)
    return grow(problem, policy, finish, limits, stop)
