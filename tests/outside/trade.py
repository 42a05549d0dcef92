"""What every vehicle electrician knows, which the solved circuits must show."""

from collections.abc import Iterator, Sequence
from functools import partial

from loomwise.circuit.model import BODY
from loomwise.edits import Bridge, Edit, Open
from loomwise.shelf import read_shelf
from loomwise.solver.result import OperatingPoint
from tests.contract.examples import example
from tests.outside.check import PRACTICE, Check, Figure, about, at_least, at_most
from tests.solver.bench import bench, solve

SLOW, FAST = "M1.53", "M1.53i"
OPEN_COIL: tuple[Edit, ...] = (Open("K1.coil"),)
NO_SUPPRESSOR: tuple[Edit, ...] = (Open("K1.coil"), Open("K1.suppressor"))
LEAKS = [
    (10.0, False, "pulled"),
    (10.0, True, "pulled"),
    (5.0, True, "pulled"),
    (5.0, False, "released"),
]
BROKEN = [("headlamps", "lights=head", "L1", "dark"), ("horn", "horn=pressed", "H1", "silent")]


def checks() -> Iterator[Check]:
    """Every check of this topic."""
    yield from _wiper()
    yield from _fans()
    yield from _leaks()
    yield from _broken()


def _fact(what: str, unit: str, ours: partial[float] | partial[str], told: Figure | str) -> Check:
    return Check(what, unit, ours, told, PRACTICE)


def _wiper() -> Iterator[Check]:
    yield _fact(
        "idle fast brush of a wiper motor fed 12.3 V on the slow one",
        "V",
        partial(_brush_v, SLOW, FAST, 12.3),
        about(7.3, 0.5, "motors differ"),
    )
    yield _fact(
        "idle slow brush of one fed 12 V on the fast one",
        "V",
        partial(_brush_v, FAST, SLOW, 12.0),
        at_least(12.0, "above its supply"),
    )


def _brush_v(fed: str, idle: str, emf_v: float) -> float:
    wires = f"BAT.+ to {fed}, RD 2.5 mm2, 0.5 m\nM1.31 to G1.1, BN 2.5 mm2, 0.5 m"
    motor = bench("M1: {kind: two-speed motor, current: 5 A}", wires, emf_v=emf_v)
    return solve(motor)[0].voltages_v[idle]


def _fans() -> Iterator[Check]:
    cold, warm, hot = (f"key=run, coolant={c}" for c in ("cold", "warm", "hot"))
    all_of_it = Figure("system voltage", -0.1, 0.1, "a tenth of a volt beside the battery's")
    yield _fact(
        "fused coil not grounded: its far end, beside the battery",
        "V",
        partial(_below_v, cold, ()),
        all_of_it,
    )
    yield _fact(
        "the same coil grounded by its module",
        "V",
        partial(_coil_end_v, warm, ()),
        at_most(0.2, "what the driver keeps"),
    )
    yield _fact(
        "open coil with a resistor across it: far end, beside the battery",
        "V",
        partial(_below_v, cold, OPEN_COIL),
        all_of_it,
    )
    yield _fact(
        "open coil without one: far end",
        "V",
        partial(_coil_end_v, cold, NO_SUPPRESSOR),
        at_most(0.5, "nothing arrives"),
    )
    for what, controls, edits, words in (
        ("two fans in series", warm, (), "slow, slow"),
        ("two fans in parallel", hot, (), "normal, normal"),
        ("fast speed, its first relay's coil open", hot, OPEN_COIL, "off, normal"),
        ("two fans in series, one winding open", warm, (Open("M2.winding"),), "off, off"),
    ):
        yield _fact(what, "", partial(_fan_words, controls, edits), words)
    yield _fact(
        "two fans in series: volts of one beside the other",
        "V",
        partial(_uneven_v, warm),
        about(0.0, 0.05, "wires between them"),
    )


def _fan(controls: str, edits: Sequence[Edit]) -> OperatingPoint:
    return solve(read_shelf("radiator-fans"), controls, edits)[0]


