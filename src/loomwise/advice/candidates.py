"""Which tests could be made: places, setups, undoings, instruments, and looking."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from loomwise.advice.expert import Expert
from loomwise.advice.nets import module_nets, pulsed_nets
from loomwise.advice.spans import drop_spans, plug_spans
from loomwise.advice.undone import further_undone
from loomwise.circuit.alone import left_alone
from loomwise.circuit.kinds.tables import access_methods
from loomwise.circuit.model import Circuit, Place, Segment
from loomwise.diagnosis.choices import comes_and_goes
from loomwise.evidence import Evidence, Sign
from loomwise.evidence.items import CLICK_WORDS, STIRS, look_kind, sign_words, stirrable
from loomwise.setups import Setup, Undoing, undoings
from loomwise.solver.result import loads

LATE = 4
"""Signs and readings from which on grounds come off and wires are cut. Engineering judgement."""
MOST_DISTURBED = 3
"""Control states in which plugs are parted and fuses pulled; elsewhere the vehicle stays whole."""


@dataclass(frozen=True)
class Candidate:
    """One test that could be made. ``method`` is how the tips (or the eye) get there."""

    setup: Setup
    instrument: str
    red: str
    black: str = ""
    method: str = "open"


def minus_of(circuit: Circuit) -> str:
    """Where the black lead sits by default: battery minus."""
    return next(f"{p.id}.-" for p in circuit.parts_of_kind("battery"))


def plus_of(circuit: Circuit) -> str:
    """Battery plus."""
    return next(f"{p.id}.+" for p in circuit.parts_of_kind("battery"))


def candidates(expert: Expert, evidence: Sequence[Evidence], here: Setup) -> list[Candidate]:
    """All tests worth weighing, each setup's together."""
    circuit = expert.circuit
    states = list(dict.fromkeys([here, *(e.setup for e in evidence), *expert.states]))
    plain = list(dict.fromkeys(replace(s, undone=()) for s in states))
    found = [c for setup in plain for c in _undisturbed(circuit, setup)]
    disturbed = _worth_undoing_in(plain, evidence, here)
    for undoing in filter(expert.may_undo, (*undoings(circuit), *_new_fuses(circuit))):
        for setup in disturbed:
            if setup != expert.states[0]:
                found += _undone(circuit, setup.with_undone(undoing), undoing)
        if undoing.what == "apart":
            found += _ohms(circuit, expert.states[0].with_undone(undoing), undoing.target)
    found += _further(expert, evidence)
    found += _looks(circuit, here)
    if comes_and_goes(evidence):
        found += _stirs(circuit, here)
    return [c for c in found if expert.concerns(c.red) and not _is_left_alone(circuit, c)]


def _is_left_alone(circuit: Circuit, test: Candidate) -> bool:
    """Whether a test touches an airbag or what carries dangerous voltage; watching it work does
    not."""
    names = [n for u in test.setup.undone for n in (u.target, *u.places)]
    if test.instrument not in ("sign", "scan tool"):
        names += [test.red, test.black]
    return any(left_alone(circuit, name) for name in names if name)


def _worth_undoing_in(
    plain: Sequence[Setup], evidence: Sequence[Evidence], here: Setup
) -> list[Setup]:
    """Where things are taken apart: as the vehicle stands, and where the complaint was seen."""
    seen = [replace(e.setup, undone=()) for e in evidence if e.complaint != "no"]
    first = list(dict.fromkeys([replace(here, undone=()), *reversed(seen)]))
    return first[:MOST_DISTURBED] if evidence else list(plain)


def _further(expert: Expert, evidence: Sequence[Evidence]) -> Iterator[Candidate]:
    """What takes longer to undo, in the setup in which the complaint was last seen."""
    seen = [replace(e.setup, undone=()) for e in evidence if e.complaint == "yes"]
    if seen and seen[-1] != expert.states[0]:
        circuit = expert.circuit
        barred = module_nets(circuit)
        late = len(evidence) >= LATE
        for tip in further_undone(expert, seen[-1], minus_of(circuit), barred, late):
            if all(map(expert.may_undo, tip[0].undone)):
                yield Candidate(*tip)


def _new_fuses(circuit: Circuit) -> tuple[Undoing, ...]:
    """A new fuse tells a fuse that was merely gone from one that something keeps blowing."""
    return tuple(Undoing("new", p.id) for p in circuit.parts_of_kind("fuse"))


def reachable(circuit: Circuit) -> tuple[Place, ...]:
    """Places a probe can reach without piercing."""
    return tuple(p for p in circuit.places.values() if p.method not in ("none", "pierce"))


