"""Lamps: rated current and power, and the filament cold."""

import math
from collections.abc import Iterator
from functools import partial

import numpy as np

from loomwise.circuit.filament import cold_share, temperature_c
from loomwise.circuit.ntc import ZERO_K
from loomwise.setups import parse_setup
from loomwise.solver.laws import filament
from loomwise.solver.result import plant_of
from loomwise.usecases.instrument import show_instrument
from loomwise.usecases.predict import solve as solve_at
from tests.outside import sources as s
from tests.outside.check import (
    COMPUTED,
    REMEMBERED,
    Check,
    Source,
    about,
    at_most,
    between,
    digits,
    share,
)
from tests.solver.bench import bench, solve

TUNGSTEN = [(400, 1.43), (600, 2.34), (1000, 4.41), (1500, 7.14), (2000, 10.03), (2500, 13.08),
            (3000, 16.29)]  # fmt: skip
RATED = [  # V, W, A
    (12.0, 3.0, "0.25", s.INFINISPARK, "how much current a lamp draws"),
    (24.0, 25.0, "1.04", s.INFINISPARK, "by rating"),
    (12.0, 30.0, "2.50", s.CP, "20.2 (m42344): 12.0 V, 2.50 A"),
]
R37: list[tuple[str, int, int, Source]] = [
    ("PY21/5W", 12, 21, s.GRE_2012),
    ("PY21/5W", 12, 5, s.GRE_2012),
    ("H1", 12, 55, s.BULB_TYPES),
    ("H1", 24, 70, s.BULB_TYPES),
    ("H3", 12, 55, s.BULB_TYPES),
    ("H3", 24, 70, s.BULB_TYPES),
    ("H4", 24, 75, s.H4_24),
    ("H4", 24, 70, s.H4_24),
    ("H4", 12, 60, REMEMBERED),
    ("H4", 12, 55, REMEMBERED),
    ("R5W", 12, 5, REMEMBERED),
    ("R10W", 24, 10, REMEMBERED),
    ("T4W", 12, 4, REMEMBERED),
]


def checks() -> Iterator[Check]:
    """Every check of this topic."""
    for volts, watts, amps, source, where in RATED:
        yield Check(
            f"{volts:g} V {watts:g} W lamp at its rated volts",
            "A",
            partial(_amps, volts, volts, watts),
            digits(amps),
            source,
            where,
        )
    why = "0.2 % of volts lost in wires are 0.3 % of watts"
    for category, volts, watts, source in R37:
        yield Check(
            f"{category} of {volts} V {watts} W in a circuit",
            "W",
            partial(_watts, volts, watts),
            share(watts, 4e-3, why),
            source,
        )
    for watts, most in ((21.0, 26.5), (5.0, 6.6)):
        yield Check(
            f"PY21/5W, {watts:g} W filament at 13.5 V",
            "W",
            partial(_watts_at, 13.5, watts),
            at_most(most),
            s.GRE_2012,
        )
        law = watts * 1.125**1.54
        yield Check(
            f"{watts:g} W of 12 V at 13.5 V, by V^1.54",
            "W",
            partial(_watts_at, 13.5, watts),
            share(law, 2e-3, "our exponent is 1.55"),
            REMEMBERED,
        )
    yield Check(
        "headlamp of 4.80 ohm hot, cold",
        "ohm",
        _cold_ohm,
        digits("0.350"),
        s.CP,
        "20.3 (m42346); University Physics vol. 2, 9.3",
    )
    yield Check(
        "two-filament lamp 21/5 W, large filament",
        "A",
        partial(_one_of_two, 1),
        share(21 / 12, 0.01, "wires of a circuit"),
        s.GRE_2012,
        mark=COMPUTED,
    )
    yield Check(
        "two-filament lamp 21/5 W, small filament",
        "A",
        partial(_one_of_two, 2),
        share(5 / 12, 0.01, "wires of a circuit"),
        s.GRE_2012,
        mark=COMPUTED,
    )
    for kelvin, ratio in TUNGSTEN:
        yield Check(
            f"temperature of tungsten of {ratio:g} times its resistance at 300 K", "K",
            partial(_kelvin, ratio), share(kelvin, 0.05, "one power law for the whole table"),
            REMEMBERED, "table of R/R300",
        )  # fmt: skip
    yield Check(
        "filament of 0.350 ohm at 20 °C, at 40 °C", "ohm", lambda: 0.350 * cold_share(40),
        about(0.3815, 5e-5, "0.0045 per K over 20 K"), s.UP, "9.3, coefficient", COMPUTED,
    )  # fmt: skip
    yield Check(
        "power of a filament from half to full voltage, exponent of its temperature", "-",
        _radiation_exponent, between(4.0, 5.1, "tungsten radiates a little more than T^4"), s.UP,
        "1.6, Stefan-Boltzmann law",
    )  # fmt: skip
    yield Check(
        "21 W lamp taken out, by an ohmmeter, over its resistance lit", "-", _ohmmeter_share,
        between(1 / 15, 1 / 10), s.INRUSH, "10 to 15 times",
    )  # fmt: skip


def _kelvin(ratio: float) -> float:
    return temperature_c(ratio * cold_share(26.85)) + ZERO_K


def _radiation_exponent() -> float:
    ohms = [v / _amps(v, 12.0, 21.0) for v in (1e-6, 6.0, 12.0)]
    kelvin = [temperature_c(r / ohms[0]) + ZERO_K for r in ohms[1:]]
    watts = [_watts_at(v, 21.0) for v in (6.0, 12.0)]
    return math.log(watts[1] / watts[0]) / math.log(kelvin[1] / kelvin[0])


def _ohmmeter_share() -> float:
    circuit = bench("L1: {kind: lamp, power: 21 W}", "BAT.+ to L1.1\nL1.2 to G1.1")
    setup, plant = parse_setup(circuit, "", ["BAT off"]), plant_of(circuit)
    meter = show_instrument(circuit, "L1.1,L1.2", "ohmmeter", setup)
    assert meter is not None
    alone, with_it = (solve_at(circuit, plant, setup, (), e) for e in ((), meter.edits))
    return (meter.read(alone[0], with_it).value or math.nan) / (12 * 12 / 21)


def _amps(volts: float, rated_v: float, rated_w: float) -> float:
    return float(filament(np.array(volts), np.array([rated_v, rated_w / rated_v, 12.0]))[0])


def _watts_at(volts: float, rated_w: float) -> float:
    return _amps(volts, 12.0, rated_w) * volts


def _watts(rated_v: int, rated_w: int) -> float:
    lamp = f"L1: {{kind: lamp, power: {rated_w} W, rated: {rated_v} V}}"
    wires = "BAT.+ to L1.1, RD 95 mm2, 0.01 m\nL1.2 to G1.1, BN 95 mm2, 0.01 m"
    return solve(bench(lamp, wires, emf_v=rated_v, supply_v=rated_v))[0].powers_w["L1"]


def _cold_ohm() -> float:
    _, slope = filament(np.array(0.0), np.array([12.0, 2.5, 4.80 / 0.350]))
    return float(1.0 / slope)


def _one_of_two(pin: int) -> float:
    wires = f"BAT.+ to L1.{pin}, RD 16 mm2, 0.1 m\nL1.31 to G1.1, BK 16 mm2, 0.1 m"
    circuit = bench("L1: {kind: two-filament lamp, power 1: 21 W, power 2: 5 W}", wires)
    return solve(circuit)[0].currents_a[f"L1.{pin}.element"]
