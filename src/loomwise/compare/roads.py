"""Where conductors lead from a place: wires, mated contacts, the legs of splices and grounds."""

from collections import deque
from collections.abc import Collection, Iterator

from loomwise.circuit.model import Circuit, Segment
from loomwise.compare.drawing import owner


def far_end(wire: Segment, place: str) -> str:
    """The other end of a wire."""
    return wire.b if wire.a == place else wire.a


def reach(circuit: Circuit, start: str, cut: Collection[str] = ()) -> dict[str, str]:
    """Every place joined to ``start``, with the first branch (by the solver's name) of the
    shortest road to it. ``cut`` names branches that are parted; the body is no road."""
    first = {start: ""}
    todo = deque([start])
    while todo:
        here = todo.popleft()
        for branch, there in _roads(circuit, here):
            if branch not in cut and there not in first:
                first[there] = first[here] or branch
                todo.append(there)
    return first


def _roads(circuit: Circuit, here: str) -> Iterator[tuple[str, str]]:
    for s in circuit.segments.values():
        if here in (s.a, s.b):
            yield s.id, far_end(s, here)
    name = here.partition("#")[0]
    part = circuit.parts.get(owner(name))
    if part is None or part.kind not in ("splice", "ground"):
        return
    if here.endswith("#joint"):
        yield from ((f"{part.id}.{pin}", f"{part.id}.{pin}") for pin in part.pins)
    else:
        yield here, f"{part.id}#joint"
