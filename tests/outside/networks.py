"""Buses and sensors: levels, terminators, pull-ups, NTC."""

from collections.abc import Iterator
from functools import partial

from loomwise.circuit.ntc import ntc_resistance_ohm
from loomwise.edits import Bridge, Edit, Open
from loomwise.faults import enumerate_faults
from loomwise.solver.result import source_between_ohm
from tests.contract.examples import example
from tests.outside import sources as s
from tests.outside.check import (
    COMPUTED,
    PRACTICE,
    REMEMBERED,
    Check,
    about,
    at_least,
    at_most,
    between,
    digits,
    share,
)
from tests.solver.bench import solve

THIRD = Bridge("A1.H", "A1.L", 120.0)
ENDS: list[tuple[str, tuple[Edit, ...], float]] = [
    ("both terminators", (), 60.0),
    ("one terminator missing", (Open("A2.H.terminator"),), 120.0),
    ("a third one fitted", (THIRD,), 40.0),
]
SHORTS: list[tuple[str, Edit, tuple[float, float], tuple[float, float]]] = [
    ("CAN_H on ground", Bridge("A1.H", "body", 0.1), (0.0, 0.1), (0.0, 0.3)),
    ("CAN_L on ground", Bridge("A1.L", "body", 0.1), (0.3, 2.4), (0.0, 0.1)),
    ("CAN_H on CAN_L", Bridge("A1.H", "A1.L", 0.1), (2.4, 2.6), (2.4, 2.6)),
    ("CAN_H on battery", Bridge("A1.H", "BAT.+", 0.1), (11.5, 12.1), (9.0, 12.0)),
]
RESISTANCES = [(0, "33.62"), (25, "10.00"), (50, "3.59"), (85, "1.09")]
LOADED = "what transceivers and wires of the circuit take"


def checks() -> Iterator[Check]:
    """Every check of this topic."""
    yield from _can()
    yield from _slow_can()
    yield from _lin()
    yield from _sensors()


def volts(bus: str, place: str, *edits: Edit) -> float:
    """Volts of a place of the example with buses."""
    return solve(example("buses"), f"bus={bus}", edits)[0].voltages_v[place]


def _between(bus: str, *edits: Edit) -> float:
    return volts(bus, "A1.H", *edits) - volts(bus, "A1.L", *edits)


def _can() -> Iterator[Check]:
    for what, edits, ohm in ENDS:
        yield Check(
            f"CAN_H to CAN_L, battery off, {what}",
            "ohm",
            partial(_ends_ohm, edits),
            share(ohm, 0.002, LOADED),
            s.CAN_ENDS,
            "120 ohm at each end",
            COMPUTED,
        )
    for bus, pin, level in (
        ("recessive", "H", 2.5),
        ("recessive", "L", 2.5),
        ("dominant", "H", 3.5),
        ("dominant", "L", 1.5),
    ):
        yield Check(
            f"CAN_{pin}, {bus}",
            "V",
            partial(volts, bus, f"A1.{pin}"),
            about(level, 0.02, LOADED),
            s.CAN_LEVELS,
        )
    yield Check(
        "dominant difference with three terminators",
        "V",
        partial(_between, "dominant", THIRD),
        at_least(0.9, "what a receiver needs"),
        s.CAN_LEVELS,
    )
    yield Check(
        "CAN_H in traffic on a slow meter",
        "V",
        partial(volts, "traffic", "A1.H"),
        between(2.5, 3.0),
        REMEMBERED,
    )
    yield Check(
        "CAN_L in traffic on a slow meter",
        "V",
        partial(volts, "traffic", "A1.L"),
        between(2.0, 2.5),
        REMEMBERED,
    )
    yield Check(
        "both in traffic together",
        "V",
        lambda: volts("traffic", "A1.H") + volts("traffic", "A1.L"),
        about(5.0, 0.02, LOADED),
        REMEMBERED,
    )
    for what, edit, high, low in SHORTS:
        for pin, (least, most) in (("H", high), ("L", low)):
            yield Check(
                f"{what}: CAN_{pin} in traffic",
                "V",
                partial(volts, "traffic", f"A1.{pin}", edit),
                between(least, most),
                PRACTICE,
            )


