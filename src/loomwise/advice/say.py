"""Tests and setup changes in an electrician's words."""

import numpy as np

from loomwise.advice.candidates import Candidate, minus_of
from loomwise.circuit.loads import load_named
from loomwise.circuit.model import Circuit
from loomwise.evidence.items import (
    CLICK_WORDS,
    LAMP_WORDS,
    LOOK_WORDS,
    OPEN_OHM,
    STIR_WORDS,
    STIRS,
    UNITS,
    look_kind,
    sign_words,
)
from loomwise.setups import Setup, Undoing
from loomwise.solver.network import Floats
from loomwise.units import format_quantity


def words_of(circuit: Circuit, test: Candidate) -> tuple[str, ...]:
    """The words a test is answered with; empty where it is a number."""
    if test.instrument == "test lamp":
        return LAMP_WORDS
    if test.instrument in STIRS:
        return STIR_WORDS
    if test.instrument == "look":
        return LOOK_WORDS[look_kind(circuit, test.red)]
    return sign_words(circuit, test.red) if test.instrument in ("sign", "scan tool") else ()


def title_of(circuit: Circuit, test: Candidate) -> str:
    """One line: what to do."""
    if test.instrument == "scan tool":
        module = test.red.partition(".")[0]
        asked = "does it answer" if test.red == module else f"live data of {test.red}"
        return f"scan tool on {module}: {asked}"
    if test.instrument == "sign":
        part = load_named(circuit, test.red) or circuit.parts[test.red]
        return f"{'feel' if part.kind in CLICK_WORDS else 'watch'} {part.kind} {part.id}"
    if test.instrument in STIRS:
        return f"{test.instrument} {test.red} while watching for the complaint"
    if test.instrument == "clamp":
        return f"clamp round {title_of_segment(circuit, test.red)}"
    if test.instrument == "look":
        kind = look_kind(circuit, test.red)
        if kind == "contact":
            return f"part {circuit.segments[test.red].connector}, look at cavity {test.red}"
        return f"take fuse {test.red} out and look" if kind == "fuse" else f"look at {test.red}"
    tips = f"{place_title(circuit, test.red)} to {place_title(circuit, test.black)}"
    return f"{LEADS[test.instrument]}, {tips}"


LEADS = {"voltmeter": "volts", "test lamp": "test lamp", "ohmmeter": "ohms",
         "ripple meter": "ripple (AC volts)", "duty meter": "duty"}  # fmt: skip


def title_of_segment(circuit: Circuit, segment: str) -> str:
    """A conductor by its unit's name."""
    return circuit.units[circuit.segments[segment].unit].title


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
    if u.places:
        ends, kind = f"{u.places[0]} to {u.places[1]}", "fused " if u.what == "jumper" else ""
        return f"take off the {u.what} {ends}" if back else f"fit a {kind}{u.what} {ends}"
    if u.what == "new":
        return f"leave the new fuse in {u.target}" if back else f"fit a new fuse in {u.target}"
    if u.what == "swapped":
        return f"put {u.target} back" if back else f"swap {u.target} with a like one that works"
    if u.what == "cut":
        return f"splice and seal {u.target}" if back else f"cut {u.target}"
    if u.what == "unplugged":
        return f"plug {u.target} in" if back else f"unplug {u.target}"
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
    sets = [f"{c} {s}" for c, s in there.controls if now.get(c) != s]
    sets += [f"command {c} {s} by scan tool" for c, s in there.settled if now.get(c) != s]
    return (*back, *undo, *sets)


def number_text(value: float, instrument: str) -> str:
    """A number as the instrument shows it: to a tenth of a volt or ampere, open as OL."""
    unit = UNITS[instrument]
    if unit == "ohm":
        return "open (OL)" if value > 0.9 * OPEN_OHM else format_quantity(max(value, 0.0), "ohm")
    if instrument in ("ripple meter", "duty meter"):
        return format_quantity(float(f"{max(value, 0.0):.2g}"), unit)
    text = f"{value:.1f} {unit}"
    return text.removeprefix("-") if value > -0.05 else text


def bin_text(bins: list[int], edges: Floats, instrument: str) -> str:
    """A run of neighbouring bins in the instrument's unit."""
    ends = np.array([-np.inf, *edges, np.inf])
    low, high = (_edge_text(float(ends[k]), instrument) for k in (bins[0], bins[-1] + 1))
    if not low:
        return f"below {high}" if high else "any value"
    return f"{low} to {high}" if high else f"above {low}"


def _edge_text(edge: float, instrument: str) -> str:
    if np.isinf(edge):
        return ""
    return f"{edge:.3g} V" if instrument == "voltmeter" else format_quantity(
        edge, UNITS[instrument]
    )  # fmt: skip
