"""Say a rule in plain words, and list what it reads."""

from collections.abc import Iterator

from loomwise.logic.grammar import Always, And, Condition, Expr, Is, Not, Or, Rule


def names(condition: Condition) -> Iterator[tuple[str, str]]:
    """Every (name, value) the condition reads, in the order written, repeats included."""
    match condition:
        case Is(name, value):
            yield name, value
        case Not(part):
            yield from names(part)
        case And(parts) | Or(parts):
            for part in parts:
                yield from names(part)
        case Always():
            return


def describe(condition: Condition) -> str:
    """The condition in plain words: "T1 is hot, or 15 is on and AC is on".

    The words follow the grammar, so reading them again gives the same condition.
    """
    match condition:
        case Always():
            return "always"
        case Is(name, value):
            return f"{name} is {value}"
        case Not(Is(name, value)):
            return f"{name} is not {value}"
        case Not(part):
            return f"not {describe(part) if _bare_after_not(part) else _closed(part)}"
        case And(parts):
            return " and ".join(
                _closed(p) if isinstance(p, And | Or) else describe(p) for p in parts
            )
        case Or(parts):
            # The comma helps the eye where "and" and "or" meet.
            joint = ", or " if any(isinstance(p, And) for p in parts) else " or "
            return joint.join(_closed(p) if isinstance(p, Or) else describe(p) for p in parts)


def describe_rule(rule: Rule) -> str:
    """The whole rule in plain words: "OUT1, OUT2 on when T1 is hot"."""
    when = "" if isinstance(rule.condition, Always) else "when "
    return f"{', '.join(rule.outputs)} on {when}{describe(rule.condition)}"


def _bare_after_not(part: Expr) -> bool:
    """Whether "not" can stand before the words as they are: they begin with "not" themselves."""
    return isinstance(part, Not) and not isinstance(part.part, Is)


def _closed(part: Expr) -> str:
    return f"({describe(part)})"
