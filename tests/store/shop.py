"""A shop with a job in it, for the tests of the store and of the pages."""

from pathlib import Path

from loomwise.store import Store
from loomwise.usecases import stored

INTAKE = {"complaint": "The horn stays silent", "vehicle": "Norvik T4", "mileage_km": 184000.0}
PRESSED = {"setup": {"horn": "pressed"}, "complaint": "yes"}


def store_in(folder: Path) -> Store:
    """A new store in a folder."""
    return Store(f"sqlite:///{folder / 'shop.db'}")


def horn_job(store: Store) -> int:
    """A job about the horn, with two readings."""
    number = stored.new_job(store, INTAKE)
    stored.choose_circuit(store, number, "horn")
    stored.stand(store, number, PRESSED)
    stored.enter(store, number, "sign", {"what": "H1", "seen": "silent"})
    stored.enter(store, number, "reading", {"red": "F4.1", "value": "12.6 V"})
    return number
