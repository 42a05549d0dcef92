"""The record of finished jobs that have moved the weights: one small file in the data folder."""

from pathlib import Path

from loomwise.errors import InputError
from loomwise.store.where import data_folder
from loomwise.usecases.kept_file import read_kept, write_kept
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
        kept = read_kept(path)
        return Learned() if kept is None else Learned.from_plain(kept)
    except (OSError, ValueError):
        hint = "mend the file or take it away: without it the table's own weights hold"
        raise InputError("this is no record of learned weights", str(path), hint) from None


def write_learned(learned: Learned) -> None:
    """Keep the record: all of it or, if that fails, what was there before.

    Raises
    ------
    InputError : the folder cannot be written.
    """
    write_kept(record_file(), learned.to_plain(), "the weights")
