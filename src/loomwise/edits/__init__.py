"""One algebra for everything that departs from the drawn circuit.

A fault, a setup's undoing, an instrument, a repair and a structural drawing doubt are all tuples of
these frozen edits; a composition has one canonical key, whatever the order it was written in.
"""

from loomwise.edits.algebra import (
    AddOhm,
    Bridge,
    BridgeLamp,
    Ease,
    Edit,
    Hold,
    Limit,
    Open,
    Scale,
    SetEmf,
    SetOhm,
    canonical,
    key,
)
from loomwise.edits.relays import exchanged_contacts

__all__ = [
    "AddOhm",
    "Bridge",
    "BridgeLamp",
    "Ease",
    "Edit",
    "Hold",
    "Limit",
    "Open",
    "Scale",
    "SetEmf",
    "SetOhm",
    "canonical",
    "exchanged_contacts",
    "key",
]
