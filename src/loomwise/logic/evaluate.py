"""Answer conditions for many rows at once; a row is one vehicle state or one fault."""

from collections.abc import Callable, Iterable
from functools import reduce

import numpy as np
from numpy.typing import NDArray

from loomwise.errors import InputError
from loomwise.logic.grammar import Always, And, Condition, Is, Not, Or, Rule

Holds = Callable[[str, str], NDArray[np.bool_]]
"""Answers "does ``name`` stand at ``value``?" for every row: shape (n,), or () for all rows."""


def evaluate(condition: Condition, holds: Holds) -> NDArray[np.bool_]:
    """Where the condition holds.

    Returns
    -------
    ndarray of bool, shape (n,) : a new array; shape () where all rows share one answer, as for
        ``Always`` and for answers of ``holds`` of that shape. It broadcasts to any n.
    """
    match condition:
        case Always():
            return np.array(True)
        case Is(name, value):
            return np.array(holds(name, value), dtype=np.bool_)
        case Not(part):
            return np.asarray(np.logical_not(evaluate(part, holds)))
        case And(parts):
            return np.asarray(reduce(np.logical_and, (evaluate(p, holds) for p in parts)))
        case Or(parts):
            return np.asarray(reduce(np.logical_or, (evaluate(p, holds) for p in parts)))


def output_on(rules: Iterable[Rule], output: str, holds: Holds) -> NDArray[np.bool_]:
    """Where ``output`` is on: any of its rules says so. Shape as ``evaluate``.

    An output that reads other outputs asks ``holds`` for them: go through ``rule_order``.

    Raises
    ------
    InputError : no rule drives the output, so its logic is unknown, which is not the same as off.
    """
    answers = [evaluate(rule.condition, holds) for rule in rules if output in rule.outputs]
    if not answers:
        raise InputError(
            f"no rule drives {output}: whether it is on is unknown",
            hint="write a rule for it, or treat it as one of the free outputs",
        )
    return np.asarray(reduce(np.logical_or, answers))
