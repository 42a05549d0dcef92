"""Wires from part to part: what they pass on the way stands in one column.

A chain is everything between two parts: wires, contacts, leads inside units. Its contacts and the
sleeves with the wires' letters make one tall block, so that the plugs of a loom stand in a row and
the sheet stays short. A lead that passes nothing is a bare line.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from loomwise.circuit.model import Circuit, Segment
from loomwise.drawing.shapes import PLAIN, text_width

SLEEVE_HEIGHT, CONTACT_HEIGHT, GAP = 27.0, 18.0, 8.0
"""Room for two lines on a wire, for a contact, and between them."""
SLEEVE_LEAST = len("-12.65 V")
CUP = 5.5


@dataclass(frozen=True)
class Item:
    """A contact, or the sleeve of a wire; ``y`` is its upper edge in the column."""

    segment: Segment
    y: float
    height: float
    width: float


@dataclass(frozen=True)
class Chain:
    """Segments from the upper end to the lower one. ``ends`` are places; of parts, unless bare."""

    segments: tuple[Segment, ...]
    ends: tuple[str, str]
    items: tuple[Item, ...]

    @property
    def id(self) -> str:
        """Its name in the layout."""
        return f"chain {self.segments[0].id}"

    @property
    def height(self) -> float:
        """From the upper edge of the column to the lower one."""
        return self.items[-1].y + self.items[-1].height + GAP / 2

    @property
    def axis(self) -> float:
        """Where the wire runs, from the left edge of the column."""
        return max(i.width / 2 for i in self.items) if self._sleeves else CUP + 1

    @property
    def width(self) -> float:
        """Sleeves lie across the wire, the names of contacts to its right."""
        right = [CUP + 4 + i.width for i in self.items if i.segment.kind == "contact"]
        return self.axis + max([self.axis if self._sleeves else 0.0, *right])

    @property
    def _sleeves(self) -> bool:
        return any(i.segment.kind == "wire" for i in self.items)


def sleeve_text(segment: Segment) -> str:
    """What is written on a wire: its colour and its size in mm²; leads inside a unit have none."""
    if segment.kind != "wire":
        return ""
    size = f"{segment.area_mm2:.3g}" if segment.area_mm2 else ""
    return f"{segment.colour} {size}".strip()


def chains_of(circuit: Circuit, heights: Mapping[str, float]) -> tuple[Chain, ...]:
    """Every segment of the circuit in one chain, each chain from above to below."""
    at: dict[str, list[Segment]] = {}
    for segment in circuit.segments.values():
        at.setdefault(segment.a, []).append(segment)
        at.setdefault(segment.b, []).append(segment)
    done: set[str] = set()
    chains = []
    for segment in circuit.segments.values():
        if segment.id not in done:
            found, ends = _whole(segment, at, circuit)
            done |= {s.id for s in found}
            if heights[ends[0]] > heights[ends[1]]:
                found, ends = found[::-1], ends[::-1]
            chains.append(Chain(tuple(found), ends, tuple(_items(found))))
    return tuple(chains)


def _whole(
    segment: Segment, at: Mapping[str, list[Segment]], circuit: Circuit
) -> tuple[list[Segment], tuple[str, str]]:
    """The segments of the chain around one of them, in order, and the places at its ends."""
    before = list(_onwards(segment, segment.a, at, circuit))
    after = list(_onwards(segment, segment.b, at, circuit))
    first = before[-1][1] if before else segment.a
    last = after[-1][1] if after else segment.b
    return [*(s for s, _ in reversed(before)), segment, *(s for s, _ in after)], (first, last)


def _onwards(
    segment: Segment, place: str, at: Mapping[str, list[Segment]], circuit: Circuit
) -> Iterator[tuple[Segment, str]]:
    """The segments beyond ``place``, each with its far end, up to the next part."""
    while circuit.places[place].side:
        following = next((s for s in at[place] if s.id != segment.id), None)
        if following is None:
            return
        segment = following
        place = segment.b if segment.a == place else segment.a
        yield segment, place


def _items(segments: list[Segment]) -> Iterator[Item]:
    y = GAP / 2
    for segment in segments:
        if segment.kind == "contact":
            item = Item(segment, y, CONTACT_HEIGHT, text_width(segment.id, PLAIN))
        elif sleeve_text(segment):
            letters = max(len(sleeve_text(segment)), SLEEVE_LEAST)
            item = Item(segment, y, SLEEVE_HEIGHT, text_width("0" * letters, PLAIN) + 8)
        else:
            continue
        yield item
        y += item.height + GAP
