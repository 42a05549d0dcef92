"""A relay whose contact is the other one: closed at rest where it was drawn open, or vice versa."""

from collections.abc import Iterable

from loomwise.edits.algebra import Edit, Open, SetOhm

REVERSED = "reversed"
"""What the idle branch of a relay's exchanged contact is called after the contact's own name."""


CONTACTS = {"make": "87", "break": "87a"}
"""A relay's contacts and their pins (DIN 72552)."""


def exchanged_contacts(relay: str, pins: Iterable[str], contact_ohm: float) -> tuple[Edit, ...]:
    """The contacts that a relay with these pins has close where they were drawn to open."""
    words = [word for word, pin in CONTACTS.items() if pin in pins]
    return tuple(
        edit
        for word in words
        for edit in (
            Open(f"{relay}.{word}"),
            SetOhm(f"{relay}.{word} {REVERSED}", contact_ohm),
        )
    )
