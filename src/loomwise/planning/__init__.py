"""Which test next, on plain numbers: no circuit is known here.

Shapes, used in every docstring: ``(n_hypotheses,)`` what may be wrong, ``(n_tests,)`` what could
be tried, ``n_outcomes`` the answers a test can give (pad with probability 0 where a test has
fewer). Costs are minutes. Entropies are bits, and always about *which repair to make*.
"""

from loomwise.planning.gain import (
    after,
    expected_gain_bits,
    gain_bits_of,
    gain_per_minute,
    outcome_probabilities,
    rank_tests,
    repair_entropy_bits,
    update,
)
from loomwise.planning.moves import Moves
from loomwise.planning.optimal import (
    best_cost_with_first,
    best_policy,
    huffman_bound,
    optimal_cost,
    optimal_tree,
)
from loomwise.planning.plan import plan_tree
from loomwise.planning.policies import Policy, half_split, in_order, look_ahead, one_step
from loomwise.planning.problem import TestProblem
from loomwise.planning.rollout import Effort, Outlook, one_step_outlook, rollout
from loomwise.planning.states import Finish
from loomwise.planning.tree import (
    Branch,
    Limits,
    Stop,
    Tree,
    expected_cost,
    greedy_tree,
    grow,
)

__all__ = [
    "Branch",
    "Effort",
    "Finish",
    "Limits",
    "Moves",
    "Outlook",
    "Policy",
    "Stop",
    "TestProblem",
    "Tree",
    "after",
    "best_cost_with_first",
    "best_policy",
    "expected_cost",
    "expected_gain_bits",
    "gain_bits_of",
    "gain_per_minute",
    "greedy_tree",
    "grow",
    "half_split",
    "huffman_bound",
    "in_order",
    "look_ahead",
    "one_step",
    "one_step_outlook",
    "optimal_cost",
    "optimal_tree",
    "outcome_probabilities",
    "plan_tree",
    "rank_tests",
    "repair_entropy_bits",
    "rollout",
    "update",
]
