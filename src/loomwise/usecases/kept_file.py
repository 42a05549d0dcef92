"""Small files of the data folder: read whole, and written whole or not at all."""

import json
import os
from pathlib import Path

from loomwise.errors import InputError


def read_kept(path: Path) -> object:
    """What the file holds; None where there is none.

    Raises
    ------
    ValueError, OSError : it is there and cannot be read.
    """
    try:
        return json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return None


def write_kept(path: Path, data: object, what: str) -> None:
    """Keep the data: all of it or, if that fails, what was there before.

    Raises
    ------
    InputError : the folder cannot be written.
    """
    beside = path.with_suffix(".new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        with beside.open("w", encoding="utf-8") as file:
            json.dump(data, file, indent=1, ensure_ascii=False)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    except OSError as error:
        words = (error.strerror or "no reason given").lower()
        hint = "make the folder writable, or free some room"
        raise InputError(f"cannot keep {what}: {words}", str(path), hint) from None
