"""Wires that go elsewhere: moved terminals told as what a draughtsman did, and as edits."""

from collections.abc import Iterable, Sequence

from loomwise.circuit.model import BODY
from loomwise.compare.difference import Difference
from loomwise.compare.drawing import owner, place_of, shown, wires_at
from loomwise.compare.only import explaining, only
from loomwise.compare.pairing import Move, Pairing
from loomwise.compare.say import ground_in, joined, listed, names_of
from loomwise.edits import Bridge, Edit, Open

JOINT_OHM = 0.0005
"""A joint where only b has one. Engineering judgement."""


def rewired(p: Pairing) -> tuple[Difference, ...]:
    """Parts that only one drawing has, and all differences of wiring between what both have."""
    moves = list(p.moves())
    found: list[Difference] = []
    for one, other in _exchanges(p, moves):
        moves.remove(one)
        moves.remove(other)
        found.append(_exchanged(p, one, other))
    groups: dict[tuple[int, int], list[Move]] = {}
    for move in moves:
        groups.setdefault((move.was, move.now), []).append(move)
    fresh: dict[int, str] = {}
    explained: dict[str, list[Edit]] = {}
    for (was, now), group in groups.items():
        merged = was not in p.joint and len(group) == len(p.here(was))
        difference = (_merged if merged else _moved)(p, group, was, now, fresh)
        if part := explaining(p, was, now):
            explained.setdefault(part, []).extend(difference.edits)
        else:
            found.append(difference)
    return (*only(p, explained), *found)


def _exchanges(p: Pairing, moves: Sequence[Move]) -> list[tuple[Move, Move]]:
    """Pairs of terminals each of which has gone where the other was."""
    found: list[tuple[Move, Move]] = []
    used: set[str] = set()
    ranked = sorted(
        (owner(m.terminal) != owner(n.terminal), i, j)
        for i, m in enumerate(moves)
        for j, n in enumerate(moves[:i])
        if p.joint.get(m.was) == n.now and p.joint.get(n.was) == m.now
    )
    for _, i, j in ranked:
        one, other = moves[j], moves[i]
        if not {one.terminal, other.terminal} & used:
            used |= {one.terminal, other.terminal}
            found.append((one, other))
    return found


def _exchanged(p: Pairing, one: Move, other: Move) -> Difference:
    t, u = _at_one_thing(p, one, other)
    edits = (*_take_over(p, one), *_take_over(p, other))
    gone = "; ".join(
        f"{shown(x)} leads to {joined(p, x, y)} in A, to {joined(p, x, y, in_b=True)} in B"
        for x, y in ((t, u), (u, t))
    )
    text = f"the wires at {shown(t)} and {shown(u)} are exchanged: {gone}"
    return _difference(p, "exchanged", text, (t, u), edits)


def _at_one_thing(p: Pairing, one: Move, other: Move) -> tuple[str, str]:
    """The two terminals, or those at the other ends of the wires if these sit in one thing."""
    pair = one.terminal, other.terminal
    ends = [[x for x in p.here(m.was) if x != m.terminal] for m in (one, other)]
    if owner(pair[0]) != owner(pair[1]) and all(len(e) == 1 for e in ends):
        far = ends[0][0], ends[1][0]
        if owner(far[0]) == owner(far[1]):
            return far
    return pair


def _moved(
    p: Pairing, group: Sequence[Move], was: int, now: int, fresh: dict[int, str]
) -> Difference:
    """Terminals that leave a joint: for another, for one that is new, or for nothing."""
    names = [m.terminal for m in group]
    edits = [] if _at_only_b(p, now) else [e for m in group for e in _go_over(p, m, fresh)]
    said = listed(shown(n) for n in names)
    here = joined(p, names[0], *names[1:])
    there = joined(p, names[0], *names[1:], in_b=True)
    kind = "leads elsewhere"
    if not there:
        kind = "missing"
        together = " (together)" if len(names) > 1 else ""
        text = f"{said}{together}: joined to {here} in A, to nothing in B"
    elif not here:
        kind = "extra"
        text = f"{said}: joined to nothing in A, to {there} in B"
    else:
        verb = "leads" if len(names) == 1 else "lead"
        text = f"{said} {verb} to {here} in A, to {there} in B"
    grounds = ground_in(p, was), ground_in(p, now, in_b=True)
    if all(grounds):
        kind, text = "ground", _ground_words(p, said, len(names), grounds, now, names)
    return _difference(p, kind, text, names, edits)


