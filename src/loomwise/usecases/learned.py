"""The record of finished jobs that have moved the weights: one small file in the data folder."""

import json
import os
from pathlib import Path

from loomwise.errors import InputError
from loomwise.store.where import data_folder
from loomwise.weights import Learned

FILE = "weights.json"


def record_file() -> Path:
    """Where the record is, whether or not there is one yet."""
    return data_folder() / FILE


def read_learned() -> Learned:
    """The record; empty where there is none.

    Raises
    ------
    InputError : the file is there and is no record.
    """
    path = record_file()
    try:
        return Learned.from_plain(json.loads(path.read_text(encoding="utf-8")))
    except FileNotFoundError:
        return Learned()
    except (OSError, ValueError):
        hint = "mend the file or take it away: without it the table's own weights hold"
        raise InputError("this is no record of learned weights", str(path), hint) from None


def write_learned(learned: Learned) -> None:
    """Keep the record: all of it or, if that fails, what was there before.

    Raises
    ------
    InputError : the folder cannot be written.
    """
    path = record_file()
    beside = path.with_suffix(".new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        with beside.open("w", encoding="utf-8") as file:
            json.dump(learned.to_plain(), file, indent=1, ensure_ascii=False)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    except OSError as error:
        words = (error.strerror or "no reason given").lower()
        hint = "make the folder writable, or free some room"
        raise InputError(f"cannot keep the weights: {words}", str(path), hint) from None
