"""What a circuit does in a setup, with or without a fault, and what an instrument would show."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from loomwise.circuit.model import Circuit
from loomwise.edits import Edit
from loomwise.faults import Fault
from loomwise.setups import Setup, parse_setup, put_in, undone_edits, with_new_fuses
from loomwise.solver.operate import Plant
from loomwise.solver.result import OperatingPoint, plant_of, solve_states
from loomwise.usecases.faults_of import faults_of, find_fault
from loomwise.usecases.filaments import Filament, filaments
from loomwise.usecases.instrument import Shown, show_instrument
from loomwise.usecases.shape import SetupShown, shown
from loomwise.usecases.sneak import sneaks_of_point


@dataclass(frozen=True)
class Question:
    """What is asked: words as a person writes them. ``at`` is a place, or red and black."""

    setup: str = ""
    undo: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()
    at: str = ""
    instrument: str = "voltmeter"


@dataclass(frozen=True)
class PlaceVolts:
    """Volts at a place against the body. ``low_v`` to ``high_v`` where the circuit chatters.

    ``floating``: a meter wanders there. ``reachable``: a probe can get at it.
    """

    place: str
    title: str
    voltage_v: float
    floating: bool
    reachable: bool
    low_v: float | None
    high_v: float | None


@dataclass(frozen=True)
class WireAmps:
    """Amps in a conductor, positive from its first end to its second."""

    conductor: str
    kind: str
    current_a: float


@dataclass(frozen=True)
class FuseOpens:
    """A fuse that opens on the way here; ``within_s`` is None where no published limit says."""

    fuse: str
    current_a: float
    rating_a: float
    within_s: float | None


@dataclass(frozen=True)
class StateShown:
    """One stable state; ``weight`` is its share where there are several.

    ``loads`` maps a load to what it does, ``devices`` a relay, fuse or output to its state,
    ``live_data`` a module's pin to what it reports. ``chatter`` names what does not come to
    rest; ``sneak_paths`` are sentences on currents that take a way nobody meant.
    """

    weight: float
    loads: Mapping[str, str]
    devices: Mapping[str, str]
    live_data: Mapping[str, str]
    chatter: tuple[str, ...]
    fuses: tuple[FuseOpens, ...]
    places: tuple[PlaceVolts, ...]
    wires: tuple[WireAmps, ...]
    filaments: tuple[Filament, ...]
    sneak_paths: tuple[str, ...]
    instrument: Shown | None


@dataclass(frozen=True)
class FaultNamed:
    """A fault that was put in."""

    id: str
    title: str
    unit: str


@dataclass(frozen=True)
class Prediction:
    """What the circuit does in the setup: every stable state found, the likeliest first."""

    circuit: str
    setup: SetupShown
    faults: tuple[FaultNamed, ...]
    states: tuple[StateShown, ...]


def predict(circuit: Circuit, question: Question) -> Prediction:
    """Solve the circuit as asked.

    Raises
    ------
    InputError : an unknown control, part, place or fault, or an instrument that cannot be used so.
    SolveError : the battery is shorted.
    """
    setup = parse_setup(circuit, question.setup, question.undo, question.after)
    plant = plant_of(circuit)
    known = faults_of(circuit, plant) if question.faults else ()
    faults = tuple(find_fault(known, name) for name in question.faults)
    points = solve(circuit, plant, setup, faults)
    meter = show_instrument(circuit, question.at, question.instrument, setup)
    states = []
    for point in points:
        with_it = None
        if meter is not None:
            again = solve(circuit, plant, setup, faults, meter.edits)
            with_it = meter.read(point, again)
        states.append(_state(circuit, point, with_it, sneaks_of_point(circuit, plant, point)))
    named = tuple(FaultNamed(f.id, f.title, f.unit) for f in faults)
    return Prediction(circuit.title, shown(setup), named, tuple(states))


def solve(
    circuit: Circuit, plant: Plant, setup: Setup, faults: Sequence[Fault], more: Sequence[Edit] = ()
) -> tuple[OperatingPoint, ...]:
    """The stable states of a setup with faults in, and with more edits (an instrument)."""
    fresh = put_in(setup.undone)
    broken = with_new_fuses([e for f in faults for e in f.edits], fresh)
    undone = [e for u in setup.undone for e in undone_edits(circuit, u)]
    states = dict(setup.controls + setup.settled)
    after = [dict(step) for step in setup.after]
    return solve_states(circuit, plant, states, (*broken, *undone, *more), after)


def _state(
    circuit: Circuit, point: OperatingPoint, instrument: Shown | None, sneak_paths: tuple[str, ...]
) -> StateShown:
    return StateShown(
        weight=point.weight,
        loads=dict(point.loads),
        devices=_devices(circuit, point),
        live_data=dict(point.live_data),
        chatter=point.chatter,
        fuses=tuple(
            FuseOpens(f.fuse, f.current_a, f.rating_a, f.within_s) for f in point.fuses
        ),
        places=tuple(_volts(circuit, point, place) for place in circuit.places),
        wires=tuple(
            WireAmps(s.id, s.kind, point.currents_a[s.id]) for s in circuit.segments.values()
        ),
        filaments=filaments(circuit, point),
        sneak_paths=sneak_paths,
        instrument=instrument,
    )  # fmt: skip


SHOWN_KINDS = (
    *("fuse", "fusible link", "breaker", "PTC"),
    *("relay", "split-charge relay", "starter solenoid"),
)
"""Kinds whose state is told: it is heard, or found when they are taken out."""


def _devices(circuit: Circuit, point: OperatingPoint) -> dict[str, str]:
    shown = [p.id for p in circuit.parts_of_kind(*SHOWN_KINDS)]
    return {
        name: state
        for name, state in point.states.items()
        if name in shown or name.endswith(".trip")
    }


def _volts(circuit: Circuit, point: OperatingPoint, place: str) -> PlaceVolts:
    low, high = point.band_v.get(place, (None, None))
    known = circuit.places[place]
    return PlaceVolts(
        place, known.title, point.voltages_v[place], place in point.floating,
        known.method != "none", low, high,
    )  # fmt: skip
