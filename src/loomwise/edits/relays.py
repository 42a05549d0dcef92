"""A relay whose contact is the other one: closed at rest where it was drawn open, or vice versa."""

from collections.abc import Iterable

from loomwise.edits.algebra import Edit, Open, SetOhm

REVERSED = "reversed"
"""What the idle branch of a relay's exchanged contact is called after the contact's own name."""


def exchanged_contacts(relay: str, words: Iterable[str], contact_ohm: float) -> tuple[Edit, ...]:
    """The contacts ``words`` ("make", "break") of a relay close where they were drawn to open."""
    return tuple(
        edit
        for word in words
        for edit in (
            Open(f"{relay}.{word}"),
            SetOhm(f"{relay}.{word} {REVERSED}", contact_ohm),
        )
    )
