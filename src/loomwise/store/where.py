"""Where the store is: the data folder of the person, or the one named in LOOMWISE_DATA."""

import os
from functools import cache
from pathlib import Path

from loomwise.errors import StoreError
from loomwise.store.store import Store

FILE = "loomwise.db"
VARIABLE = "LOOMWISE_DATA"


def data_folder() -> Path:
    """The folder of the store, by the habits of the system unless it is named."""
    named = os.environ.get(VARIABLE)
    if named:
        return Path(named)
    from platformdirs import user_data_path

    return user_data_path("loomwise", appauthor=False)


def open_store(url: str = "") -> Store:
    """The store at an SQLAlchemy address; by default SQLite in the data folder.

    Raises
    ------
    StoreError : the folder cannot be made, or the database cannot be opened or is a newer one.
    """
    if url:
        return _opened(url)
    folder = data_folder()
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    except OSError as error:
        words = (error.strerror or "no reason given").lower()
        hint = f"name another folder with {VARIABLE}"
        raise StoreError(f"cannot make the data folder: {words}", str(folder), hint) from None
    return _opened(f"sqlite:///{folder / FILE}")


@cache
def _opened(url: str) -> Store:
    return Store(url)
