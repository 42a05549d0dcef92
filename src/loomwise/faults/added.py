"""Work that somebody added to a vehicle, as declared when the job came in.

"bypass switch across S1, tow bar tapped into C1.3, 30 A in F4": the parts, plugs and wires it names
are looked for in the words; where it names none, added work may be anywhere.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from loomwise.circuit.model import Circuit
from loomwise.faults.fault import Fault

MODES = ("tapped", "bypassed", "wrong rating", "replaced by plain wire")
"""What later work leaves behind."""
NAMED_TIMES, ANYWHERE_TIMES = 20.0, 3.0
"""How much likelier added work is where it was declared, and anywhere if it was declared without a
place: engineering judgement."""
_WORD = re.compile(r"[\w.+\-/]*\w")


@dataclass(frozen=True)
class Added:
    """Parts and wires that added work was declared at; ``anywhere`` if it was without a place."""

    places: tuple[str, ...] = ()
    anywhere: bool = False


def added_work(circuit: Circuit, words: str) -> Added:
    """What a declaration in words names of a circuit."""
    found: dict[str, None] = {}
    for word in _WORD.findall(words):
        found.update(dict.fromkeys(_named(circuit, word)))
    return Added(tuple(found), bool(words.strip()) and not found)


def _named(circuit: Circuit, word: str) -> Sequence[str]:
    """A part, a wire by its name, or the wires at a plug, cavity or place."""
    if word in circuit.segments and circuit.segments[word].kind == "wire":
        return (word,)
    if word in circuit.parts:
        return (word,)
    if word.partition(".")[0] not in (*circuit.parts, *circuit.connectors):
        return ()
    wires = (s for s in circuit.segments.values() if s.kind == "wire")
    return [s.id for s in wires if any(_is_at(end, word) for end in (s.a, s.b))]


def _is_at(place: str, word: str) -> bool:
    return place == word or place.startswith(f"{word}.")


def with_added(faults: Sequence[Fault], added: Added) -> tuple[Fault, ...]:
    """The faults with the weight of declared work raised; weights again sum to one."""
    if not (added.places or added.anywhere):
        return tuple(faults)
    raised = [replace(f, weight=f.weight * _times(f, added)) for f in faults]
    total = sum(f.weight for f in raised)
    return tuple(replace(f, weight=f.weight / total) for f in raised)


def _times(fault: Fault, added: Added) -> float:
    if fault.mode not in MODES:
        return 1.0
    if added.anywhere:
        return ANYWHERE_TIMES
    places = {fault.where, fault.where.partition(".")[0]}
    return NAMED_TIMES if places & set(added.places) else 1.0
