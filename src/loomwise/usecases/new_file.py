"""Writes a file that was not there before."""

from pathlib import Path

from loomwise.errors import InputError


def write_new(file: str, text: str) -> None:
    """Write a text to a new file.

    Raises
    ------
    InputError : the file is there already, or cannot be written.
    """
    try:
        with Path(file).open("x", encoding="utf-8", newline="\n") as out:
            out.write(text)
    except FileExistsError:
        raise InputError("the file is there already", file, "choose another name") from None
    except OSError as error:
        words = (error.strerror or "no reason given").lower()
        raise InputError(f"cannot write it: {words}", file, "choose another folder") from None
