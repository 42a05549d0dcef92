"""The error tree. Plain text and data only; nothing of ours is imported here.

LoomwiseError
├── InputError            what came in is wrong: the command line answers with exit 2
│   ├── QuantityError     a number or its unit
│   ├── FileError         a circuit or job file; carries every problem found
│   ├── SetupError        a setup the vehicle cannot stand in
│   └── EvidenceError     a sign or reading that cannot be what it says
├── SolveError            the circuit has no solution
├── LayoutError           the layout library is missing or cannot do it
└── PaperError            what sets the pages is missing or cannot do it
"""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, order=True)
class Problem:
    """One thing wrong in an input: where, what, and what would be right.

    ``line`` counts from 1; 0 means the file as a whole.
    """

    file: str
    line: int
    what: str
    hint: str = ""

    def __str__(self) -> str:
        place = f"{self.file}, line {self.line}" if self.line else self.file
        return f"{place}: {self.what}" + (f"; {self.hint}" if self.hint else "")


class LoomwiseError(Exception):
    """Base of all our errors: ``message`` says what, ``where`` and ``hint`` what next."""

    def __init__(self, message: str, where: str = "", hint: str = "") -> None:
        super().__init__(message)
        self.message, self.where, self.hint = message, where, hint

    def __str__(self) -> str:
        head = f"{self.where}: {self.message}" if self.where else self.message
        return f"{head}; {self.hint}" if self.hint else head

    @property
    def problems(self) -> tuple[Problem, ...]:
        """The same error as a list of problems, for callers that print or send them."""
        return (Problem(self.where or "input", 0, self.message, self.hint),)


class InputError(LoomwiseError):
    """What came in is wrong."""


class QuantityError(InputError):
    """A number, its unit, or its range is wrong."""


class FileError(InputError):
    """A circuit or job file with one or more problems, all of them listed."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self._problems = tuple(sorted(set(problems)))
        super().__init__("\n".join(str(p) for p in self._problems))

    @property
    def problems(self) -> tuple[Problem, ...]:
        return self._problems


class SetupError(InputError):
    """A setup the vehicle cannot stand in."""


class EvidenceError(InputError):
    """A sign or a reading that cannot be what it says."""


class NotFoundError(InputError):
    """No job, circuit or photograph of that name in the store."""


class StoreError(LoomwiseError):
    """The store cannot be read or written: a full disk, another program's lock, damage."""


class SolveError(LoomwiseError):
    """The circuit has no solution."""


class LayoutError(LoomwiseError):
    """The layout library is missing, does not run here, or cannot place what was asked."""


class PaperError(LoomwiseError):
    """What sets the pages is missing, does not run here, or cannot set what was asked."""