def _coil_end_v(controls: str, edits: Sequence[Edit]) -> float:
    return _fan(controls, edits).voltages_v["A1.OUT1"]


def _below_v(controls: str, edits: Sequence[Edit]) -> float:
    point = _fan(controls, edits)
    return point.voltages_v["A1.OUT1"] - point.voltages_v["BAT.+"]


def _fan_words(controls: str, edits: Sequence[Edit]) -> str:
    point = _fan(controls, edits)
    return f"{point.loads['M1']}, {point.loads['M2']}"


def _uneven_v(controls: str) -> float:
    v = _fan(controls, ()).voltages_v
    return (v["M1.+"] - v["M1.-"]) - (v["M2.+"] - v["M2.-"])


def _leaks() -> Iterator[Check]:
    for held_v, was_on, state in LEAKS:
        before = "after it was on" if was_on else "never on"
        yield _fact(
            f"12 V relay with its control wire held at {held_v:g} V by a leak, {before}",
            "",
            partial(_held, held_v, was_on),
            state,
        )
    yield _fact(
        "split-charge relay with the engine running",
        "",
        partial(_joined, "engine=running"),
        "pulled",
    )
    yield _fact("split-charge relay with the engine standing", "", partial(_joined, ""), "released")


def _held(held_v: float, was_on: bool) -> str:
    parts = """
    S1: {kind: switch, pins: [1, 2], set by: button, positions: {off: [], on: [1-2]}}
    K1: {kind: relay, contact: NO, coil: 90 ohm, pull in: 7.2 V, drop out: 3.6 V}
    R1: {kind: resistor, resistance: 10 ohm}
    """
    wires = "BAT.+ to S1.1\nS1.2 to K1.86\nK1.85 to G1.1\n"
    wires += "BAT.+ to K1.30\nK1.87 to R1.1\nR1.2 to G1.2"
    circuit = bench(parts, wires, "button: {states: [off, on], rest: off}")
    leak = Bridge("K1.86", "BAT.+", 90.0 * (12.0 / held_v - 1.0))
    before = [{"button": "on" if was_on else "off"}]
    return solve(circuit, "button=off", [leak], after=before)[0].states["K1"]


def _joined(controls: str) -> str:
    return solve(example("second battery"), controls)[0].states["K1"]


def _broken() -> Iterator[Check]:
    bad: list[Edit] = [Open("G1.1"), Bridge("L1.2", BODY, 3.0)]
    yield _fact("lamp on a bad ground", "", partial(_lamp_word, bad), "dim")
    yield _fact("the same lamp on a good one", "", partial(_lamp_word, []), "bright")
    yield _fact(
        "ground side of the lamp on a bad ground",
        "V",
        partial(_ground_side_v, bad),
        at_least(3.0, "it is lifted"),
    )
    for name, controls, load, word in BROKEN:
        yield _fact(
            f"{name}: element of {load} broken",
            "",
            partial(_element_word, name, controls, load),
            word,
        )
        yield _fact(
            f"{name}: volts across the broken {load}",
            "V",
            partial(_element_v, name, controls, load),
            at_least(11.0, "the supply"),
        )


def _lamp(edits: Sequence[Edit]) -> OperatingPoint:
    circuit = bench("L1: {kind: lamp, power: 21 W}", "BAT.+ to L1.1\nL1.2 to G1.1")
    return solve(circuit, edits=edits)[0]


def _lamp_word(edits: Sequence[Edit]) -> str:
    return _lamp(edits).loads["L1"]


def _ground_side_v(edits: Sequence[Edit]) -> float:
    return _lamp(edits).voltages_v["L1.2"]


def _element(name: str, controls: str, load: str) -> OperatingPoint:
    return solve(read_shelf(name), controls, [Open(f"{load}.element")])[0]


def _element_word(name: str, controls: str, load: str) -> str:
    return _element(name, controls, load).loads[load]


def _element_v(name: str, controls: str, load: str) -> float:
    v = _element(name, controls, load).voltages_v
    return v[f"{load}.1"] - v[f"{load}.2"]
