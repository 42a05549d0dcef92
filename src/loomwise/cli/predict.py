"""`loomwise predict`."""

from collections.abc import Iterator, Mapping

from loomwise.cli.show import heading, lines, percent, print_json, table, volts
from loomwise.units import format_quantity
from loomwise.usecases.faults_of import FaultList
from loomwise.usecases.predict import FuseOpens, PlaceVolts, Prediction, Question, StateShown
from loomwise.usecases.sources import faults_of_source, predict_source

Wanted = Question
LEAST_A = 1e-3
"""Smaller currents than this are left out of the table of wires. [A]"""


def run(source: str, wanted: Question, faults: bool, everything: bool, as_json: bool) -> None:
    """The circuit solved as asked, or its faults listed."""
    if faults:
        listed = faults_of_source(source)
        print_json(listed) if as_json else _show_faults(listed)
        return
    answer = predict_source(source, wanted)
    if as_json:
        print_json(answer)
    else:
        _show(answer, everything)


def _show_faults(listed: FaultList) -> None:
    print(f"{listed.circuit}: {len(listed.faults)} faults")
    rows = [(f.name, f.title, f.unit, percent(f.share)) for f in listed.faults]
    table(("--fault", "in words", "unit to repair", "beforehand"), rows, right=[3])
    sized = next((f for f in listed.faults if f.variants), None)
    if sized:
        lines(f"A fault with a resistance comes in sizes, such as '{sized.variants[0]}'.")


def _show(answer: Prediction, everything: bool) -> None:
    lines(answer.circuit)
    lines(f"setup: {answer.setup.text}", "       ", "")
    for fault in answer.faults:
        lines(f"fault: {fault.title} ({fault.id}); unit {fault.unit}", "       ", "")
    for number, state in enumerate(answer.states, 1):
        if len(answer.states) > 1:
            many = f"stable state {number} of {len(answer.states)}, {percent(state.weight)}"
            heading(many)
        _show_state(state, everything)


def _show_state(state: StateShown, everything: bool) -> None:
    if state.chatter:
        print(f"does not come to rest: {', '.join(state.chatter)}")
    for fuse in state.fuses:
        lines(_fuse(fuse), "  ", "")
    if state.instrument is not None:
        m = state.instrument
        tips = f"{m.red} to {m.black}" if m.black else m.red
        print(f"{m.instrument}, {tips}: {m.text}")
        if not everything:
            _mapping("loads", state.loads)
            for sentence in state.sneak_paths:
                lines(sentence, "  ", "")
            return
    _mapping("loads", state.loads)
    for sentence in state.sneak_paths:
        lines(sentence, "  ", "")
    _mapping("relays and fuses", state.devices)
    _mapping("live data", state.live_data)
    heading("volts against the body")
    rows = [(p.place, p.title, _volts(p)) for p in state.places if everything or p.reachable]
    table(("place", "where", "volts"), rows)
    if everything and state.filaments:
        heading("filaments")
        table(("lamp", "resists", "temperature"), _filaments(state), right=[1, 2])
    heading("amps")
    table(("conductor", "amps"), _amps(state, everything), right=[1])


def _mapping(title: str, found: Mapping[str, str]) -> None:
    if found:
        lines(", ".join(f"{k} {v}" for k, v in found.items()), "  ", f"{title}: ")


def _fuse(fuse: FuseOpens) -> str:
    within = "" if fuse.within_s is None else f" within {format_quantity(fuse.within_s, 's')}"
    amps, rating = (format_quantity(a, "A") for a in (fuse.current_a, fuse.rating_a))
    return f"{fuse.fuse} ({rating}) blows{within}: {amps} would flow"


def _volts(place: PlaceVolts) -> str:
    if place.floating:
        return "floating: a meter wanders"
    if place.low_v is not None and place.high_v is not None:
        return f"{volts(place.low_v)} to {volts(place.high_v)}, unsteady"
    return f"{volts(place.voltage_v):>8}"


def _filaments(state: StateShown) -> Iterator[tuple[str, str, str]]:
    for f in state.filaments:
        yield f.lamp, format_quantity(f.resistance_ohm, "ohm"), f"{f.temperature_c:.0f} °C"


def _amps(state: StateShown, everything: bool) -> Iterator[tuple[str, str]]:
    for wire in state.wires:
        if everything or (wire.kind == "wire" and abs(wire.current_a) >= LEAST_A):
            yield wire.conductor, format_quantity(wire.current_a, "A")
