"""The rules by which a module drives its outputs: data with a small grammar, never executed code.

A rule is one line of text, "OUT1 on when key is run and T1 is warm". ``grammar`` reads it,
``words`` gives it back in plain words, ``check`` finds what it gets wrong about its module and
``evaluate`` answers it for one vehicle or for thousands of faults at once.
"""

from loomwise.logic.check import check_logic, free_outputs, rule_order
from loomwise.logic.evaluate import Holds, evaluate, output_on
from loomwise.logic.grammar import Always, And, Condition, Expr, Is, Not, Or, Rule, parse_rule
from loomwise.logic.words import describe, describe_rule, names

__all__ = [
    "Always",
    "And",
    "Condition",
    "Expr",
    "Holds",
    "Is",
    "Not",
    "Or",
    "Rule",
    "check_logic",
    "describe",
    "describe_rule",
    "evaluate",
    "free_outputs",
    "names",
    "output_on",
    "parse_rule",
    "rule_order",
]
