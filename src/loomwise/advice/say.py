"""Tests and setup changes in an electrician's words."""

import numpy as np

from loomwise.advice.candidates import Candidate, minus_of
from loomwise.circuit.model import Circuit
from loomwise.evidence.items import LAMP_WORDS, LOOK_WORDS, look_kind, sign_words
from loomwise.setups import Setup, Undoing
from loomwise.solver.network import Floats


def words_of(circuit: Circuit, test: Candidate) -> tuple[str, ...]:
    """The words a test is answered with; empty where it is a number."""
    if test.instrument == "test lamp":
        return LAMP_WORDS
    if test.instrument == "look":
        return LOOK_WORDS[look_kind(circuit, test.red)]
    return sign_words(circuit, test.red) if test.instrument == "sign" else ()


def title_of(circuit: Circuit, test: Candidate) -> str:
    """One line: what to do."""
    if test.instrument == "sign":
        part = circuit.parts[test.red.partition(".")[0]]
        if part.kind == "module":
            asked = "does it answer" if test.red == part.id else f"live data of {test.red}"
            return f"scan tool on {part.id}: {asked}"
        return f"watch {part.kind} {part.id}" if part.kind != "relay" else f"feel relay {part.id}"
    if test.instrument == "look":
        kind = look_kind(circuit, test.red)
        if kind == "contact":
            return f"part {circuit.segments[test.red].connector}, look at cavity {test.red}"
        return f"take fuse {test.red} out and look" if kind == "fuse" else f"look at {test.red}"
    tips = f"{place_title(circuit, test.red)} to {place_title(circuit, test.black)}"
    return f"{'test lamp' if test.instrument == 'test lamp' else 'volts'}, {tips}"


def place_title(circuit: Circuit, place: str) -> str:
    """A place by its id, with the side of a plug in words."""
    known = circuit.places.get(place)
    if place == minus_of(circuit):
        return "battery minus"
    if known is None or known.side == "":
        return place
    return f"{place} ({known.title.rpartition(', ')[2]})"


def undoing_text(u: Undoing, back: bool = False) -> str:
    """An undoing as an instruction, or its putting back."""
    if u.what == "apart":
        return f"mate {u.target}" if back else f"part {u.target}"
    if u.what == "jumper":
        ends = f"jumper {u.places[0]} to {u.places[1]}"
        return f"take off the {ends}" if back else f"fit a fused {ends}"
    if u.what == "new":
        return f"leave the new fuse in {u.target}" if back else f"fit a new fuse in {u.target}"
    if u.what == "off":
        return f"connect {u.target}" if back else f"disconnect {u.target}"
    return f"put {u.target} back" if back else f"take {u.target} out"


def changes_between(circuit: Circuit, here: Setup, there: Setup) -> tuple[str, ...]:
    """What to do to get from one setup to the other, in order: put back, undo, then set."""
    back = [
        undoing_text(u, back=True) for u in here.undone if u not in there.undone and u.what != "new"
    ]
    undo = [undoing_text(u) for u in there.undone if u not in here.undone]
    now = dict(here.controls + here.settled)
    sets = [f"{c} {s}" for c, s in there.controls + there.settled if now.get(c) != s]
    return (*back, *undo, *sets)


def bin_text(bins: list[int], edges_12v: Floats, supply_v: float) -> str:
    """A run of neighbouring bins in volts."""
    edges = np.array([-np.inf, *edges_12v, np.inf]) * supply_v / 12.0
    low, high = edges[bins[0]], edges[bins[-1] + 1]
    if np.isinf(low):
        return f"below {high:.3g} V"
    return f"above {low:.3g} V" if np.isinf(high) else f"{low:.3g} to {high:.3g} V"
