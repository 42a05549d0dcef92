"""Words for what a terminal is joined to."""

from collections.abc import Iterable, Iterator

from loomwise.compare.drawing import Joints, owner, shown
from loomwise.compare.pairing import Pairing

MOST = 4
"""So many names are listed, then how many more there are."""


def listed(names: Iterable[str]) -> str:
    """A list in a sentence: "a, b and c", or "a, b, c and 5 more"."""
    known = list(dict.fromkeys(names))
    if len(known) > MOST + 1:
        known = [*known[:MOST], f"{len(known) - MOST} more"]
    return " and ".join([", ".join(known[:-1]), known[-1]] if len(known) > 1 else known)


def joined(p: Pairing, terminal: str, *without: str, in_b: bool = False) -> str:
    """What a terminal of a is joined to, in a or in b; empty where it is nothing.

    ``without`` names terminals that go the same way, and need not be said.
    """
    if in_b:
        members = p.there(p.in_b.of[p.terminals[terminal]])
    else:
        members = p.in_a.members[p.in_a.of[terminal]]
    others = [t for t in members if t not in (terminal, *without)]
    return listed(names_of(p, others, in_b))


def names_of(p: Pairing, terminals: Iterable[str], in_b: bool = True) -> Iterator[str]:
    """Each terminal by name; a contact with what lies behind it."""
    for t in terminals:
        beyond = _beyond(p, t, in_b)
        yield f"{shown(t)} (on to {listed(beyond)})" if beyond else shown(t)


def _beyond(p: Pairing, terminal: str, in_b: bool) -> list[str]:
    """The pins on the far side of a contact, over all contacts that follow."""
    cut: Joints = p.in_b if in_b else p.in_a
    start = p.terminals.get(terminal, terminal) if in_b else terminal
    found: list[str] = []
    todo, seen = [start], {cut.of.get(start)}
    while todo:
        at = todo.pop()
        across = at[:-1] + ("b" if at[-1] == "a" else "a")
        if not _is_side(at) or across not in cut.of or cut.of[across] in seen:
            continue
        seen.add(cut.of[across])
        for t in cut.members[cut.of[across]]:
            if t == across:
                continue
            if _is_side(t):
                todo.append(t)
            else:
                found.append(p.back.get(t, t) if in_b else t)
    return found


def _is_side(terminal: str) -> bool:
    return terminal.count(".") == 2


def ground_in(p: Pairing, joint: int, in_b: bool = False) -> str:
    """The ground point in a joint, in a's name where a has it; empty without one."""
    circuit, members = (p.b, p.in_b.members) if in_b else (p.a, p.in_a.members)
    for t in members[joint]:
        if t in circuit.parts and circuit.parts[owner(t)].kind == "ground":
            return p.back.get(t, t) if in_b else t
    return ""