def _ends_ohm(edits: tuple[Edit, ...]) -> float:
    solved = solve(example("buses"), "", edits, undone=["BAT off"])[0].solution
    assert solved is not None
    return source_between_ohm(solved, "A1.H", "A1.L")


def _slow_can() -> Iterator[Check]:
    for bus, pin, level, within in (
        ("recessive", "SH", 0.0, 0.1),
        ("recessive", "SL", 5.0, 0.1),
        ("dominant", "SH", 3.6, 0.05),
        ("dominant", "SL", 1.4, 0.05),
    ):
        yield Check(
            f"fault-tolerant CAN, {pin[1:]} line, {bus}",
            "V",
            partial(volts, bus, f"A1.{pin}"),
            about(level, within, LOADED),
            REMEMBERED,
            "ISO 11898-3",
        )
    grounded = Bridge("A1.SH", "body", 0.1)
    yield Check(
        "fault-tolerant CAN, L line, dominant, H on ground",
        "V",
        partial(volts, "dominant", "A1.SL", grounded),
        about(1.4, 0.1, LOADED),
        PRACTICE,
    )


def _lin() -> Iterator[Check]:
    yield Check(
        "LIN, recessive, share of the supply",
        "-",
        lambda: volts("recessive", "A1.LIN") / 12.0,
        at_least(0.6),
        s.LIN_LEVELS,
    )
    yield Check(
        "LIN, dominant, share of the supply",
        "-",
        lambda: volts("dominant", "A1.LIN") / 12.0,
        at_most(0.4),
        s.LIN_LEVELS,
    )
    yield Check(
        "LIN, recessive, driver's share of the supply",
        "-",
        lambda: volts("recessive", "A1.LIN") / 12.0,
        at_least(0.8),
        REMEMBERED,
    )
    yield Check(
        "LIN, dominant, driver's share of the supply",
        "-",
        lambda: volts("dominant", "A1.LIN") / 12.0,
        at_most(0.2),
        REMEMBERED,
    )
    yield Check(
        "LIN pull-up of commander and one responder",
        "ohm",
        _pull_up_ohm,
        share(968.0, 0.02, "the diode drop is taken as 0.6 V"),
        s.LIN,
        "1 kohm beside 30 kohm",
        COMPUTED,
    )


def _pull_up_ohm() -> float:
    point = solve(example("buses"), "bus=recessive", [Bridge("A1.LIN", "body", 0.1)])[0]
    amps = point.currents_a["A1.LIN.pull"] + point.currents_a["A2.LIN.pull"]
    return (point.voltages_v["A1.30"] - 0.6) / amps


def _sensors() -> Iterator[Check]:
    for celsius, kilohm in RESISTANCES:
        yield Check(
            f"NTC 10 kohm, B 3950 K, {celsius} °C",
            "kohm",
            partial(_kilohm, celsius),
            digits(kilohm),
            s.NTC,
        )
    for coolant, level in (("cold", 3.854), ("warm", 0.490)):
        yield Check(
            f"the same under 10 kohm to 5 V, {coolant}",
            "V",
            partial(_sensed_v, coolant),
            about(level, 0.004, "what the wires and the 5 V supply lose"),
            s.NTC,
            "divider computed",
            COMPUTED,
        )
    yield Check(
        "sensor open: its input", "V", partial(_broken_v, "N1 open"), at_least(4.5), REMEMBERED
    )
    yield Check(
        "sensor shorted: its input", "V", partial(_broken_v, "N1 short"), at_most(0.5), REMEMBERED
    )


def _kilohm(celsius: float) -> float:
    return ntc_resistance_ohm(celsius, 10e3, 3950) / 1e3


def _sensed_v(coolant: str) -> float:
    point = solve(example("sensors"), f"coolant={coolant}")[0]
    return point.voltages_v["N1.1"] - point.voltages_v["A1.31"]


def _broken_v(fault: str) -> float:
    circuit = example("sensors")
    edits = next(f.edits for f in enumerate_faults(circuit, {}) if f.id == fault)
    return solve(circuit, "", edits)[0].voltages_v["N1.1"]
