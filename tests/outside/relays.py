"""Relays: coil arithmetic, pull-in and drop-out of data sheets."""

from collections.abc import Iterator
from functools import partial

import numpy as np

from loomwise.edits import SetEmf
from loomwise.solver.engines import Direct
from loomwise.solver.operate import operate
from loomwise.solver.rows import make_rows
from tests.outside import sources as s
from tests.outside.check import COMPUTED, MEMORY, PUBLISHED, Check, Figure, digits
from tests.solver.bench import bench, brought_to_rest, state_of
from tests.solver.small import parse_element, solve_elements

SHEETS = [  # nominal V, coil ohm, must operate by V, must release by V
    (12, 76, 8.0, 1.0, s.G8JN, PUBLISHED),
    (12, 103, 7.0, 1.2, s.CB1F, PUBLISHED),
    (24, 320, 14.0, 2.4, s.CB1R24, MEMORY),
    (12, 90, 7.2, 1.2, s.V23134A, MEMORY),
    (12, 260, 7.2, 1.2, s.OEN_40, PUBLISHED),
    (12, 225, 7.2, 1.0, s.CR2, PUBLISHED),
]


def checks() -> Iterator[Check]:
    """Every check of this topic."""
    yield Check(
        "76 ohm coil beside 680 ohm, at the terminals",
        "ohm",
        partial(_coil_ohm, 12, 76, 680),
        digits("68.36"),
        s.G8JN,
        mark=COMPUTED,
    )
    yield Check(
        "the same on 12 V",
        "mA",
        lambda: 12e3 / _coil_ohm(12, 76, 680),
        digits("175.5"),
        s.G8JN,
        mark=COMPUTED,
    )
    yield Check(
        "320 ohm coil beside 2.8 kohm, at the terminals",
        "ohm",
        partial(_coil_ohm, 24, 320, 2800),
        digits("287.2"),
        s.CB1R24,
        "the bare coil's 320 ohm from memory",
    )
    yield Check(
        "225 ohm coil on 12 V", "mA", lambda: 12e3 / _coil_ohm(12, 225), digits("53.3"), s.CR2
    )
    yield Check(
        "75 ohm coil on 12 V", "W", lambda: 144 / _coil_ohm(12, 75), digits("1.9"), s.OEN_79
    )
    why = "the sheet's limit, taken as the relay's own value; 0.5 % off it on either side"
    for nominal_v, ohm, operate_v, release_v, source, mark in SHEETS:
        near = Figure(f"{operate_v:g}", operate_v * 0.995, operate_v * 1.005, why)
        yield Check(
            f"{nominal_v} V relay of {ohm} ohm pulls in at",
            "V",
            partial(_turns_at, nominal_v, ohm, operate_v, release_v, True),
            near,
            source,
            mark=mark,
        )
        near = Figure(f"{release_v:g}", release_v * 0.995, release_v * 1.005, why)
        yield Check(
            f"{nominal_v} V relay of {ohm} ohm lets go at",
            "V",
            partial(_turns_at, nominal_v, ohm, operate_v, release_v, False),
            near,
            source,
            mark=mark,
        )


def _coil_ohm(volts: float, ohm: float, beside_ohm: float | None = None) -> float:
    """Resistance at a coil's terminals, from the current it takes."""
    lines = [f"B V {volts} a 0", f"R1 R {ohm} a 0"]
    lines += [f"R2 R {beside_ohm} a 0"] if beside_ohm else []
    return -volts / solve_elements(parse_element(line) for line in lines).amps["B"]


def _turns_at(
    nominal_v: int, ohm: float, operate_v: float, release_v: float, rising: bool
) -> float:
    """The voltage at which the relay changes over, swept in steps of a fifth of a percent. [V]"""
    relay = f"K1: {{kind: relay, contact: NO, coil: {ohm} ohm, pull in: {operate_v} V, "
    relay += f"drop out: {release_v} V}}\nR1: {{kind: resistor, resistance: 1 kohm}}"
    wires = "BAT.+ to K1.86, RD 50 mm2, 0.01 m\nK1.85 to G1.1, BN 50 mm2, 0.01 m\n"
    wires += "BAT.+ to K1.30\nK1.87 to R1.1\nR1.2 to G1.2"
    circuit = bench(relay, wires, supply_v=nominal_v, emf_v=nominal_v)
    plant, _, _ = brought_to_rest(circuit, {}, [()])
    state = np.zeros(len(plant.net.devices), dtype=np.int8)
    sweep = np.arange(0.98, 1.02, 0.002)
    steps = operate_v * sweep if rising else np.append(nominal_v, release_v * sweep[::-1])
    before = "released" if rising else "pulled"
    for volts in steps:
        rows = make_rows(plant.net, state, [(SetEmf("BAT.cell", float(volts)),)])
        at = operate(plant, rows, Direct())
        state = at.state[0]
        if state_of(plant, at, "K1") != before:
            return float(volts)
    return float("nan")
