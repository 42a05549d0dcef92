"""The explanation in plain sentences."""

import re
from collections.abc import Iterable, Mapping, Sequence

from loomwise.explain.explanation import Cause, Decider, LoadExplained, Memory, Run, Step
from loomwise.units import format_quantity

CONDUCTORS = ("wire", "contact", "inner")
PASSED_OVER = ("splice",)
"""Kinds that a way is not told by, as nothing is decided there."""


def sentences(load: LoadExplained) -> tuple[str, ...]:
    """How a load works: what runs it, the way of the current, what decides, what may surprise."""
    found = [] if load.runs else [f"No combination of controls that was solved runs {load.load}."]
    for run in load.runs:
        found.append(f"{load.load}: {run.does} with {run.when.text}.")
        found.append(f"{amps_flow(run)} {way(run.path)}.")
        found += told_once(run.deciders)
        found += surprises(load.load, run)
    found += [memory(load.load, m) for m in load.memories]
    found += [f"{', '.join(c.parts)} chatters with {c.when.text}." for c in load.chatter]
    return tuple(dict.fromkeys(found))


def amps_flow(run: Run) -> str:
    """As in "With key run, coolant warm, 8.04 A flow"."""
    stands = ", ".join(f"{name} {state}" for name, state in run.setup.items())
    amps = format_quantity(run.current_a, "A")
    return f"With {stands}, {amps} flow" if stands else f"{amps} flow"


def way(path: Sequence[Step]) -> str:
    """As in "from BAT by RD 16 mm², 0.5 m to F1 (1 to 2) ... to G2 (body)"."""
    words = []
    for k, step in enumerate(path):
        if step.kind == "wire":
            words.append(f"by {step.title}")
        elif step.kind == "contact":
            words.append(f"through plug {step.id}")
        elif step.kind != "inner":
            words.append(f"{'from' if k == 0 else 'to'} {step.id}{_pins(step)}")
    return ", ".join(words)


def _pins(step: Step) -> str:
    ends = [place.removeprefix(f"{step.id}.") for place in (step.from_place, step.to_place)]
    return f" ({' to '.join(e for e in ends if e)})" if any(ends) else ""


def told_once(deciders: Iterable[Decider]) -> list[str]:
    """A sentence for each relay, switch and output; a sound fuse is no news."""
    return [sentence for d in deciders if (sentence := decides(d))]


def decides(d: Decider) -> str:
    """What one of them does there, and why."""
    state = STATE_WORDS.get(d.state, d.state)
    if d.feed and d.ground:
        return f"{d.id} is {state}: {_coil(d)}."
    if d.kind == "switch":
        return f"{d.id} stands at {state}" + (f" (control {d.control})." if d.control else ".")
    if d.kind == "output":
        return f"{d.id} is {state}: {'; '.join(d.rules) or 'its logic is not known'}."
    return f"{d.id} is {state}." if state else ""


STATE_WORDS = {
    "pulled": "pulled in", "released": "at rest", "intact": "", "closed": "", "sound": "",
}  # fmt: skip
"""States as a person says them; what is empty is no news."""


def _coil(d: Decider) -> str:
    pins = [p.partition(".")[2] for p in (d.feed[-1].to_place, d.ground[0].from_place)]
    fed, grounded = (f" at {pin}" if pin else "" for pin in pins)
    return f"its coil is fed{fed} by {_parts(d.feed)} and grounded{grounded} by {_parts(d.ground)}"


def _parts(steps: Sequence[Step]) -> str:
    """The parts of a way, the plugs and wires left out."""
    named = dict.fromkeys(_named(s) for s in steps if s.kind not in (*CONDUCTORS, *PASSED_OVER))
    return ", ".join(named) or "nothing else"


def _named(step: Step) -> str:
    state = STATE_WORDS.get(step.state, step.state)
    return (step.device or step.id) + (f" ({state})" if state else "")


def surprises(load: str, run: Run) -> list[str]:
    """What a person would not expect of a load's way."""
    found = []
    awake = [o for o in run.in_series if o not in run.idle and o not in run.backwards]
    if awake:
        found.append(f"{load} is in series with {' and '.join(awake)} there.")
    return found + sneak_words(load, run.idle, run.backwards)


def sneak_words(load: str, idle: Sequence[str], backwards: Sequence[str]) -> list[str]:
    """Ways nobody meant: through loads that show nothing, or against their usual direction."""
    found = [f"Sneak path: {load} has its current through {o}, which shows nothing." for o in idle]
    back = "Back-feed: the current passes {} against its usual direction."
    return [*found, *(back.format(other) for other in backwards)]


def memory(load: str, m: Memory) -> str:
    """A load that keeps doing what it did."""
    held = " and ".join(m.holders)
    if not m.does:
        return f"{load} may stay still with {m.when.text}, by what went before: see {held}."
    verb = "holds itself" if len(m.holders) == 1 else "hold themselves"
    return f"Once started, {load} goes on ({m.does}) with {m.when.text}: {held} {verb} in."


def grouped(causes: Sequence[Cause]) -> list[tuple[str, str]]:
    """Causes by the unit to repair, all wires and all plugs each together: what it is, and its
    faults in words. Where a break does it, that a large resistance does too is not said."""
    groups: dict[str, dict[str, list[str]]] = {}
    broken = {c.where for c in causes if c.mode == "open"}
    for c in causes:
        if c.mode == "resistance" and c.where in broken:
            continue
        head = _TOGETHER.get(c.unit.partition(" ")[0]) if c.kind in _OF_WIRING else None
        name, _, mode = c.title.rpartition(": ")
        if head or c.kind in ("inner", "splice", "ground"):
            name, mode = mode, _SIDE.sub("", c.where)
        groups.setdefault(head or c.unit, {}).setdefault(name, []).append(mode)
    return [(head, _faults(some)) for head, some in groups.items()]


_OF_WIRING = ("wire", "contact", "several")
_TOGETHER = {"wire": "wires", "contact": "plugs", "connector": "plugs", "loom": "looms"}
_SIDE = re.compile(r"\.[ab](?=-| |$)")
"""Which side of a contact a wire comes to: told by the wire's other end."""


def _faults(some: Mapping[str, Sequence[str]]) -> str:
    return "; ".join(f"{name}: {', '.join(dict.fromkeys(modes))}" for name, modes in some.items())
