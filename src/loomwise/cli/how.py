"""`loomwise how`."""

from collections.abc import Iterator, Sequence

from loomwise.cli.show import heading, lines, patience, print_json, table
from loomwise.units import format_quantity
from loomwise.usecases.how import (
    STATE_WORDS,
    Cause,
    Explanation,
    LoadExplained,
    Run,
    Step,
    amps_flow,
    grouped,
    how_source,
    memory,
    surprises,
    told_once,
)


def run(source: str, load: str | None, as_json: bool) -> None:
    """How the circuit works, load by load."""
    with patience("solving every combination of controls and every fault"):
        answer = how_source(source, load)
    if as_json:
        print_json(answer)
        return
    lines(answer.circuit)
    if answer.looked_at < answer.combinations:
        lines(_part_of(answer))
    for one in answer.loads:
        _show(one)


def _part_of(answer: Explanation) -> str:
    return (
        f"{answer.looked_at} of {answer.combinations} combinations of controls were solved, those"
        " nearest to rest; what is said of the others follows from them."
    )


def _show(load: LoadExplained) -> None:
    heading(load.title)
    if not load.runs:
        lines("no combination of controls that was solved runs it", "  ")
    for one in load.runs:
        _show_run(load.load, one)
    for m in load.memories:
        lines(memory(load.load, m), "  ")
    for c in load.chatter:
        lines(f"{', '.join(c.parts)} chatters with {c.when.text}.", "  ")
    if load.unasked:
        print("\n  what would run it unasked")
        table(("unit to repair", "fault", "even with", "it is"), _unasked(load.unasked))
    if load.stops:
        print("\n  what would stop it")
        table(("unit to repair", "faults"), grouped(load.stops))


def _show_run(load: str, one: Run) -> None:
    print()
    lines(f"{one.does} with {one.when.text}", "    ", "  ")
    lines(f"{amps_flow(one)}:", "    ", "  ")
    table(("part", "", "pins", "then by"), _way(one.path))
    for sentence in (*told_once(one.deciders), *surprises(load, one)):
        lines(sentence, "    ", "  ")


def _way(path: Sequence[Step]) -> Iterator[tuple[str, str, str, str]]:
    """One row a part; in the last column what leads on to the next."""
    parts: list[tuple[Step, list[Step]]] = []
    for step in path:
        if step.kind in ("wire", "contact", "inner"):
            if parts:
                parts[-1][1].append(step)
        else:
            parts.append((step, []))
    for part, conductors in parts:
        yield part.id, _what(part), _pins(part), _conductors(conductors)


def _what(part: Step) -> str:
    state = STATE_WORDS.get(part.state, part.state)
    return part.title + (f", {state}" if state else "")


def _pins(part: Step) -> str:
    ends = (p.removeprefix(f"{part.id}.") for p in (part.from_place, part.to_place))
    return " to ".join(e for e in ends if e)


def _conductors(steps: Sequence[Step]) -> str:
    """As in "RDWH 4 mm², 1.1 m, plugs C1.1, C3.1": pieces of one wire as one."""
    length, found = dict[str, float](), dict[str, None]()
    for s in steps:
        if s.kind == "wire":
            looks = f"{s.colour} {format_quantity(s.area_mm2, 'mm2')}".strip()
            length[looks] = length.get(looks, 0.0) + s.length_m
        if s.kind == "inner":
            found[s.title] = None
    wires = [f"{looks}, {format_quantity(m, 'm')}" for looks, m in length.items()]
    plugs = [s.id for s in steps if s.kind == "contact"]
    through = [f"plug{'s' * (len(plugs) > 1)} {', '.join(plugs)}"] if plugs else []
    inside = [] if wires else list(found)
    return ", ".join([*wires, *inside, *through])


def _unasked(causes: Sequence[Cause]) -> Iterator[tuple[str, str, str, str]]:
    for c in causes:
        through = f" (back-feed through {', '.join(c.through)})" if c.through else ""
        yield c.unit, c.title + through, c.setup or "all at rest", c.does