def _undisturbed(circuit: Circuit, setup: Setup) -> Iterator[Candidate]:
    minus = minus_of(circuit)
    for part in loads(circuit):
        yield Candidate(setup, "sign", part.id)
    for part in circuit.parts_of_kind(*CLICK_WORDS):
        yield Candidate(setup, "sign", part.id)
    for part in circuit.parts_of_kind("module"):
        names = [part.id, *(f"{part.id}.{pin}" for pin in part.module_pins)]
        yield from (Candidate(setup, "scan tool", n) for n in names if sign_words(circuit, n))
    for place in reachable(circuit):
        if place.id != minus:
            yield Candidate(setup, "voltmeter", place.id, minus, place.method)
    for red, black in drop_spans(circuit):
        if minus not in (red, black):
            yield Candidate(setup, "voltmeter", red, black, _harder(circuit, red, black))
    yield from _waves(circuit, setup)
    for seg in circuit.segments.values():
        if seg.kind == "wire" and _in_reach(circuit, seg):
            yield Candidate(setup, "clamp", seg.id)


def _waves(circuit: Circuit, setup: Setup) -> Iterator[Candidate]:
    """Ripple at battery and generator while that turns; duty where outputs pulse."""
    now = dict(setup.controls)
    for p in circuit.parts_of_kind("charging source"):
        if p.active.get(now.get(p.control, ""), False):
            ends = [(f"{p.id}.B+", f"{p.id}.B-"), (plus_of(circuit), minus_of(circuit))]
            for red, black in ends:
                if circuit.places[red].method != "none" and circuit.places[black].method != "none":
                    yield Candidate(setup, "ripple meter", red, black, _harder(circuit, red, black))
    pulsed = pulsed_nets(circuit)
    for place in reachable(circuit):
        if place.id in pulsed:
            yield Candidate(setup, "duty meter", place.id, minus_of(circuit), place.method)


def _harder(circuit: Circuit, red: str, black: str) -> str:
    """The method of the place that takes longer to reach."""
    methods = [circuit.places[p].method for p in (red, black)]
    return max(methods, key=lambda m: access_methods()[m].minutes)


def _in_reach(circuit: Circuit, seg: Segment) -> bool:
    return any(circuit.places[p].method != "none" for p in (seg.a, seg.b))


def _undone(circuit: Circuit, setup: Setup, undoing: Undoing) -> Iterator[Candidate]:
    minus, plus = minus_of(circuit), plus_of(circuit)
    if undoing.what == "new":
        yield Candidate(setup, "voltmeter", f"{undoing.target}.2", minus, "fuse ear")
        yield from (Candidate(setup, "sign", part.id) for part in loads(circuit))
        return
    logic_pins = module_nets(circuit)
    for place in _laid_open(circuit, undoing.target):
        method = "open" if place.side else "fuse ear"
        yield Candidate(setup, "voltmeter", place.id, minus, method)
        if place.side and place.id not in logic_pins:
            yield Candidate(setup, "test lamp", place.id, minus, method)
            yield Candidate(setup, "test lamp", plus, place.id, method)


def _laid_open(circuit: Circuit, target: str) -> list[Place]:
    return [p for p in reachable(circuit) if p.owner == target]


def _ohms(circuit: Circuit, setup: Setup, connector: str) -> Iterator[Candidate]:
    """Resistances from a parted plug, the vehicle at rest: to minus, and through what hangs on."""
    minus = minus_of(circuit)
    for place in _laid_open(circuit, connector):
        yield Candidate(setup, "ohmmeter", place.id, minus)
    for red, black in plug_spans(circuit, connector):
        yield Candidate(setup, "ohmmeter", red, black)


def _stirs(circuit: Circuit, here: Setup) -> Iterator[Candidate]:
    """For a complaint that comes and goes: what to move, warm or cool while watching."""
    for stir in STIRS:
        for name in stirrable(circuit, stir):
            yield Candidate(here, stir, name)


def _looks(circuit: Circuit, here: Setup) -> Iterator[Candidate]:
    for name in (*circuit.parts, *circuit.segments):
        if look_kind(circuit, name):
            yield Candidate(here, "look", name)


def asked_before(evidence: Sequence[Evidence], candidate: Candidate) -> bool:
    """Whether a person has said this already. A probe may slip, so it may be asked again."""
    if candidate.instrument not in ("sign", "scan tool", "look", *STIRS):
        return False
    for e in evidence:
        if isinstance(e, Sign):
            same = candidate.instrument != "look" and e.what == candidate.red
            if same and e.setup == candidate.setup:
                return True
        elif (e.instrument, e.red, e.black) == (
            candidate.instrument, candidate.red, candidate.black
        ):  # fmt: skip
            return True
    return False
