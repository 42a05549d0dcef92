"""Problems and errors as an answer gives them."""

from dataclasses import dataclass

from loomwise.errors import FileError, LoomwiseError


@dataclass(frozen=True)
class ProblemShown:
    """One thing wrong: the file, its line (0: the file as a whole), what, and what to do.

    ``text`` is all of it in one line.
    """

    file: str
    line: int
    what: str
    hint: str
    text: str


@dataclass(frozen=True)
class ProblemsShown:
    """What every command answers to bad input. ``error`` is the kind of error."""

    error: str
    problems: tuple[ProblemShown, ...]


def problems_of(error: LoomwiseError) -> tuple[ProblemShown, ...]:
    """An error's problems, in the order of the file."""
    whole = "" if isinstance(error, FileError) else str(error)
    return tuple(
        ProblemShown(p.file, p.line, p.what, p.hint, whole or str(p)) for p in error.problems
    )
