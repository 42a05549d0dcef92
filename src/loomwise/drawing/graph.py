"""A circuit as a graph for the layout library."""

from collections.abc import Mapping
from typing import Any

from loomwise.circuit.model import Circuit
from loomwise.drawing.block import Block, Port
from loomwise.drawing.chains import Chain, chains_of
from loomwise.drawing.shapes import Point
from loomwise.drawing.symbols import blocks_of
from loomwise.ways.heights import heights

Graph = dict[str, Any]

# Of the placements tried on the shelf's circuits this one has the fewest bends (a third of those of
# NETWORK_SIMPLEX) at the same number of crossings.
OPTIONS = {
    "elk.algorithm": "layered",
    "elk.direction": "DOWN",
    "elk.edgeRouting": "ORTHOGONAL",
    "elk.randomSeed": "1",
    "elk.layered.thoroughness": "20",
    "elk.layered.nodePlacement.favorStraightEdges": "true",
    "elk.layered.nodePlacement.strategy": "BRANDES_KOEPF",
    "elk.layered.nodePlacement.bk.fixedAlignment": "NONE",
    "elk.spacing.nodeNode": "20",
    "elk.spacing.edgeNode": "14",
    "elk.spacing.edgeEdge": "14",
    "elk.spacing.portPort": "18",
    "elk.spacing.labelNode": "4",
    "elk.layered.spacing.nodeNodeBetweenLayers": "12",
    "elk.layered.spacing.edgeNodeBetweenLayers": "8",
    "elk.layered.spacing.edgeEdgeBetweenLayers": "12",
    "elk.padding": "[top=0,left=0,bottom=0,right=0]",
}
AS_STANDING = {
    f"elk.layered.{step}.strategy": "INTERACTIVE"
    for step in ("cycleBreaking", "layering", "crossingMinimization")
}
"""Rows and their order are read from where things stand."""
ROW = "elk.layered.layering.layerConstraint"
LAYER = {"first": "FIRST", "last": "LAST"}
SIDE = {"top": "NORTH", "bottom": "SOUTH"}
BESIDE = "[H_RIGHT, V_CENTER, OUTSIDE]"
UPPER, LOWER = "upper", "lower"
"""Ports of a chain's column."""


def layout_graph(circuit: Circuit) -> Graph:
    """The graph to lay out: a node for each block and column, a port for each wire end.

    Nothing is said about where things are; see ``moved_graph``.
    """
    blocks, chains = blocks_of(circuit), chains_of(circuit, heights(circuit))
    ports = {port.id: port for block in blocks for port in block.ports}
    children = [_block_node(block) for block in blocks]
    children += [_column_node(chain) for chain in chains if chain.items]
    return {
        "id": "sheet",
        "layoutOptions": dict(OPTIONS),
        "children": children,
        "edges": [edge for chain in chains for edge in _edges(chain, ports)],
    }


def moved_graph(graph: Graph, placed: Graph, moved: Mapping[str, Point]) -> Graph:
    """The graph again, with some symbols moved from where they were placed.

    What was moved comes to the row and the order along it that it was moved to, and room is made:
    the library still sees to it that nothing lies on anything else. Feeds stay in the first row
    and grounds in the last one. Along a row the middles of their wires are compared, so that a
    broad symbol need not be dragged further than a narrow one; at the left edge it comes first.
    """
    middle = {node["id"]: _middle(node) for node in graph["children"]}
    spots = {n["id"]: (n["x"] + middle[n["id"]], n["y"]) for n in placed["children"]}
    rows = {node["id"]: node["layoutOptions"].get(ROW, "") for node in graph["children"]}
    for name, (x, y) in moved.items():
        down = spots[name][1] if rows[name] else _between_rows(y, spots, rows)
        spots[name] = (x + middle[name] if x > 0 else -1.0, down)
    children = [
        {**node, "x": spots[node["id"]][0], "y": spots[node["id"]][1]} for node in graph["children"]
    ]
    return {**graph, "layoutOptions": graph["layoutOptions"] | AS_STANDING, "children": children}


