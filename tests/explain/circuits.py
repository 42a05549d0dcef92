"""Small invented circuits that hold themselves, chatter, or feed back."""

from functools import cache

from loomwise.advice.expert import all_setups
from loomwise.circuit.model import Circuit
from loomwise.circuit.reader import read_circuit
from loomwise.explain import Explanation, LoadExplained, explain
from loomwise.shelf import read_shelf
from loomwise.solver.result import plant_of
from loomwise.usecases.faults_of import faults_of

HEAD = """\
format: 1
supply: 12 V
units:
  battery: {price: 140, minutes: 20}
  fuse box: {price: 300, minutes: 60}
  panel: {price: 60, minutes: 20}
  loads: {price: 30, minutes: 20}
"""

HOLDING = (
    HEAD
    + """\
title: Rear window heater, held in by its own relay
controls:
  key: {states: [off, run], rest: off}
  button: {states: [free, pressed], rest: free}
parts:
  BAT: {kind: battery, in: battery}
  F1: {kind: fuse, in: fuse box, rating: 25 A}
  S1: {kind: switch, in: panel, pins: [1, 2], set by: key, positions: {off: [], run: [1-2]}}
  S2: {kind: switch, in: panel, pins: [1, 2], set by: button, positions: {free: [], pressed: [1-2]}}
  K1: {kind: relay, in: fuse box, contact: NO}
  H1: {kind: heater, in: loads, power: 150 W}
  SP1: {kind: splice, pins: [1, 2, 3]}
  SP2: {kind: splice, pins: [1, 2, 3]}
  SP3: {kind: splice, pins: [1, 2, 3]}
  D1: {kind: diode, in: fuse box}
  G1: {kind: ground, pins: [1, 2, 3]}
wires:
  - BAT.+ to F1.1, RD 4 mm2, 1 m
  - BAT.- to G1.1, BK 16 mm2, 0.4 m
  - F1.2 to S1.1, RD 4 mm2, 1 m
  - S1.2 to SP1.1, BK 4 mm2, 1 m
  - SP1.2 to K1.30, BK 4 mm2, 1 m
  - SP1.3 to S2.1, BK 0.75 mm2, 1 m
  - S2.2 to SP2.1, WH 0.75 mm2, 1 m
  - SP2.2 to K1.86, WH 0.75 mm2, 1 m
  - K1.87 to SP3.1, GN 4 mm2, 1 m
  - SP3.2 to H1.1, GN 4 mm2, 2 m
  - SP3.3 to D1.A, GN 0.75 mm2, 0.2 m
  - D1.K to SP2.3, GN 0.75 mm2, 0.2 m
  - K1.85 to G1.2, BN 0.75 mm2, 0.5 m
  - H1.2 to G1.3, BN 4 mm2, 2 m
"""
)

CHATTERING = (
    HEAD
    + """\
title: Lamp behind a relay that cuts its own feed
controls:
  key: {states: [off, run], rest: off}
parts:
  BAT: {kind: battery, in: battery}
  F1: {kind: fuse, in: fuse box, rating: 10 A}
  S1: {kind: switch, in: panel, pins: [1, 2], set by: key, positions: {off: [], run: [1-2]}}
  K1: {kind: relay, in: fuse box, contact: change-over}
  L1: {kind: lamp, in: loads, power: 21 W}
  G1: {kind: ground, pins: [1, 2, 3]}
  SP1: {kind: splice, pins: [1, 2, 3]}
wires:
  - BAT.+ to F1.1, RD 4 mm2, 1 m
  - BAT.- to G1.1, BK 16 mm2, 0.4 m
  - F1.2 to S1.1, RD 2.5 mm2, 1 m
  - S1.2 to K1.30, BK 2.5 mm2, 1 m
  - K1.87a to SP1.1, GN 2.5 mm2, 1 m
  - SP1.2 to K1.86, GN 0.75 mm2, 0.2 m
  - SP1.3 to L1.1, GN 1.5 mm2, 1 m
  - K1.85 to G1.2, BN 0.75 mm2, 0.5 m
  - L1.2 to G1.3, BN 1.5 mm2, 0.5 m
"""
)

TELLTALE = (
    HEAD
    + """\
title: Turn signals with one telltale between both sides
controls:
  turn: {states: [off, left, right], rest: off}
parts:
  BAT: {kind: battery, in: battery}
  F1: {kind: fuse, in: fuse box, rating: 10 A}
  S1: {kind: switch, in: panel, pins: [49, L, R], set by: turn,
    positions: {off: [], left: [49-L], right: [49-R]}}
  L1: {kind: lamp, in: loads, power: 21 W}
  L2: {kind: lamp, in: loads, power: 21 W}
  L3: {kind: lamp, in: loads, power: 2 W}
  SP1: {kind: splice, pins: [1, 2, 3]}
  SP2: {kind: splice, pins: [1, 2, 3]}
  G1: {kind: ground, pins: [1, 2, 3]}
wires:
  - BAT.+ to F1.1, RD 4 mm2, 1 m
  - BAT.- to G1.1, BK 16 mm2, 0.4 m
  - F1.2 to S1.49, RD 1.5 mm2, 1 m
  - S1.L to SP1.1, BKWH 1.5 mm2, 1 m
  - S1.R to SP2.1, BKGN 1.5 mm2, 1 m
  - SP1.2 to L1.1, BKWH 1.5 mm2, 1 m
  - SP2.2 to L2.1, BKGN 1.5 mm2, 1 m
  - SP1.3 to L3.1, BKWH 0.5 mm2, 1 m
  - SP2.3 to L3.2, BKGN 0.5 mm2, 1 m
  - L1.2 to G1.2, BN 1.5 mm2, 0.5 m
  - L2.2 to G1.3, BN 1.5 mm2, 0.5 m
"""
)


@cache
def explained(which: str) -> Explanation:
    """How a circuit above, or one on the shelf, works."""
    own = {"holding": HOLDING, "chattering": CHATTERING, "telltale": TELLTALE}
    circuit = read_circuit(own[which], which) if which in own else read_shelf(which)
    return of(circuit)


def of(circuit: Circuit) -> Explanation:
    """How a circuit works, all its faults looked at."""
    plant = plant_of(circuit)
    return explain(circuit, plant, all_setups(circuit), faults_of(circuit, plant))


def load(which: str, name: str) -> LoadExplained:
    """How one load works."""
    return next(one for one in explained(which).loads if one.load == name)
