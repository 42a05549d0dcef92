"""The symbols, drawn by us after IEC 60617: one block for every part."""

from loomwise.circuit.model import Circuit, Part
from loomwise.drawing.block import Block, Site, wire_ends
from loomwise.drawing.symbols.bodies import BODIES
from loomwise.drawing.symbols.boxes import box_block
from loomwise.drawing.symbols.coiled import COILED, coiled_block
from loomwise.drawing.symbols.inline import inline_block, potentiometer_block
from loomwise.drawing.symbols.joints import ground_block, splice_block
from loomwise.drawing.symbols.relay import relay_block
from loomwise.drawing.symbols.round import ROUND, round_block
from loomwise.drawing.symbols.supply import supply_block
from loomwise.drawing.symbols.switch import is_single_pole, switch_block
from loomwise.ways.heights import SUPPLIES, heights

__all__ = ["blocks_of"]


def blocks_of(circuit: Circuit) -> tuple[Block, ...]:
    """Every part's block, in file order."""
    site = Site(circuit, heights(circuit), wire_ends(circuit))
    return tuple(_part_block(part, site) for part in circuit.parts.values())


def _part_block(part: Part, site: Site) -> Block:
    """A kind that has no symbol of its own is a labelled box."""
    if part.kind == "splice":
        return splice_block(part, site)
    if part.kind == "ground":
        return ground_block(part, site)
    if part.kind in SUPPLIES:
        return supply_block(part, site)
    if part.kind == "relay":
        return relay_block(part, site)
    if is_single_pole(part):
        return switch_block(part, site)
    if part.kind in BODIES and len(part.pins) == 2:
        return inline_block(part, site)
    if part.kind in ROUND:
        return round_block(part, site)
    if part.kind == "potentiometer":
        return potentiometer_block(part, site)
    if part.kind in COILED:
        return coiled_block(part, site)
    return box_block(part, site)
