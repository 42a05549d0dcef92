"""A short circuit for every part kind: what the contract runs over, and how each is written.

``CASES`` holds parts, wires and controls for ``tests.solver.bench.bench``, one entry a line.
"""

from functools import cache

from loomwise.circuit.model import Circuit
from tests.solver.bench import bench

Case = tuple[str, str, str]

CASES: dict[str, Case] = {
    "basics": (
        """
        F1: {kind: fuse, rating: 10 A}
        SP1: {kind: splice, pins: [1, 2, 3, 4, 5, 6, 7]}
        L1: {kind: lamp, power: 21 W}
        R1: {kind: resistor, resistance: 100 ohm}
        R2: {kind: heater, power: 60 W}
        D1: {kind: diode}
        W1: {kind: two-speed motor, current: 5 A}
        K1: {kind: relay, contact: change-over, suppression: diode}
        """,
        """
        BAT.+ to F1.1
        F1.2 to SP1.1
        SP1.2 to L1.1
        L1.2 to G1.1
        SP1.3 to R1.1
        R1.2 to D1.A
        D1.K to G1.2
        SP1.4 to R2.1
        R2.2 to G1.3
        SP1.5 to K1.86
        K1.85 to G1.4
        SP1.6 to K1.30
        K1.87 to W1.53
        K1.87a to W1.53i
        W1.31 to G1.5
        """,
        "",
    ),
    "starting and charging": (
        """
        AL1: {kind: charging source, set by: engine, while: [running]}
        FL1: {kind: fusible link, rating: 120 A}
        K1: {kind: starter solenoid}
        M1: {kind: motor, current: 150 A}
        S1: {kind: switch, pins: [1, 2], set by: key, positions: {off: [], start: [1-2]}}
        L1: {kind: lamp, power: 2 W}
        G2: {kind: ground, pins: [1, 2, 3, 4], metal: engine}
        """,
        """
        G2.4 to G1.1, BK 35 mm2, 0.5 m
        BAT.+ to K1.30, RD 35 mm2, 1 m
        K1.45 to M1.+, RD 35 mm2, 0.1 m
        M1.- to G2.1, BK 35 mm2, 0.1 m
        K1.31 to G2.2
        BAT.+ to S1.1
        S1.2 to K1.50, RD 2.5 mm2, 2 m
        AL1.B+ to FL1.1, RD 10 mm2, 0.3 m
        FL1.2 to BAT.+, RD 10 mm2, 1 m
        AL1.B- to G2.3, BK 16 mm2, 0.1 m
        BAT.+ to L1.1
        L1.2 to AL1.D+
        """,
        "engine: {states: [stopped, running], rest: stopped}, "
        "key: {states: [off, start], rest: off}",
    ),
    "second battery": (
        """
        AL1: {kind: charging source, set by: engine, while: [running]}
        K1: {kind: split-charge relay}
        BAT2: {kind: battery, emf: 12.3 V}
        L1: {kind: lamp, power: 10 W}
        """,
        """
        AL1.B+ to BAT.+, RD 16 mm2, 1 m
        AL1.B- to G1.1, BK 16 mm2, 0.3 m
        BAT.+ to K1.30, RD 10 mm2, 0.5 m
        K1.31 to G1.2
        K1.87 to BAT2.+, RD 10 mm2, 3 m
        BAT2.- to G1.3, BK 10 mm2, 0.3 m
        BAT2.+ to L1.1
        L1.2 to G1.4
        """,
        "engine: {states: [stopped, running], rest: stopped}",
    ),
    "breakers": (
        """
        B1: {kind: breaker, rating: 10 A}
        B2: {kind: breaker, rating: 10 A, reset: held}
        B3: {kind: breaker, rating: 10 A, reset: by hand}
        P1: {kind: PTC, hold: 6 A}
        H1: {kind: heater, power: 60 W}
        H2: {kind: heater, power: 60 W}
        H3: {kind: solenoid}
        H4: {kind: horn}
        """,
        """
        BAT.+ to B1.1
        B1.2 to H1.1
        H1.2 to G1.1
        BAT.+ to B2.1
        B2.2 to H2.1
        H2.2 to G1.2
        BAT.+ to B3.1
        B3.2 to H3.1
        H3.2 to G1.3
        BAT.+ to P1.1
        P1.2 to H4.1
        H4.2 to G1.4
        """,
        "",
    ),
    "lights": (
        """
        K1: {kind: flasher, set by: flash, while: [on]}
        SP1: {kind: splice, pins: [1, 2, 3]}
        L1: {kind: two-filament lamp, power 1: 21 W, power 2: 5 W}
        D1: {kind: LED}
        Z1: {kind: zener, breakdown: 24 V, both ways: yes}
        R1: {kind: resistor, resistance: 470 ohm}
        Z2: {kind: zener, breakdown: 5.1 V}
        C1: {kind: capacitor, capacitance: 470 nF}
        """,
        """
        BAT.+ to K1.49
        K1.31 to G1.1
        K1.49a to SP1.1
        SP1.2 to L1.1
        BAT.+ to L1.2
        L1.31 to G1.2
        SP1.3 to D1.A
        D1.K to G1.3
        BAT.+ to Z1.K
        Z1.A to G1.4
        BAT.+ to R1.1
        R1.2 to Z2.K
        Z2.A to G1.5
        BAT.+ to C1.1
        C1.2 to G1.6
        """,
        "flash: {states: [off, on], rest: off, set by: nobody}",
    ),
    "wiper": (
        """
        P1: {kind: park switch, set by: wiper, while: [parked]}
        M1: {kind: two-speed motor, current: 5 A}
        S1: {kind: switch, pins: [53, 53e, 15], set by: stalk,
             positions: {off: [53-53e], on: [53-15]}}
        """.replace(",\n             positions", ", positions"),
        """
        BAT.+ to S1.15
        S1.53 to M1.53
        S1.53e to P1.53e
        BAT.+ to P1.53a
        P1.31 to G1.1
        M1.31 to G1.2
        """,
        "wiper: {states: [parked, moving], rest: parked, set by: nobody}, "
        "stalk: {states: [off, on], rest: off}",
    ),
    "24 V with a 12 V tap": (
        """
        BAT2: {kind: battery, emf: 12 V, resistance: 1 mohm}
        E1: {kind: equaliser}
        L1: {kind: lamp, power: 70 W}
        R1: {kind: heater, power: 60 W}
        """,
        """
        BAT2.- to BAT.+, RD 35 mm2, 0.3 m
        BAT2.+ to E1.24, RD 6 mm2, 1 m
        BAT.+ to E1.12, RD 6 mm2, 1 m
        E1.31 to G1.1
        BAT2.+ to L1.1
        L1.2 to G1.2
        E1.12 to R1.1
        R1.2 to G1.3
        """,
        "",
    ),
    "sensors": (
        """
        A1: {kind: module, pins: {30: {role: supply}, 31: {role: ground}, PINS}}
        P1: {kind: potentiometer, set by: pedal, shares: {up: 15 %, down: 80 %}}
        N1: {kind: NTC, set by: coolant, temperatures: {cold: 0 C, warm: 85 C}}
        S1: {kind: ladder switch, set by: stalk, ohms: {off: 10 kohm, on: 1 kohm}}
        T1: {kind: sensor, set by: coolant, ohms: {cold: 1 kohm, warm: 200 ohm}}
        """.replace(
            "PINS",
            "V5: {role: sensor supply}, P: {role: input, pull: down, resistance: 100 kohm, "
            "bands: [up below 2.5 V, down]}, " + ", ".join(
                f"I{n}: {{role: input, pull: up, to: 5 V, resistance: {kilohm} kohm, "
                "bands: [low below 2.5 V, high]}" for n, kilohm in ((1, 10), (2, 2.2), (3, 2.2))
            ),
        ),
        """
        BAT.+ to A1.30
        A1.31 to G1.1
        A1.V5 to P1.+
        P1.S to A1.P
        P1.- to G1.2
        A1.I1 to N1.1
        N1.2 to G1.3
        A1.I2 to S1.1
        S1.2 to G1.4
        A1.I3 to T1.1
        T1.2 to G1.5
        """,
        "pedal: {states: [up, down], rest: up}, coolant: {states: [cold, warm], rest: cold}, "
        "stalk: {states: [off, on], rest: off}",
    ),
    "outputs": (
        """
        A1: {kind: module, pins: {30: {role: supply}, 31: {role: ground}, PINS}}
        M1: {kind: reversible motor, current: 5 A}
        L1: {kind: lamp, power: 21 W}
        H1: {kind: heater, power: 30 W}
        H2: {kind: heater, power: 30 W}
        """.replace(
            "PINS",
            "O1: {role: half-bridge}, O2: {role: half-bridge, trip: 20 A}, "
            "PH: {role: high-side, duty: 40 %}, PL: {role: low-side, duty: 25 %, pull: up, "
            "to: 9 V, resistance: 10 kohm}, OH: {role: high-side, trip: 5 A, pull: up, "
            "to: 10 V, resistance: 22 kohm}",
        ),
        """
        BAT.+ to A1.30
        A1.31 to G1.1
        A1.O1 to M1.1
        A1.O2 to M1.2
        A1.PH to L1.1
        L1.2 to G1.4
        BAT.+ to H1.1
        H1.2 to A1.PL
        A1.OH to H2.1
        H2.2 to G1.5
        """,
        "",
    ),
    "buses": (
        "".join(
            f"""
            {name}: {{kind: module, pins: {{30: {{role: supply}}, 31: {{role: ground}}, PINS}}}}
            """.replace(
                "PINS",
                "H: {role: can-h, terminator: 120 ohm, set by: bus}, L: {role: can-l}, "
                f"LIN: {{role: lin, {pull}set by: bus}}, "
                "SH: {role: slow can-h, set by: bus}, SL: {role: slow can-l}",
            )
            for name, pull in (("A1", "resistance: 1 kohm, "), ("A2", ""))
        ),
        """
        BAT.+ to A1.30
        A1.31 to G1.1
        BAT.+ to A2.30
        A2.31 to G1.2
        A1.H to A2.H
        A1.L to A2.L
        A1.LIN to A2.LIN
        A1.SH to A2.SH
        A1.SL to A2.SL
        """,
        "bus: {states: [traffic, recessive, dominant], rest: traffic, set by: nobody}",
    ),
}  # fmt: skip
SUPPLIES = {"24 V with a 12 V tap": 24}


@cache
def example(name: str) -> Circuit:
    """One of the circuits."""
    parts, wires, controls = CASES[name]
    return bench(parts, wires, controls, supply_v=SUPPLIES.get(name, 12))
