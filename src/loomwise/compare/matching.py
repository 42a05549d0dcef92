"""Find for every part of one drawing the same part in the other.

The surest pair is taken first; what is joined to it then speaks for the pairs around it, so that
the matching grows along the wires. Afterwards parts are exchanged while that makes more agree.
"""

import heapq
from collections import Counter
from collections.abc import Mapping

from loomwise.compare.drawing import owner, turnable
from loomwise.compare.likeness import Graph, likeness

OTHER_ROLE = 0.3
"""What a neighbour counts that is joined to another pin of the part."""
SUPPORT = 2.0
"""What a pin counts whose neighbours all agree, against 1 for a round of signatures."""
PASSES = 5
LEAST_AGREEMENT = 0.15
"""Share of neighbours that must agree before parts with different names count as one part.
Engineering judgement, as are the weights above."""

Matched = dict[str, str]


class Matcher:
    """Two drawings, and the pairs of parts found so far."""

    def __init__(self, a: Graph, b: Graph) -> None:
        self.a, self.b = a, b
        self._alike = likeness(a, b)
        self.matched: Matched = {}

    def run(self) -> Matched:
        """All pairs, a's part to b's."""
        self._grow()
        for _ in range(PASSES):
            if not self._improve():
                break
        keep = {p: q for p, q in self.matched.items() if self._plausible(p, q)}
        self.matched = keep
        return keep

    def _grow(self) -> None:
        heap = [(-score, p, q) for (p, q), score in self._alike.items()]
        heapq.heapify(heap)
        taken: set[str] = set()
        while heap:
            _, p, q = heapq.heappop(heap)
            if p in self.matched or q in taken:
                continue
            self.matched[p] = q
            taken.add(q)
            for near in self.a.neighbours(p) - self.matched.keys():
                for other in self.b.neighbours(q) - taken:
                    if (near, other) in self._alike:
                        heapq.heappush(heap, (-self._score(near, other), near, other))

    def _improve(self) -> bool:
        """Exchange the partners of two parts, or take a free one, wherever more then agrees."""
        better = False
        for p in list(self.matched):
            free = self.b.parts.keys() - self.matched.values()
            for q in sorted(q for q in free if (p, q) in self._alike):
                if self._score(p, q) > self._score(p, self.matched[p]) + 1e-9:
                    self.matched[p], better = q, True
            for other in list(self.matched):
                better |= other > p and self._exchange(p, other)
        return better

    def _exchange(self, p: str, other: str) -> bool:
        q, r = self.matched[p], self.matched[other]
        if (p, r) not in self._alike or (other, q) not in self._alike:
            return False
        before = self._score(p, q) + self._score(other, r)
        self.matched[p], self.matched[other] = r, q
        if self._score(p, r) + self._score(other, q) > before + 1e-9:
            return True
        self.matched[p], self.matched[other] = q, r
        return False

    def _score(self, p: str, q: str) -> float:
        """Likeness, and what the pairs found so far say for the pair."""
        total = 0.0
        for t, role in self.a.roles[p].items():
            total += max(
                (
                    self.agreement(t, u) * (1.0 if self.b.role_of[u] == role else OTHER_ROLE)
                    for u in self.b.roles[q]
                ),
                default=0.0,
            )
        return self._alike[p, q] + SUPPORT * total

    def agreement(self, t: str, u: str) -> float:
        """Share of what is joined to ``t`` in a that is also, as found so far, joined to ``u``."""
        near, far = self.a.joints.others(t), self.b.joints.others(u)
        most = max(len(near), len(far))
        if not most:
            return 1.0
        expected = Counter[object](
            (self.matched[owner(n)], self.a.role_of[n]) for n in near if owner(n) in self.matched
        )
        met = Counter[object]((owner(n), self.b.role_of[n]) for n in far)
        return (expected & met).total() / most

    def _plausible(self, p: str, q: str) -> bool:
        near = {self.matched.get(n, "") for n in self.a.neighbours(p)}
        far = self.b.neighbours(q)
        common = len(near & far) / max(len(near), len(far), 1)
        return p == q or common >= LEAST_AGREEMENT


def match_pins(matcher: Matcher) -> Mapping[str, str]:
    """For every terminal of a matched part of a the same terminal of b."""
    found: dict[str, str] = {}
    for p, q in matcher.matched.items():
        found.update(_pins(matcher, p, q))
    return found


def _pins(matcher: Matcher, p: str, q: str) -> dict[str, str]:
    """Pins of the same name first where a name stands for the pin; the rest by role and wiring."""
    roles, others = matcher.a.roles[p], matcher.b.roles[q]
    kind = matcher.a.parts[p].kind
    found: dict[str, str] = {}
    if not turnable(matcher.a.parts[p]) and kind != "ground":
        fixed = _named(matcher, p, q)
        found = {t: u for t, u in fixed.items() if u in others}
    rest = [
        (-(roles[t] == others[u]), -matcher.agreement(t, u), _pin(t) != _pin(u), t, u)
        for t in roles for u in others
        if t not in found and u not in found.values()
        and (kind == "switch" or _may(roles[t], others[u]))
    ]  # fmt: skip
    for *_, t, u in sorted(rest):
        if t not in found and u not in found.values():
            found[t] = u
    return found


def _may(role: str, other: str) -> bool:
    """Never a supply pin for an output; an input pulled otherwise is still that input."""
    return role.partition(" ")[0] == other.partition(" ")[0]


def _named(matcher: Matcher, p: str, q: str) -> dict[str, str]:
    roles = matcher.a.roles[p]
    turns = matcher.a.parts[p].kind == "relay" and not any(
        g.parts[n].options.get("suppression") == "diode"
        for g, n in ((matcher.a, p), (matcher.b, q))
    )
    return {t: f"{q}.{_pin(t)}" for t, role in roles.items() if not (turns and role == "coil")}


def _pin(terminal: str) -> str:
    return terminal.partition(".")[2]
