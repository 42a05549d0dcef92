"""How alike two parts of two drawings are, whatever they are called.

Every part gets a signature of what its pins are joined to, and that signature goes into those of
its neighbours in the next round (the refinement of Weisfeiler and Lehman, here kept as a measure
of likeness instead of a test). A change somewhere then costs a little nearby, and nothing far off.
"""

from collections import Counter
from collections.abc import Iterable, Mapping

from loomwise.circuit.model import Circuit, Part
from loomwise.compare.drawing import Joints, joints, owner, place_of, runs, terminals

ROUNDS = 3
VALUES, NAME, HOME, LOOKS = 0.7, 0.15, 0.2, 0.4
"""Weight of equal values, and of hints, against 1 for a round of signatures. Engineering
judgement: a name is the weakest hint, as another draughtsman numbers anew."""
SPREAD = 0.5
"""How much of a hint a neighbour gets in each round."""
FEW = 8
"""On a joint of more pins than this (a feed, a ground) neighbours say little of each other."""

Scores = dict[tuple[str, str], float]
Features = Mapping[str, Counter[object]]


class Graph:
    """One drawing with its plugs mated: parts, their terminals with roles, and joints."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        self.parts = {p.id: p for p in circuit.parts.values() if p.kind != "splice"}
        self.roles = {p: terminals(part) for p, part in self.parts.items()}
        self.joints: Joints = joints(circuit)
        self.runs = runs(circuit)
        self.role_of = {t: r for roles in self.roles.values() for t, r in roles.items()}

    def neighbours(self, part: str) -> set[str]:
        """The parts that share a joint with a part."""
        found = {owner(t) for own in self.roles[part] for t in self.joints.others(own)}
        return found - {part}


def _features(graph: Graph, labels: Mapping[str, int], part: str) -> dict[str, Counter[object]]:
    """For each role of a part, what is joined to pins of that role."""
    found: dict[str, Counter[object]] = {}
    for terminal, role in graph.roles[part].items():
        seen = ((graph.role_of[t], labels[owner(t)]) for t in graph.joints.others(terminal))
        found.setdefault(role, Counter()).update(seen)
    return found


def _refined(
    graph: Graph, labels: Mapping[str, int], known: dict[object, int]
) -> tuple[dict[str, Features], dict[str, int]]:
    features = {p: _features(graph, labels, p) for p in graph.parts}
    fresh = {}
    for part, found in features.items():
        seen = frozenset((role, frozenset(c.items())) for role, c in found.items())
        fresh[part] = known.setdefault((labels[part], seen), len(known))
    return dict(features), fresh


def likeness(a: Graph, b: Graph) -> Scores:
    """A score for every pair of parts of one kind; more is more alike."""
    pairs = [(p, q) for p in a.parts for q in b.parts if a.parts[p].kind == b.parts[q].kind]
    score = _spread(a, b, {(p, q): _plain(a, b, p, q) for p, q in pairs})
    known: dict[object, int] = {}
    labels = [
        {p: known.setdefault(part.kind, len(known)) for p, part in g.parts.items()} for g in (a, b)
    ]
    for _ in range(ROUNDS):
        (in_a, labels[0]), (in_b, labels[1]) = (
            _refined(g, labels[i], known) for i, g in enumerate((a, b))
        )
        for p, q in pairs:
            score[p, q] += _overlap(in_a[p], in_b[q])
    return score


def _spread(a: Graph, b: Graph, hints: Scores) -> Scores:
    """Hints also speak for the neighbours: the fuse of the left lamp is known by that lamp."""
    score = hints
    for _ in range(ROUNDS):
        before = score
        score = {}
        for (p, q), own in hints.items():
            near = [
                max((_best(a, b, before, t, u) for u, r in b.roles[q].items() if r == role),
                    default=0.0)
                for t, role in a.roles[p].items()
            ]  # fmt: skip
            score[p, q] = own + SPREAD * sum(near) / max(len(near), 1)
    return score


def _best(a: Graph, b: Graph, score: Scores, t: str, u: str) -> float:
    near, far = a.joints.others(t), b.joints.others(u)
    if max(len(near), len(far)) > FEW:
        return 0.0
    return max((score.get((owner(n), owner(m)), 0.0) for n in near for m in far), default=0.0)


def _overlap(one: Features, other: Features) -> float:
    """Share of what is joined that is alike: mean over the roles, and once without them."""
    roles = one.keys() | other.keys()
    empty: Counter[object] = Counter()
    by_role = [common(one.get(r, empty), other.get(r, empty)) for r in roles]
    at_all = common(sum(one.values(), empty), sum(other.values(), empty))
    return 0.7 * sum(by_role) / max(len(by_role), 1) + 0.3 * at_all


def common(one: Counter[object], other: Counter[object]) -> float:
    """Share of two collections that is in both; 1 for two empty ones."""
    most = max(one.total(), other.total())
    return (one & other).total() / most if most else 1.0


def _plain(a: Graph, b: Graph, p: str, q: str) -> float:
    """What can be seen without looking at the wiring."""
    one, other = a.parts[p], b.parts[q]
    home = 0.5 * (one.unit == other.unit) + 0.5 * (one.control == other.control)
    looks = common(_looks(a, p), _looks(b, q))
    return VALUES * _values(one, other) + NAME * (p == q) + HOME * home + LOOKS * looks


def _values(one: Part, other: Part) -> float:
    facts = [*_facts(one)], [*_facts(other)]
    return common(Counter[object](facts[0]), Counter[object](facts[1]))


def _facts(part: Part) -> Iterable[object]:
    yield from ((name, f"{value:.6g}") for name, value in part.values.items())
    yield from part.options.items()
    yield from ((n, f"{o:.6g}") for n, o in enumerate(part.ohms.values()))
    yield tuple(len(pairs) for pairs in part.positions.values())
    yield from sorted((pin.role, pin.pull) for pin in part.module_pins.values())


def _looks(graph: Graph, part: str) -> Counter[object]:
    """Colour, size and length of the wires at a part's pins."""
    return Counter(
        (role, s.colour, f"{s.area_mm2:.3g}", f"{s.length_m:.3g}")
        for terminal, role in graph.roles[part].items()
        for s in graph.runs.get(place_of(graph.circuit, terminal), ())
    )
