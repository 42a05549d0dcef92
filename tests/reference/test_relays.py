"""Relay coils against data sheets: coil arithmetic, and pull-in and drop-out with their memory."""

import numpy as np
import pytest

from loomwise.edits import SetEmf
from loomwise.solver.engines import Direct
from loomwise.solver.operate import operate
from loomwise.solver.rows import make_rows
from tests.solver.bench import bench, brought_to_rest, state_of
from tests.solver.small import parse_element, solve_elements

COILS = [  # coil ohm, suppression ohm, volts, at the terminals ohm, half unit, amps, half unit
    # 76 ohm and 680 ohm, https://xonelec.com/mpn/omron/g8jn1c6tfdc12 ; solved: 68.36 ohm, 175.5 mA
    (76, "R2 R 680 a 0", 12, 68.36, 0.005, 175.5e-3, 5e-5),
    # 287.2 ohm printed, https://novapart.co/products/CB1R24/ ; bare coil 320 ohm from memory
    (320, "R2 R 2800 a 0", 24, 287.2, 0.05, None, None),
    # 53.3 mA printed, https://azmanual.top/manuals/175663/panasonic-cr-relays.html?page=2
    (225, "", 12, None, None, 53.3e-3, 5e-5),
]


@pytest.mark.parametrize("coil", COILS, ids=lambda c: f"{c[0]} ohm")
def test_coil_current(
    coil: tuple[float, str, float, float | None, float | None, float | None, float | None],
) -> None:
    """A coil and its suppression resistor share the current as the data sheet says."""
    ohm, beside, volts, at_terminals, half_ohm, amps, half_a = coil
    listed = [f"B V {volts} a 0", f"R1 R {ohm} a 0", *filter(None, [beside])]
    answer = solve_elements(parse_element(line) for line in listed)
    total = -answer.amps["B"]
    if at_terminals is not None:
        assert volts / total == pytest.approx(at_terminals, abs=half_ohm)
    if amps is not None:
        assert total == pytest.approx(amps, abs=half_a)


def test_coil_power() -> None:
    """A 75 ohm coil on 12 V takes 1.9 W (https://dtsheet.com/doc/683074/oenindia-791-1c-121)."""
    answer = solve_elements(parse_element(line) for line in ["B V 12 a 0", "R1 R 75 a 0"])
    assert answer.power_w("R1") == pytest.approx(1.9, abs=0.05)


SHEETS = [  # nominal V, coil ohm, must operate by V, must release by V
    (12, 76, 8.0, 1.0),  # https://xonelec.com/mpn/omron/g8jn1c6tfdc12
    (12, 103, 7.0, 1.2),  # http://elcodis.com/parts/853837/CB1F-D-12V_p11.html
    (24, 320, 14.0, 2.4),  # https://novapart.co/products/CB1R24/ ; volts from memory
    (12, 90, 7.2, 1.2),  # https://novapart.co/products/V23134A1052X299/ ; volts from memory
    (12, 260, 7.2, 1.2),  # https://dtsheet.com/doc/682964/oenindia-40-12-2ce
    (12, 225, 7.2, 1.0),  # https://azmanual.top/manuals/175663/panasonic-cr-relays.html?page=2
]


@pytest.mark.parametrize(("nominal_v", "ohm", "operate_v", "release_v"), SHEETS)
def test_pull_in_and_drop_out(
    nominal_v: int, ohm: float, operate_v: float, release_v: float
) -> None:
    """A relay pulls at its operate volts, holds down to its release volts, and lets go there."""
    relay = f"K1: {{kind: relay, contact: NO, coil: {ohm} ohm, pull in: {operate_v} V, "
    relay += f"drop out: {release_v} V}}\nR1: {{kind: resistor, resistance: 1 kohm}}"
    wires = "BAT.+ to K1.86, RD 50 mm2, 0.01 m\nK1.85 to G1.1, BN 50 mm2, 0.01 m\n"
    wires += "BAT.+ to K1.30\nK1.87 to R1.1\nR1.2 to G1.2"
    circuit = bench(relay, wires, supply_v=nominal_v, emf_v=nominal_v)
    middle = (operate_v + release_v) / 2
    steps = [middle, operate_v * 1.005, middle, release_v * 1.005, release_v * 0.995, middle]
    plant, _, _ = brought_to_rest(circuit, {}, [()])
    state = np.zeros(len(plant.net.devices), dtype=np.int8)
    seen = []
    for volts in steps:
        rows = make_rows(plant.net, state, [(SetEmf("BAT.cell", volts),)])
        at = operate(plant, rows, Direct())
        state = at.state[0]
        seen.append(state_of(plant, at, "K1"))
    assert seen == ["released", "pulled", "pulled", "pulled", "released", "released"]
