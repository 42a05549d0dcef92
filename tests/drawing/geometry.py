"""Measures a drawing by its SVG text: what lies where, and what must not touch.

Nothing of the program is asked: every line, box and letter is read back from the file.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import combinations, pairwise
from xml.etree import ElementTree

NAME = "{http://www.w3.org/2000/svg}"
ADVANCE = 1233 / 2048
"""Width of a character of DejaVu Sans Mono in ems (its hmtx table)."""
ASCENT, DESCENT = 0.74, 0.16
"""Of capitals and digits with a little air, of q and p; DejaVu Sans Mono, measured."""
LEAST_GAP = 5.0
"""Two wires side by side are at least so far apart, so that they do not read as one."""

Box = tuple[float, float, float, float]
"""left, top, right, bottom"""
Point = tuple[float, float]
Straight = tuple[Point, Point]


@dataclass
class Model:
    """What was read: texts and the boxes of symbols by whose they are, wires by their name."""

    canvas: Box = (0, 0, 0, 0)
    texts: list[tuple[str, Box]] = field(default_factory=list)
    wires: dict[str, list[tuple[Point, ...]]] = field(default_factory=dict)
    symbols: dict[str, Box] = field(default_factory=dict)
    symbol_lines: list[tuple[str, Straight]] = field(default_factory=list)
    places: dict[str, list[Box]] = field(default_factory=dict)
    outlines: dict[str, Box] = field(default_factory=dict)

    def straights(self, wire: str) -> Iterator[Straight]:
        """The straight pieces of a wire."""
        for line in self.wires[wire]:
            yield from pairwise(line)


def read(svg: str) -> Model:
    """The model of a drawing."""
    root = ElementTree.fromstring(svg)
    width, height = (float(word) for word in root.attrib["viewBox"].split()[2:])
    model = Model(canvas=(0, 0, width, height))
    _walk(root, (0.0, 0.0), "", "", model)
    return model


def _walk(node: ElementTree.Element, shift: Point, kind: str, name: str, model: Model) -> None:
    for child in node:
        dx, dy = _shift(child)
        at = shift[0] + dx, shift[1] + dy
        data = [v for k, v in child.attrib.items() if k.startswith("data-")]
        here, called = child.get("class", kind), data[0] if data else name
        tag = child.tag.removeprefix(NAME)
        if tag == "text":
            model.texts.append((child.text or "", _text_box(child, at)))
        elif here == "wire" and tag == "path":
            points = _points(child.attrib["d"], at)
            if points not in model.wires.setdefault(called, []):
                model.wires[called].append(points)
        elif here in ("part", "contact") and tag == "path" and "A" not in child.attrib["d"]:
            model.symbol_lines += [(called, s) for s in pairwise(_points(child.attrib["d"], at))]
        elif tag == "rect" and child.get("data-place"):
            model.places.setdefault(called, []).append(_rect(child, at))
        elif tag == "rect" and child.get("data-part"):
            model.symbols[called] = _rect(child, at)
        if here == "unit" and tag == "rect":
            model.outlines[called] = _rect(child, at)
        if here == "contact" and tag == "rect":
            model.symbols[called] = _rect(child, at)
        _walk(child, at, here, called, model)


def _shift(node: ElementTree.Element) -> Point:
    found = re.fullmatch(r"translate\((\S+) (\S+)\)", node.get("transform", ""))
    assert found or not node.get("transform"), node.attrib
    return (float(found[1]), float(found[2])) if found else (0.0, 0.0)


def _points(path: str, at: Point) -> tuple[Point, ...]:
    numbers = [float(word) for word in re.findall(r"-?[0-9.]+", path)]
    return tuple((x + at[0], y + at[1]) for x, y in zip(numbers[::2], numbers[1::2], strict=True))


def _rect(node: ElementTree.Element, at: Point) -> Box:
    x, y, width, height = (float(node.get(k, 0)) for k in ("x", "y", "width", "height"))
    return x + at[0], y + at[1], x + width + at[0], y + height + at[1]


def _text_box(node: ElementTree.Element, at: Point) -> Box:
    size = float(node.attrib["font-size"])
    width = len(node.text or "") * ADVANCE * size
    left = {"start": 0.0, "middle": -width / 2, "end": -width}[node.get("text-anchor", "start")]
    x, y = float(node.attrib["x"]) + at[0] + left, float(node.attrib["y"]) + at[1]
    return x, y - ASCENT * size, x + width, y + DESCENT * size


def problems(svg: str) -> list[str]:
    """Everything that must not be on a drawing, in words."""
    model = read(svg)
    assert model.wires and model.symbols and model.texts and model.places
    return [
        *_texts_on_texts(model),
        *_wires_through_texts(model),
        *_lines_through_texts(model),
        *_wires_through_symbols(model),
        *_symbols_on_symbols(model),
        *_false_joints(model),
        *_outlines(model),
        *_outside(model),
    ]


def _texts_on_texts(model: Model) -> Iterator[str]:
    for (a, box), (b, other) in combinations(model.texts, 2):
        if _overlap(box, other):
            yield f"text '{a}' lies on text '{b}'"


def _wires_through_texts(model: Model) -> Iterator[str]:
    for wire in model.wires:
        for straight in model.straights(wire):
            for text, box in model.texts:
                if _meets(straight, box, 0.5):
                    yield f"wire {wire} runs through text '{text}'"


def _lines_through_texts(model: Model) -> Iterator[str]:
    for name, straight in model.symbol_lines:
        for text, box in model.texts:
            if _meets(straight, box, -0.2):
                yield f"a line of {name} runs through text '{text}'"


def _wires_through_symbols(model: Model) -> Iterator[str]:
    for wire in model.wires:
        for straight in model.straights(wire):
            for name, box in model.symbols.items():
                if _meets(straight, box, 1.0):
                    yield f"wire {wire} runs through the symbol of {name}"


def _symbols_on_symbols(model: Model) -> Iterator[str]:
    for (a, box), (b, other) in combinations(model.symbols.items(), 2):
        if _overlap(box, other):
            yield f"the symbol of {a} lies on that of {b}"
    for name, box in model.symbols.items():
        for text, other in model.texts:
            inside = box[0] <= other[0] and other[2] <= box[2]
            if _overlap(box, other) and not inside:
                yield f"text '{text}' hangs over the edge of {name}"


def _false_joints(model: Model) -> Iterator[str]:
    """Two wires may cross; they may not touch, nor run on or hard beside each other."""
    for a, b in combinations(model.wires, 2):
        for one in model.straights(a):
            for two in model.straights(b):
                if _level(one) == _level(two):
                    if _beside(one, two):
                        yield f"wires {a} and {b} run as one near {one[0]}"
                elif _touch(one, two):
                    yield f"wires {a} and {b} seem joined near {one[0]}"


def _outlines(model: Model) -> Iterator[str]:
    """An outline cuts no text and no symbol, and is not taken for a wire."""
    for unit, (left, top, right, bottom) in model.outlines.items():
        a, b, c, d = (left, top), (right, top), (right, bottom), (left, bottom)
        for edge in ((a, b), (b, c), (c, d), (d, a)):
            for name, box in (*model.texts, *model.symbols.items()):
                if _meets(edge, box, 0.0):
                    yield f"the outline of {unit} cuts '{name}'"
            for wire in model.wires:
                for straight in model.straights(wire):
                    if _level(straight) == _level(edge) and _beside(straight, edge):
                        yield f"the outline of {unit} runs along wire {wire}"


def _outside(model: Model) -> Iterator[str]:
    left, top, right, bottom = model.canvas
    corners = [(name, box) for name, box in model.texts]
    corners += [
        (wire, (x, y, x, y)) for wire, lines in model.wires.items() for p in lines for x, y in p
    ]
    for name, box in [*corners, *model.symbols.items(), *model.outlines.items()]:
        if box[0] < left or box[1] < top or box[2] > right or box[3] > bottom:
            yield f"'{name}' leaves the canvas"


def _overlap(a: Box, b: Box, slack: float = 0.3) -> bool:
    across = min(a[2], b[2]) - max(a[0], b[0])
    down = min(a[3], b[3]) - max(a[1], b[1])
    return across > slack and down > slack


def _meets(straight: Straight, box: Box, grown: float) -> bool:
    """Whether a straight of any slope comes into a box that is grown on all sides."""
    (x, y), (dx, dy) = (
        straight[0],
        (straight[1][0] - straight[0][0], straight[1][1] - straight[0][1]),
    )
    left, top, right, bottom = box[0] - grown, box[1] - grown, box[2] + grown, box[3] + grown
    enter, leave = 0.0, 1.0
    for start, step, low, high in ((x, dx, left, right), (y, dy, top, bottom)):
        if abs(step) < 1e-9:
            if not low < start < high:
                return False
            continue
        near, far = sorted(((low - start) / step, (high - start) / step))
        enter, leave = max(enter, near), min(leave, far)
    return enter < leave


def _level(straight: Straight) -> bool:
    (ax, ay), (bx, by) = straight
    assert abs(ax - bx) < 0.2 or abs(ay - by) < 0.2, f"a wire runs aslant: {straight}"
    return abs(ay - by) < abs(ax - bx)


def _beside(one: Straight, two: Straight) -> bool:
    along, across = (0, 1) if _level(one) else (1, 0)
    apart = abs(one[0][across] - two[0][across])
    a, b = sorted((one[0][along], one[1][along])), sorted((two[0][along], two[1][along]))
    return apart < LEAST_GAP and min(a[1], b[1]) - max(a[0], b[0]) > -LEAST_GAP


def _touch(one: Straight, two: Straight) -> bool:
    """Whether they meet where one of them ends or bends: a crossing has both running on."""
    flat, steep = (one, two) if _level(one) else (two, one)
    x, y = steep[0][0], flat[0][1]
    left, right = sorted((flat[0][0], flat[1][0]))
    top, bottom = sorted((steep[0][1], steep[1][1]))
    near = LEAST_GAP / 2
    meet = left - near < x < right + near and top - near < y < bottom + near
    runs_on = left + near < x < right - near and top + near < y < bottom - near
    return meet and not runs_on


def loose_ends(svg: str, ends: dict[str, tuple[str, str]]) -> list[str]:
    """Wires that do not come to the two places they should, by the places' hit areas."""
    model = read(svg)
    wrong = []
    for wire, (a, b) in ends.items():
        tips = [p for line in model.wires[wire] for p in (line[0], line[-1])]
        for place in (a, b):
            boxes = model.places[place]
            if not any(_within(tip, box) for tip in tips for box in boxes):
                wrong.append(f"wire {wire} does not come to {place}")
    return wrong


def _within(point: Point, box: Box) -> bool:
    return box[0] <= point[0] <= box[2] and box[1] - 0.1 <= point[1] <= box[3] + 0.1
