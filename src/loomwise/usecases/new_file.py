"""Writes a file that was not there before."""

import os
from pathlib import Path

from loomwise.errors import InputError


def write_new(file: str, content: str | bytes) -> None:
    """Write a text, or bytes as they are, to a new file.

    Raises
    ------
    InputError : the file is there already, or cannot be written.
    """
    data = content.encode("utf-8") if isinstance(content, str) else content
    try:
        with Path(file).open("xb") as out:
            out.write(data)
    except FileExistsError:
        raise _there(file) from None
    except OSError as error:
        words = (error.strerror or "no reason given").lower()
        raise InputError(f"cannot write it: {words}", file, "choose another folder") from None


def check_new(file: str) -> None:
    """Refuse a file that could not be written, before the work on it begins.

    Raises
    ------
    InputError : the file is there already, or its folder is not there or cannot be written to.
    """
    path = Path(file)
    if path.exists():
        raise _there(file)
    if not path.parent.is_dir():
        raise InputError("its folder is not there", file, "make the folder, or choose another")
    if not os.access(path.parent, os.W_OK):
        raise InputError("its folder cannot be written to", file, "choose another folder")


def _there(file: str) -> InputError:
    return InputError("the file is there already", file, "choose another name")