def _middle(node: Graph) -> float:
    """The middle of a node's wires from its left edge, or its own where they are spread over it."""
    xs = [port["x"] for port in node["ports"] if "x" in port]
    return float(sum(xs) / len(xs) if xs else node["width"] / 2)


def _between_rows(y: float, spots: Mapping[str, Point], rows: Mapping[str, str]) -> float:
    """A height below the row of the feeds and above that of the grounds."""
    first = [spots[name][1] + 1 for name, row in rows.items() if row == LAYER["first"]]
    last = [spots[name][1] - 1 for name, row in rows.items() if row == LAYER["last"]]
    return min(max([y, *first]), *last) if last else max([y, *first])


def _block_node(block: Block) -> Graph:
    free = any(port.x is None for port in block.ports)
    options = {"elk.portConstraints": "FIXED_SIDE" if free else "FIXED_POS"}
    if free:
        options |= {
            "elk.portAlignment.default": "CENTER",
            "elk.spacing.individual": f"elk.spacing.portPort:{block.pitch:.0f}",
        }
    if block.rank:
        options[ROW] = LAYER[block.rank]
    node: Graph = {
        "id": block.id,
        "width": block.width,
        "height": block.height,
        "layoutOptions": options,
        "ports": [_port(port.id, port.side, port.x, block.height) for port in block.ports],
    }
    if block.beside:
        options["elk.nodeLabels.placement"] = BESIDE
        node["labels"] = [{"text": block.id, "width": block.beside, "height": 1}]
    return node


def _column_node(chain: Chain) -> Graph:
    ports = [
        _port(f"{chain.id} {end}", side, chain.axis, chain.height)
        for end, side in ((UPPER, "top"), (LOWER, "bottom"))
    ]
    return {
        "id": chain.id,
        "width": chain.width,
        "height": chain.height,
        "layoutOptions": {"elk.portConstraints": "FIXED_POS"},
        "ports": ports,
    }


def _port(name: str, side: str, x: float | None, height: float) -> Graph:
    spot = {} if x is None else {"x": x}
    y = 0.0 if side == "top" else height
    options = {"elk.port.side": SIDE[side]}
    return {"id": name, "width": 0, "height": 0, "y": y, **spot, "layoutOptions": options}


def edge_ids(chain: Chain) -> tuple[str, ...]:
    """The edges of a chain from above to below: one, or one on each side of its column.

    A bare contact has no edge beyond it.
    """
    if not chain.items:
        return (chain.id,)
    names = (f"{chain.id} {UPPER}", f"{chain.id} {LOWER}")
    bare = (_is_bare(chain, 0), _is_bare(chain, -1))
    return tuple(name for name, ends in zip(names, bare, strict=True) if not ends)


def _is_bare(chain: Chain, end: int) -> bool:
    return chain.segments[end].kind == "contact"


def _edges(chain: Chain, ports: Mapping[str, Port]) -> list[Graph]:
    ends = [
        f"{place}@{segment.id}"
        for place, segment in zip(chain.ends, (chain.segments[0], chain.segments[-1]), strict=True)
    ]
    edges: list[Graph] = []
    for name in edge_ids(chain):
        pair = _pair(chain, name, ends)
        if not chain.items and ports[ends[0]].side == "top" and ports[ends[1]].side == "bottom":
            pair.reverse()
        edges.append({"id": name, "sources": [pair[0]], "targets": [pair[1]]})
    return edges


def _pair(chain: Chain, name: str, ends: list[str]) -> list[str]:
    if not chain.items:
        return list(ends)
    if name.endswith(UPPER):
        return [ends[0], f"{chain.id} {UPPER}"]
    return [f"{chain.id} {LOWER}", ends[1]]
