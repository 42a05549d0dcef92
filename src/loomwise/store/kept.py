"""What jobs refer to by the digest of its content, and what is set for the whole shop."""

from collections.abc import Mapping
from hashlib import sha256
from typing import Any

from sqlalchemy import Engine, Table, delete, insert, select

from loomwise.errors import NotFoundError
from loomwise.store.engine import reading, writing
from loomwise.store.photo import Photo
from loomwise.store.tables import circuits, files, photos, shop

DIGEST_SIGNS = 40
"""Of a circuit's digest; a name in a job file has at most 60."""


def digest_of(circuit: str) -> str:
    """The digest a circuit's text is kept under."""
    return sha256(circuit.encode()).hexdigest()[:DIGEST_SIGNS]


class Kept:
    """Circuits, photographs and files: each is kept once, and never changes."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine

    def keep_circuit(self, name: str, content: str) -> str:
        """Keep a circuit file as it is now; its digest."""
        digest = digest_of(content)
        self._keep(circuits, {"digest": digest, "name": name, "text": content})
        return digest

    def circuit(self, digest: str) -> tuple[str, str]:
        """A kept circuit: its name and its text.

        Raises
        ------
        NotFoundError : none of that digest.
        """
        found = self._found(circuits, digest, "circuit", "choose the circuit again")
        return found["name"], found["text"]

    def keep_photo(self, photo: Photo) -> str:
        """Keep a photograph; its digest. The same picture twice is kept once."""
        self._keep(photos, vars(photo))
        return photo.digest

    def photo(self, digest: str) -> Photo:
        """A kept photograph.

        Raises
        ------
        NotFoundError : none of that digest.
        """
        return Photo(**self._found(photos, digest, "photograph", "take it again"))

    def keep_file(self, name: str, data: bytes) -> str:
        """Keep a file as it was sent; its digest. The same content twice is kept once."""
        digest = sha256(data).hexdigest()
        self._keep(files, {"digest": digest, "name": name, "data": data})
        return digest

    def file(self, digest: str) -> tuple[str, bytes]:
        """A kept file: its name and what is in it.

        Raises
        ------
        NotFoundError : none of that digest.
        """
        found = self._found(files, digest, "file", "send it again")
        return found["name"], found["data"]

    def settings(self) -> dict[str, Any]:
        """All that is set for the shop, by name."""
        with reading(self._engine) as connection:
            return {r.name: r.body for r in connection.execute(select(shop).order_by(shop.c.name))}

    def setting(self, name: str) -> Any:
        """What is set for the shop under a name; None if nothing is."""
        with reading(self._engine) as connection:
            return connection.execute(select(shop.c.body).where(shop.c.name == name)).scalar()

    def set_up(self, name: str, body: Any) -> None:
        """Set something for the shop, in place of what was there; None takes it away."""
        with writing(self._engine) as connection:
            connection.execute(delete(shop).where(shop.c.name == name))
            if body is not None:
                connection.execute(insert(shop).values(name=name, body=body))

    def _keep(self, table: Table, row: Mapping[str, Any]) -> None:
        with writing(self._engine) as connection:
            there = select(table.c.digest).where(table.c.digest == row["digest"])
            if connection.execute(there).first() is None:
                connection.execute(insert(table).values(dict(row)))

    def _found(self, table: Table, digest: str, what: str, hint: str) -> dict[str, Any]:
        with reading(self._engine) as connection:
            found = connection.execute(select(table).where(table.c.digest == digest)).first()
        if found is None:
            raise NotFoundError(f"the store has no such {what}", digest[:12], hint)
        return dict(found._mapping)