def _at_only_b(p: Pairing, now: int) -> bool:
    """Whether a joint that only b has is held together by a part that a does not have."""
    lone = (p.b.parts.get(owner(u)) for u in p.in_b.members[now] if u not in p.back)
    return now not in p.origin and any(x is not None and x.kind != "ground" for x in lone)


def _merged(
    p: Pairing, group: Sequence[Move], was: int, now: int, fresh: dict[int, str]
) -> Difference:
    """A joint of a that b does not keep apart from another."""
    grounds = ground_in(p, was), ground_in(p, now, in_b=True)
    alone = len(group) == 1 and len(p.in_a.members[was]) == 1
    if all(grounds) or alone or len(p.here(was)) < len(p.in_a.members[was]):
        return _moved(p, group, was, now, fresh)
    names = [m.terminal for m in group]
    other = [t for t in p.there(now) if t not in names]
    text = (
        f"{listed(shown(n) for n in names)} {'is' if len(names) == 1 else 'are'} joined to "
        f"{listed(names_of(p, other))} in B, not in A"
    )
    edits = [Bridge(names[0], _anchor(p, now), JOINT_OHM)]
    return _difference(p, "extra", text, names, edits)


def _ground_words(
    p: Pairing, said: str, count: int, grounds: tuple[str, str], now: int, names: Sequence[str]
) -> str:
    there = [t for t in p.there(now) if t not in (*names, grounds[1])]
    with_ = f" (shared with {listed(names_of(p, there))})" if there else " (a ground of its own)"
    verb = "goes" if count == 1 else "go"
    return f"{said} {verb} to ground {grounds[0]} in A, to ground {grounds[1]}{with_} in B"


def _difference(
    p: Pairing, kind: str, text: str, names: Iterable[str], edits: Sequence[Edit]
) -> Difference:
    names = list(names)
    b_places = tuple(shown(p.terminals[n]) for n in names)
    return Difference(kind, text, tuple(map(shown, names)), b_places, tuple(edits), bool(edits))


def _cut(p: Pairing, terminal: str) -> tuple[list[Edit], float]:
    """The wires at a terminal parted, and the resistance of the first."""
    wires = wires_at(p.a, terminal)
    return [Open(s.id) for s in wires], wires[0].resistance_ohm if wires else JOINT_OHM


def _take_over(p: Pairing, move: Move) -> list[Edit]:
    edits, ohm = _cut(p, move.terminal)
    return [*edits, Bridge(place_of(p.a, move.terminal), _anchor(p, move.now), ohm)]


def _go_over(p: Pairing, move: Move, fresh: dict[int, str]) -> list[Edit]:
    """Part a terminal from its joint and join it to the other. ``fresh`` keeps, for joints that
    only b has, the first terminal that came."""
    edits, ohm = _cut(p, move.terminal)
    place = place_of(p.a, move.terminal)
    if move.now in p.origin:
        return [*edits, Bridge(place, _anchor(p, move.now), ohm)]
    if move.now in fresh:
        return [*edits, Bridge(place, fresh[move.now], ohm)]
    fresh[move.now] = place
    ground = next((p.b.parts[t] for t in p.in_b.members[move.now] if t in p.b.parts), None)
    if ground is not None:
        stud_ohm = ground.values["stud_ohm"] + ground.values["joint_ohm"]
        edits.append(Bridge(place, BODY, ohm + stud_ohm))
    return edits


def _anchor(p: Pairing, joint: int) -> str:
    """A place of a that was and stays in the joint that b's joint came from."""
    stays = next(t for t in p.here(p.origin[joint]) if p.in_b.of[p.terminals[t]] == joint)
    return place_of(p.a, stays)
