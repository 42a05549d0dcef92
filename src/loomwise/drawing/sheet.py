"""The layout's answer, put beside the blocks and wires it is about."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from loomwise.circuit.model import Circuit, Segment
from loomwise.drawing.block import Block, Port
from loomwise.drawing.chains import Chain, Item, chains_of
from loomwise.drawing.graph import Graph, edge_ids
from loomwise.drawing.shapes import Point
from loomwise.drawing.symbols import blocks_of
from loomwise.ways.heights import heights

Rect = tuple[float, float, float, float]
"""x, y, width, height."""


@dataclass(frozen=True)
class Standing:
    """A block on the sheet: its left upper corner, and where its ports stand along it."""

    block: Block
    x: float
    y: float
    ports: Mapping[str, float]

    def point(self, port: Port) -> Point:
        """Where a port is on the sheet."""
        down = 0.0 if port.side == "top" else self.block.height
        return self.x + self.ports[port.id], self.y + down


@dataclass(frozen=True)
class Contact:
    """A mated contact on the sheet: the middle of its upper edge, and which side is above."""

    segment: Segment
    x: float
    y: float
    upper: str
    lower: str


@dataclass(frozen=True)
class Run:
    """A wire on the sheet: its bends from end to end, and the room for its sleeve."""

    segment: Segment
    points: tuple[Point, ...]
    sleeve: Rect | None = None

    def pieces(self, sleeve_height: float) -> list[tuple[Point, ...]]:
        """The wire as far as it is seen: its sleeve, so high, interrupts it."""
        if self.sleeve is None:
            return [self.points]
        x, y, width, height = self.sleeve
        axis, middle = x + width / 2, y + height / 2
        above, below = middle - sleeve_height / 2, middle + sleeve_height / 2
        at = next(
            n for n, (a, b) in enumerate(pairwise(self.points))
            if abs(a[0] - axis) < 0.1 and a[1] <= above and b[1] >= below
        )  # fmt: skip
        head, tail = self.points[: at + 1], self.points[at + 1 :]
        return [(*head, (axis, above)), ((axis, below), *tail)]


@dataclass(frozen=True)
class Sheet:
    """Everything of a circuit in its place. ``letters`` stand where it was cut in parts."""

    circuit: Circuit
    width: float
    height: float
    blocks: tuple[Standing, ...]
    contacts: tuple[Contact, ...]
    runs: tuple[Run, ...]
    letters: tuple[tuple[Point, str], ...] = ()


def read_layout(circuit: Circuit, placed: Graph) -> Sheet:
    """The sheet of a circuit whose graph was laid out."""
    nodes = {node["id"]: node for node in placed["children"]}
    edges = {edge["id"]: _corners(edge) for edge in placed["edges"]}
    blocks = tuple(_standing(block, nodes[block.id]) for block in blocks_of(circuit))
    contacts: list[Contact] = []
    runs: list[Run] = []
    for chain in chains_of(circuit, heights(circuit)):
        if not chain.items:
            runs += [Run(s, edges[chain.id]) for s in chain.segments]
            continue
        x, y = nodes[chain.id]["x"] + chain.axis, nodes[chain.id]["y"]
        contacts += _contacts(chain, x, y)
        runs += _runs(chain, x, y, edges)
    return Sheet(circuit, placed["width"], placed["height"], blocks, tuple(contacts), tuple(runs))


def _standing(block: Block, node: Graph) -> Standing:
    ports = {port["id"]: float(port["x"]) for port in node["ports"]}
    return Standing(block, float(node["x"]), float(node["y"]), ports)


def _corners(edge: Graph) -> tuple[Point, ...]:
    """The corners of an edge from above to below."""
    section = edge["sections"][0]
    corners = [section["startPoint"], *section.get("bendPoints", ()), section["endPoint"]]
    return tuple((float(p["x"]), float(p["y"])) for p in corners)


def _contacts(chain: Chain, x: float, y: float) -> Iterator[Contact]:
    above = chain.ends[0]
    stand = {item.segment.id: item for item in chain.items}
    for segment in chain.segments:
        below = segment.b if segment.a == above else segment.a
        if segment.kind == "contact":
            yield Contact(segment, x, y + stand[segment.id].y, above, below)
        above = below


def _runs(
    chain: Chain, x: float, y: float, edges: Mapping[str, tuple[Point, ...]]
) -> Iterator[Run]:
    """Between two contacts a wire is straight; at the ends of the column it goes on as an edge."""
    names = edge_ids(chain)
    upper = next((edges[n] for n in names if n.endswith("upper")), ())
    lower = next((edges[n] for n in names if n.endswith("lower")), ())
    stand = {item.segment.id: item for item in chain.items}
    top, bottom = y, y + chain.height
    for n, segment in enumerate(chain.segments):
        if segment.kind == "contact":
            continue
        last = n == len(chain.segments) - 1
        start = top if n == 0 else _lower_edge(stand[chain.segments[n - 1].id], y)
        end = bottom if last else y + stand[chain.segments[n + 1].id].y
        points = [*(upper if n == 0 else ()), (x, start), (x, end), *(lower if last else ())]
        yield Run(segment, tuple(_straight(points)), _sleeve(stand.get(segment.id), x, y))


def _lower_edge(item: Item, y: float) -> float:
    return y + item.y + item.height


def _sleeve(item: Item | None, x: float, y: float) -> Rect | None:
    if item is None:
        return None
    return x - item.width / 2, y + item.y, item.width, item.height


def _straight(points: Iterable[Point]) -> Iterator[Point]:
    """The points without those that are no bend."""
    kept: list[Point] = []
    for point in points:
        if len(kept) > 1 and _in_line(kept[-2], kept[-1], point):
            kept[-1] = point
        elif not kept or point != kept[-1]:
            kept.append(point)
    yield from kept


def _in_line(a: Point, b: Point, c: Point) -> bool:
    return any(abs(a[k] - b[k]) < 0.05 and abs(b[k] - c[k]) < 0.05 for k in (0, 1))
