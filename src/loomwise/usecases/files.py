"""Reads the files a person names, and finds the circuit a word means."""

import os
import stat
from pathlib import Path

from loomwise.circuit.document import MAX_BYTES
from loomwise.circuit.model import Circuit
from loomwise.circuit.reader import read_circuit
from loomwise.errors import FileError, InputError, Problem
from loomwise.job import Job, read_job
from loomwise.shelf import read_shelf, shelf_jobs, shelf_names, shelf_text

SUFFIXES = (".yaml", ".yml")


def read_text(path: Path, shown: str = "") -> str:
    """The text of a file; one that is too large is refused before it is read.

    Raises
    ------
    FileError : not there, not a file, too large, not readable, or not UTF-8.
    """
    name = shown or str(path)
    try:
        found = path.stat()
        if not stat.S_ISREG(found.st_mode):
            raise _refused(name, "this is not a file", "name a circuit or job file")
        if found.st_size > MAX_BYTES:
            size = f"the file has {found.st_size / 1e6:.1f} MB"
            raise _refused(
                name, size, f"the limit is {MAX_BYTES / 1e6:g} MB; is it the right file?"
            )
        return path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = error.object[: error.start].count(b"\n") + 1
        hint = "save it with the encoding UTF-8"
        raise FileError([Problem(name, line, "the file is not UTF-8 text", hint)]) from None
    except (OSError, ValueError) as error:
        words = (
            os.strerror(error.errno) if isinstance(error, OSError) and error.errno else "bad name"
        )
        hint = "check the name and the folder"
        raise _refused(name, f"cannot read it: {words.lower()}", hint) from None


def _refused(name: str, what: str, hint: str) -> FileError:
    return FileError([Problem(name, 0, what, hint)])


def is_file_name(word: str) -> bool:
    """Whether a word means a file rather than a circuit on the shelf."""
    return word.endswith(SUFFIXES) or "/" in word or os.sep in word or Path(word).is_file()


def find_circuit(word: str, folder: Path | None = None) -> Circuit:
    """The circuit on the shelf, or in a file (relative to ``folder``, where one is given).

    Raises
    ------
    FileError : with everything wrong in the file.
    InputError : nothing on the shelf has that name.
    """
    if word in shelf_names() or not is_file_name(word):
        return read_shelf(word)
    path = (folder or Path()) / word
    return read_circuit(read_text(path), str(path))


def is_number(word: str) -> bool:
    """Whether a word means a stored job rather than a file."""
    return word.isdigit() and len(word) < 10 and not Path(word).is_file()


def find_job(word: str) -> Job:
    """The job in a file, with the circuit it names; or by its number the one in the store; or a
    worked job on the shelf, such as ``horn/silent``.

    Raises
    ------
    FileError : with everything wrong in the job's file, or in its circuit's.
    NotFoundError : the store has no job of that number.
    """
    path = Path(word)
    if is_number(word):
        from loomwise.store import open_store
        from loomwise.usecases.stored import stored_job  # the database only where it is needed

        return stored_job(open_store(), int(word))
    if word.partition("/")[0] in shelf_names() and not path.is_file() and not path.suffix:
        return _worked_job(word)
    return read_job(read_text(path), word, lambda name: _circuit_beside(name, path))


def _worked_job(word: str) -> Job:
    if word in shelf_names():
        hint = f"worked jobs on it are {', '.join(shelf_jobs(word))}"
        raise InputError(f"{word} is a circuit, not a job", "job", hint)
    return read_job(shelf_text(word), word, read_shelf)


def _circuit_beside(name: str, job: Path) -> Circuit:
    try:
        return find_circuit(name, job.parent)
    except FileError as error:
        if (job.parent / name).exists():
            raise  # the circuit's own problems, with its own lines
        problem = error.problems[0]
        raise InputError(f"{problem.file}: {problem.what}", hint=problem.hint) from None
