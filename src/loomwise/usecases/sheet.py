"""The test sheet: volts to expect at every place a probe can reach, in chosen setups."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from loomwise.advice.expert import all_setups, distinct
from loomwise.advice.wording import volts
from loomwise.circuit.model import Circuit, Place
from loomwise.diagnosis.predict import VOLTMETER_OHM
from loomwise.errors import InputError
from loomwise.setups import Setup, parse_setup
from loomwise.solver.operate import Plant
from loomwise.solver.result import OperatingPoint, plant_of, source_resistance
from loomwise.usecases.check_files import refuse_unsolvable
from loomwise.usecases.files import find_circuit, is_file_name
from loomwise.usecases.predict import solve
from loomwise.usecases.shape import SetupShown, shown

MOST_UNASKED = 8
"""Setups on a sheet for which none were named; more would not be carried through on paper."""
MOST_ASKED = 40


@dataclass(frozen=True)
class Column:
    """One setup of the sheet: what the loads do in it, which fuses are blown, what chatters.

    ``other_states`` counts further stable states, by what went before; the sheet shows the
    likeliest.
    """

    setup: SetupShown
    loads: Mapping[str, str]
    blown: tuple[str, ...]
    chatter: tuple[str, ...]
    other_states: int


@dataclass(frozen=True)
class Expected:
    """Volts that a 10 MΩ meter shows from a place to battery minus. ``floating``: it wanders, and
    the number means nothing; ``low_v`` to ``high_v`` where the circuit chatters."""

    voltage_v: float
    floating: bool
    low_v: float | None
    high_v: float | None


@dataclass(frozen=True)
class Row:
    """One place, how it is reached and in what time, and what to expect in each setup."""

    place: str
    title: str
    method: str
    minutes: float
    expected: tuple[Expected, ...]


@dataclass(frozen=True)
class Sheet:
    """The whole sheet. ``left_out`` counts setups in which the circuit does something else again,
    which were not asked for and did not fit."""

    circuit: str
    setups: tuple[Column, ...]
    rows: tuple[Row, ...]
    left_out: int


def sheet_source(source: str, setups: Sequence[str] = (), undo: Sequence[str] = ()) -> Sheet:
    """A sheet for a file or a circuit on the shelf.

    Parameters
    ----------
    setups : controls that are not at rest, as in "key=run, AC=on"; none: one setup for each thing
        the healthy circuit does, those nearest to rest.
    undo : what is undone in all of them.

    Raises
    ------
    InputError : a file that cannot be read, an unknown control or undoing, too many setups.
    SolveError : the battery is shorted.
    """
    circuit = find_circuit(source)
    if is_file_name(source):
        refuse_unsolvable(circuit, source)
    return sheet_of(circuit, setups, undo)


def sheet_of(circuit: Circuit, setups: Sequence[str] = (), undo: Sequence[str] = ()) -> Sheet:
    """A sheet for a circuit that has been read; raises as ``sheet_source``."""
    if len(setups) > MOST_ASKED:
        hint = "make several sheets"
        raise InputError(f"a sheet holds {MOST_ASKED} setups, not {len(setups)}", "setup", hint)
    plant = plant_of(circuit)
    asked = [parse_setup(circuit, words, undo) for words in setups]
    chosen = asked or list(distinct(circuit, plant, all_setups(circuit)))
    if not asked and undo:
        chosen = [s.with_undone(*parse_setup(circuit, "", undo).undone) for s in chosen]
    kept = chosen if asked else chosen[:MOST_UNASKED]
    return make_sheet(circuit, plant, kept, len(chosen) - len(kept))


def make_sheet(
    circuit: Circuit, plant: Plant, setups: Sequence[Setup], left_out: int = 0
) -> Sheet:  # fmt: skip
    """The sheet of some setups, in their order."""
    states = [solve(circuit, plant, setup, ()) for setup in setups]
    points = [found[0] for found in states]
    columns = tuple(
        _column(setup, found[0], len(found) - 1)
        for setup, found in zip(setups, states, strict=True)
    )
    behind = [_behind_ohm(point) for point in points]
    rows = tuple(
        Row(p.id, p.title, p.method, p.minutes, tuple(
            _expected(circuit, p, point, ohm) for point, ohm in zip(points, behind, strict=True)
        ))
        for p in circuit.places.values() if p.method != "none"
    )  # fmt: skip
    return Sheet(circuit.title, columns, rows, left_out)


def _column(setup: Setup, point: OperatingPoint, others: int) -> Column:
    blown = tuple(f.fuse for f in point.fuses)
    return Column(shown(setup), dict(point.loads), blown, point.chatter, others)


def _behind_ohm(point: OperatingPoint) -> Mapping[str, float]:
    """The resistance that a meter sees behind each node."""
    assert point.solution is not None
    solved = point.solution
    ohms = source_resistance(solved.plant.net, solved.rows, solved.at.state, solved.at.v)
    return {name: float(ohms[k]) for name, k in solved.plant.net.node_index.items()}


def _expected(
    circuit: Circuit, place: Place, point: OperatingPoint, behind_ohm: Mapping[str, float]
) -> Expected:  # fmt: skip
    minus = next((f"{p.id}.-" for p in circuit.parts_of_kind("battery")), "")
    zero_v = point.voltages_v.get(minus, 0.0)
    shows = VOLTMETER_OHM / (VOLTMETER_OHM + behind_ohm[place.id])  # the meter loads the place
    low, high = point.band_v.get(place.id, (None, None))
    return Expected(
        shows * (point.voltages_v[place.id] - zero_v), place.id in point.floating, low, high
    )


def setup_text(column: Column) -> str:
    """A setup with what the circuit does in it, in a line."""
    does = ", ".join(f"{load} {word}" for load, word in column.loads.items())
    more = [f"blown: {', '.join(column.blown)}"] if column.blown else []
    more += [f"does not come to rest: {', '.join(column.chatter)}"] if column.chatter else []
    if column.other_states:
        more.append("by what went before it may stand otherwise")
    return "; ".join([column.setup.text or "nothing to set", does, *more])


def expected_text(expected: Expected) -> str:
    """What to expect at a place, in a word or a number."""
    if expected.floating:
        return "floats"
    if expected.low_v is not None and expected.high_v is not None:
        return f"{expected.low_v:.1f}..{expected.high_v:.1f} V"
    return volts(expected.voltage_v)


def left_out_text(sheet: Sheet) -> str:
    """What was left out, if anything."""
    if not sheet.left_out:
        return ""
    return f"{sheet.left_out} more setups do something else again: name those you want."
