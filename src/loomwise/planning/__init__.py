"""Which test next, on plain numbers: no circuit is known here.

Shapes, used in every docstring: ``(n_hypotheses,)`` what may be wrong, ``(n_tests,)`` what could
be tried, ``n_outcomes`` the answers a test can give (pad with probability 0 where a test has
fewer). Costs are minutes. Entropies are bits, and always about *which repair to make*.
"""

from loomwise.planning.gain import (
    expected_gain_bits,
    gain_per_minute,
    outcome_probabilities,
    rank_tests,
    repair_entropy_bits,
    update,
)
from loomwise.planning.optimal import best_cost_with_first, huffman_bound, optimal_cost
from loomwise.planning.problem import TestProblem
from loomwise.planning.tree import Branch, Stop, Tree, expected_cost, greedy_tree

__all__ = [
    "Branch",
    "Stop",
    "TestProblem",
    "Tree",
    "best_cost_with_first",
    "expected_cost",
    "expected_gain_bits",
    "gain_per_minute",
    "greedy_tree",
    "huffman_bound",
    "optimal_cost",
    "outcome_probabilities",
    "rank_tests",
    "repair_entropy_bits",
    "update",
]
