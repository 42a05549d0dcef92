"""One place turns errors into words and exit codes.

0 done; 1 the answer is "no" or "not explained"; 2 bad input; 3 a fault of ours.
"""

import functools
import json
import os
import sys
import traceback
from collections.abc import Callable
from typing import ParamSpec, TypeVar

import typer

from loomwise.errors import InputError, LoomwiseError, SolveError

NO, BAD_INPUT, OUR_FAULT = 1, 2, 3
P = ParamSpec("P")
R = TypeVar("R")
_state = {"debug": False}


def set_debug(on: bool) -> None:
    """Whether a fault of ours is shown with its traceback."""
    _state["debug"] = on


def answers(command: Callable[P, R]) -> Callable[P, R]:
    """Wrap a command: errors become messages and exit codes, never a traceback."""

    @functools.wraps(command)
    def wrapped(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            return command(*args, **kwargs)
        except LoomwiseError as error:
            say_error(error, bool(kwargs.get("as_json")))
            raise typer.Exit(code_of(error)) from None
        except (typer.Exit, typer.Abort, KeyboardInterrupt):
            raise
        except BrokenPipeError:
            _quiet_pipe()
            raise typer.Exit(0) from None
        except Exception as error:
            say_fault(error)
            raise typer.Exit(OUR_FAULT) from None

    return wrapped


def code_of(error: LoomwiseError) -> int:
    """The exit code an error asks for."""
    if isinstance(error, InputError):
        return BAD_INPUT
    return NO if isinstance(error, SolveError) else OUR_FAULT


def say_error(error: LoomwiseError, as_json: bool) -> None:
    """One line for each problem on stderr, or one JSON object on stdout."""
    from loomwise.usecases.problems import ProblemsShown, problems_of
    from loomwise.usecases.shape import to_json

    problems = problems_of(error)
    if as_json:
        shown = ProblemsShown(type(error).__name__, problems)
        print(json.dumps(to_json(shown), indent=2, ensure_ascii=False))
        return
    for problem in problems:
        print(problem.text, file=sys.stderr)


def say_fault(error: Exception) -> None:
    """A fault of ours: what happened, and how to report it."""
    print(f"loomwise: a fault in the program itself ({type(error).__name__}: {error})",
          file=sys.stderr)  # fmt: skip
    if _state["debug"]:
        traceback.print_exception(error)
        return
    print(
        "Your files are as they were. Run the same command as 'loomwise --debug ...' and report\n"
        "what it prints, with the circuit or job file, to the people who keep this program.",
        file=sys.stderr,
    )


def _quiet_pipe() -> None:
    """The reader went away (as `| head` does): say nothing more."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
