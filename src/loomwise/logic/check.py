"""Hold the rules of one module against its pins: names, values, outputs, loops, order."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from difflib import get_close_matches
from graphlib import TopologicalSorter

from loomwise.errors import InputError
from loomwise.logic.grammar import Rule
from loomwise.logic.words import names

Finding = tuple[int, str, str]
"""Index of the rule, what is wrong, what to do."""

OUTPUT_VALUES = ("on", "off")
_LISTED = 12
_LOOP_HINT = "an output cannot decide itself: take one of these conditions out"


def check_logic(
    rules: Sequence[Rule], inputs: Mapping[str, tuple[str, ...]], outputs: Collection[str]
) -> list[Finding]:
    """Everything wrong in the rules of one module, in the order of the rules; empty when sound.

    Parameters
    ----------
    inputs : what the rules may read, each name with its possible values.
    outputs : the module's outputs; a rule may read these too, as on or off.
    """
    values = {**dict.fromkeys(outputs, OUTPUT_VALUES), **inputs}
    findings = [
        (index, what, hint)
        for index, rule in enumerate(rules)
        for what, hint in (*_unknown_outputs(rule, outputs), *_unknown_reads(rule, values))
    ]
    return sorted([*findings, *_loop_findings(rules)], key=lambda finding: finding[0])


def free_outputs(rules: Iterable[Rule], outputs: Iterable[str]) -> tuple[str, ...]:
    """The outputs no rule drives, in the order given. Their logic is unknown; they are not off."""
    driven = {output for rule in rules for output in rule.outputs}
    return tuple(output for output in outputs if output not in driven)


def rule_order(rules: Sequence[Rule]) -> tuple[str, ...]:
    """The driven outputs, each after those it reads. The same rules give the same order.

    Raises
    ------
    InputError : an output depends on itself; the message names the loop.
    """
    reads = _reads(rules)
    for loop in _loops(reads):
        raise InputError(f"the logic runs in a loop: {' -> '.join(loop)}", hint=_LOOP_HINT)
    return tuple(TopologicalSorter(reads).static_order())


def _unknown_outputs(rule: Rule, outputs: Collection[str]) -> Iterator[tuple[str, str]]:
    for output in dict.fromkeys(rule.outputs):
        if output not in outputs:
            yield f"unknown output '{output}'", _choice_hint(output, outputs, "outputs")


def _unknown_reads(rule: Rule, values: Mapping[str, tuple[str, ...]]) -> Iterator[tuple[str, str]]:
    unknown = set()
    for name, value in dict.fromkeys(names(rule.condition)):
        if name in values:
            if value not in values[name]:
                what = f"'{name}' has no value '{value}'"
                yield what, _choice_hint(value, values[name], f"values of '{name}'")
        elif name not in unknown:
            unknown.add(name)
            yield f"unknown name '{name}'", _choice_hint(name, values, "names")


def _loop_findings(rules: Sequence[Rule]) -> Iterator[Finding]:
    for loop in _loops(_reads(rules)):
        output, read = loop[0], loop[1]
        index = next(
            i
            for i, rule in enumerate(rules)
            if output in rule.outputs and any(name == read for name, _ in names(rule.condition))
        )
        yield index, f"output '{output}' depends on itself: {' -> '.join(loop)}", _LOOP_HINT


def _reads(rules: Sequence[Rule]) -> dict[str, list[str]]:
    """For each driven output the driven outputs it reads, all in the order of the rules."""
    reads: dict[str, list[str]] = {output: [] for rule in rules for output in rule.outputs}
    for rule in rules:
        read = [name for name, _ in names(rule.condition) if name in reads]
        for output in rule.outputs:
            reads[output] = list(dict.fromkeys([*reads[output], *read]))
    return reads


def _loops(reads: Mapping[str, Sequence[str]]) -> Iterator[list[str]]:
    """A shortest loop through each output that is in one, unless it was in a loop before."""
    seen: set[str] = set()
    for output in reads:
        loop = [] if output in seen else _loop_from(output, reads)
        if loop:
            seen.update(loop)
            yield loop


def _loop_from(start: str, reads: Mapping[str, Sequence[str]]) -> list[str]:
    """Breadth first from ``start`` back to itself; empty when there is no way back."""
    came_from: dict[str, str] = {}
    queue = [start]
    for output in queue:
        for read in reads[output]:
            if read == start:
                return _trail(output, start, came_from)
            if read not in came_from:
                came_from[read] = output
                queue.append(read)
    return []


def _trail(last: str, start: str, came_from: Mapping[str, str]) -> list[str]:
    trail = [start, last]
    while trail[-1] != start:
        trail.append(came_from[trail[-1]])
    return trail[::-1]


def _choice_hint(word: str, choices: Iterable[str], what: str) -> str:
    """The nearest spelling, capitals aside, and the list of what there is."""
    listed = list(choices)
    if not listed:
        return f"there are no {what} here"
    by_small = {choice.lower(): choice for choice in listed}
    near = get_close_matches(word.lower(), by_small, n=1)
    more = f" and {len(listed) - _LISTED} more" if len(listed) > _LISTED else ""
    choose = f"the {what} are: {', '.join(listed[:_LISTED])}{more}"
    return f"did you mean '{by_small[near[0]]}'? {choose}" if near else choose
