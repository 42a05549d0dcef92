"""The drawing of a circuit: symbols and wires as SVG text, without any input or output.

``layout_graph`` makes the graph that a layout library puts in place, ``moved_graph`` the one with
symbols moved by hand; ``read_layout`` reads the answer, ``draw`` writes the picture. ``part_of``
leaves only what concerns one load; ``slices`` cuts a tall sheet in parts for paper.
"""

from loomwise.drawing.graph import Graph, layout_graph, moved_graph
from loomwise.drawing.looks import looks_of
from loomwise.drawing.marks import Marks
from loomwise.drawing.picture import Caption, draw
from loomwise.drawing.selection import part_of
from loomwise.drawing.sheet import Sheet, read_layout
from loomwise.drawing.slices import slices
from loomwise.drawing.views import Solved, View, ViewName

__all__ = [
    "Caption",
    "Graph",
    "Marks",
    "Sheet",
    "Solved",
    "View",
    "ViewName",
    "draw",
    "layout_graph",
    "looks_of",
    "moved_graph",
    "part_of",
    "read_layout",
    "slices",
]
