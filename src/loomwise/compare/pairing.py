"""Two drawings with everything matched that can be: parts, pins, connectors, joints."""

from collections.abc import Mapping
from dataclasses import dataclass

from loomwise.circuit.model import Circuit
from loomwise.compare.drawing import Joints, joints, owner
from loomwise.compare.likeness import Graph
from loomwise.compare.matching import Matcher, match_pins
from loomwise.compare.plugs import Plugs, match_plugs

BATTERY, GROUND, PIN, SIDE = 4.0, 3.0, 1.1, 1.0
"""How much each kind of terminal holds its joint in place: what hangs on the battery's plus stays
"the feed" although most of it may have moved. Engineering judgement."""


@dataclass(frozen=True)
class Move:
    """A terminal of a that is joined to something else in b; joints by number."""

    terminal: str
    was: int
    now: int


@dataclass(frozen=True)
class Pairing:
    """What corresponds. ``terminals`` maps a's terminals to b's, ``back`` the other way.

    ``joint`` maps joints of a to joints of b, ``origin`` the other way.
    """

    a: Circuit
    b: Circuit
    parts: Mapping[str, str]
    terminals: Mapping[str, str]
    back: Mapping[str, str]
    plugs: Plugs
    in_a: Joints
    in_b: Joints
    joint: Mapping[int, int]
    origin: Mapping[int, int]

    def moves(self) -> tuple[Move, ...]:
        """Every terminal whose joint in b is not the one that its joint in a became."""
        found = []
        for t, u in self.terminals.items():
            was, now = self.in_a.of[t], self.in_b.of[u]
            if self.joint.get(was) != now:
                found.append(Move(t, was, now))
        return tuple(found)

    def here(self, joint: int) -> tuple[str, ...]:
        """The terminals of a joint of a that b has too."""
        return tuple(t for t in self.in_a.members[joint] if t in self.terminals)

    def there(self, joint: int) -> tuple[str, ...]:
        """The terminals of a joint of b, in a's names where a has them."""
        return tuple(self.back.get(u, u) for u in self.in_b.members[joint])


def pair(a: Circuit, b: Circuit) -> Pairing:
    """Match two drawings of one circuit, whatever their names."""
    matcher = Matcher(Graph(a), Graph(b))
    parts = matcher.run()
    terminals = dict(match_pins(matcher))
    plugs = match_plugs(a, b, terminals)
    for contact in plugs.contacts:
        terminals.update(plugs.sides(contact))
    in_a, in_b = joints(a, plugs.contacts), joints(b, plugs.contacts.values())
    joint = _joints(a, terminals, in_a, in_b)
    back = {u: t for t, u in terminals.items()}
    origin = {other: one for one, other in joint.items()}
    splices = _splices(a, b, terminals, in_a, in_b, joint)
    return Pairing(
        a, b, {**parts, **splices}, terminals, back, plugs, in_a, in_b, joint, origin
    )  # fmt: skip


def _joints(a: Circuit, terminals: Mapping[str, str], in_a: Joints, in_b: Joints) -> dict[int, int]:
    """Each joint of a becomes the joint of b that has most of it, one to one."""
    weight: dict[tuple[int, int], float] = {}
    for t, u in terminals.items():
        both = in_a.of[t], in_b.of[u]
        weight[both] = weight.get(both, 0.0) + _weight(a, t)
    found: dict[int, int] = {}
    for (one, other), _ in sorted(weight.items(), key=lambda item: (-item[1], item[0])):
        if one not in found and other not in found.values():
            found[one] = other
    return found


def _weight(circuit: Circuit, terminal: str) -> float:
    part = circuit.parts.get(owner(terminal))
    if part is None:
        return SIDE
    return {"battery": BATTERY, "ground": GROUND}.get(part.kind, PIN)


def _splices(
    a: Circuit, b: Circuit, terminals: Mapping[str, str], in_a: Joints, in_b: Joints,
    joint: Mapping[int, int],
) -> dict[str, str]:  # fmt: skip
    """Splices last: those of one joint, by the terminals at their legs, then by their order."""
    found: dict[str, str] = {}
    for one, other in joint.items():
        ranked = [
            (-_shared(a, b, terminals, s, t), s != t, s, t)
            for s in in_a.splices[one]
            for t in in_b.splices[other]
        ]
        for *_, s, t in sorted(ranked):
            if s not in found and t not in found.values():
                found[s] = t
    return found


def _shared(a: Circuit, b: Circuit, terminals: Mapping[str, str], s: str, t: str) -> int:
    far = _next_to(b, t)
    return sum(terminals.get(n) in far for n in _next_to(a, s))


def _next_to(circuit: Circuit, splice: str) -> set[str]:
    """The places one wire away from a splice; a ground point as a whole."""
    near = set()
    for segment in circuit.segments.values():
        for here, there in ((segment.a, segment.b), (segment.b, segment.a)):
            if owner(here) == splice:
                part = circuit.parts.get(owner(there))
                near.add(part.id if part and part.kind == "ground" else there)
    return near
