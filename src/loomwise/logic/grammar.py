"""Read the text of a rule into a tree.

::

    rule    = outputs "on" ("always" | "when" either)
    outputs = word {"," word}
    either  = both {[","] "or" both}
    both    = single {"and" single}
    single  = "not" single | "(" either ")" | word "is" ["not"] word

A word is made of letters, digits and ``_ - + .``; its case is kept. The words of the grammar are
read in any case, and all but "on" are reserved. "and" binds tighter than "or", so a comma before
"or" changes nothing and is allowed; before "and" it would mislead, and is not.
"""

import re
from dataclasses import dataclass

from loomwise.errors import InputError

MAX_DEPTH = 50
"""Levels of "not" and parentheses inside each other. Engineering judgement: nobody reads more."""
MAX_LENGTH = 2000
"""Characters in one rule. Engineering judgement."""

_RESERVED = frozenset({"when", "always", "and", "or", "not", "is"})
_TOKEN = re.compile(r"[\w+.\-]+|\S")
_SHOWN = 40
_CONDITION_HINT = "a condition such as 'T1 is hot' is needed here"


@dataclass(frozen=True)
class Is:
    """The input or output ``name`` stands at ``value``."""

    name: str
    value: str


@dataclass(frozen=True)
class Not:
    """``part`` does not hold."""

    part: "Expr"


@dataclass(frozen=True)
class And:
    """All of two or more ``parts`` hold."""

    parts: tuple["Expr", ...]


@dataclass(frozen=True)
class Or:
    """At least one of two or more ``parts`` holds."""

    parts: tuple["Expr", ...]


@dataclass(frozen=True)
class Always:
    """Holds whatever the vehicle does."""


Expr = Is | Not | And | Or
Condition = Expr | Always


@dataclass(frozen=True)
class Rule:
    """``outputs`` are on when ``condition`` holds; ``text`` is the rule as it was written."""

    outputs: tuple[str, ...]
    condition: Condition
    text: str


@dataclass(frozen=True)
class _Token:
    """``kind`` is "word", "end", a reserved word in small letters, or the sign itself."""

    kind: str
    text: str
    column: int

    def __str__(self) -> str:
        cut = self.text if len(self.text) <= _SHOWN else self.text[:_SHOWN] + "..."
        return f"'{cut}'"


def parse_rule(text: str) -> Rule:
    """Read one rule, such as "OUT1, OUT2 on when T1 is hot or (15 is on and AC is on)".

    Raises
    ------
    InputError : the text is not a rule, is longer than 2000 characters, or is nested deeper than
        50 levels. The message names the column (counted from 1), the hint what would be right.
    """
    if len(text) > MAX_LENGTH:
        raise InputError(
            f"the rule has {len(text)} characters, more than {MAX_LENGTH}",
            hint="split it: an output with several rules is on when any of them says so",
        )
    outputs, condition = _Parser(_tokens(text)).rule()
    return Rule(outputs, condition, text)


def _tokens(text: str) -> tuple[_Token, ...]:
    found = [_token(match) for match in _TOKEN.finditer(text)]
    return (*found, _Token("end", "", len(text.rstrip()) + 1))


def _token(match: re.Match[str]) -> _Token:
    text, column = match.group(), match.start() + 1
    if text in "(),":
        return _Token(text, text, column)
    if not _is_word(text):
        raise InputError(
            f"column {column}: found {text!r}, which cannot stand in a rule",
            hint="names and values are made of letters, digits and _ - + .",
        )
    small = text.lower()
    return _Token(small if small in _RESERVED else "word", text, column)


def _is_word(text: str) -> bool:
    return len(text) > 1 or text.isalnum() or text in "_-+."


class _Parser:
    """Recursive descent, one method for each line of the grammar."""

    def __init__(self, tokens: tuple[_Token, ...]) -> None:
        self._tokens = tokens
        self._at = 0
        self._depth = 0
        self._last: Is | None = None

    def rule(self) -> tuple[tuple[str, ...], Condition]:
        outputs = [self._output()]
        while self._take(","):
            outputs.append(self._output())
        self._need_on()
        condition = self._condition()
        if self._now.kind != "end":
            raise self._fail(self._end_hint("the end of the rule"))
        return tuple(outputs), condition

    def _output(self) -> str:
        return self._need("word", "the name of an output is needed here").text

    def _need_on(self) -> None:
        if self._now.text.lower() != "on":
            raise self._fail("a comma and another output, or 'on', is needed here")
        self._at += 1

    def _condition(self) -> Condition:
        if self._take("always"):
            return Always()
        self._need("when", "'always', or 'when' and a condition, is needed here")
        return self._either()

    def _either(self) -> Expr:
        parts = [self._both()]
        while self._take_or():
            parts.append(self._both())
        return parts[0] if len(parts) == 1 else Or(tuple(parts))

    def _take_or(self) -> bool:
        if self._now.kind == "," and self._tokens[self._at + 1].kind == "or":
            self._at += 1
        return self._take("or") is not None

    def _both(self) -> Expr:
        parts = [self._single()]
        while self._take("and"):
            parts.append(self._single())
        return parts[0] if len(parts) == 1 else And(tuple(parts))

    def _single(self) -> Expr:
        opener = self._take("not") or self._take("(")
        if opener is None:
            return self._atom()
        self._depth += 1
        if self._depth > MAX_DEPTH:
            raise InputError(
                f"column {opener.column}: {opener} goes deeper than {MAX_DEPTH} levels",
                hint="split the rule, or take out parentheses that are not needed",
            )
        expr = Not(self._single()) if opener.kind == "not" else self._closed(opener)
        self._depth -= 1
        return expr

    def _closed(self, opener: _Token) -> Expr:
        expr = self._either()
        self._need(")", self._end_hint(f"a ')' for the '(' in column {opener.column}"))
        return expr

    def _atom(self) -> Expr:
        name = self._need("word", _CONDITION_HINT)
        self._need("is", self._is_hint(name))
        negated = self._take("not")
        value = self._need("word", f"a value is needed here, as in '{name.text} is on'")
        self._last = Is(name.text, value.text)
        return Not(self._last) if negated else self._last

    def _is_hint(self, name: _Token) -> str:
        """A second value without its name is the likeliest slip: "T1 is warm or hot"."""
        after_or = self._tokens[self._at - 2].kind == "or"
        if self._last is None or not after_or:
            return f"'is' and a value are needed here, as in '{name.text} is on'"
        full = f"'{self._last.name} is {name.text}'"
        return f"'is' and a value are needed here; for a second value write {full} in full"

    def _end_hint(self, end: str) -> str:
        if self._now.kind == ",":
            return "parentheses, not a comma, are needed around what belongs together"
        if self._now.kind == ")":
            return "no '(' is open here: take the ')' out, or put a '(' before"
        return f"'and', 'or' or {end} is needed here"

    @property
    def _now(self) -> _Token:
        return self._tokens[self._at]

    def _take(self, kind: str) -> _Token | None:
        token = self._now
        if token.kind != kind:
            return None
        self._at += 1
        return token

    def _need(self, kind: str, hint: str) -> _Token:
        token = self._take(kind)
        if token is None:
            raise self._fail(hint)
        return token

    def _fail(self, hint: str) -> InputError:
        token = self._now
        found = "the rule ends" if token.kind == "end" else f"found {token}"
        after = f" after {self._tokens[self._at - 1]}" if self._at else ""
        return InputError(f"column {token.column}: {found}{after}", hint=hint)
