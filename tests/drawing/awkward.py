"""A circuit that is hard to draw: long names, bare contacts, wires from a part to itself."""

AWKWARD = """
format: 1
title: Rear compartment ventilation, auxiliary consumers and everything that was ever added to them
supply: 24 V
units:
  battery: {price: 100, minutes: 10}
  auxiliary consumers box: {price: 210, minutes: 60}
  left rear combination lamp cluster: {price: 12, minutes: 5}
  Donaudampfschifffahrtselektrizitaetenhauptbetriebswerk: {price: 1, minutes: 1}
controls:
  compartment ventilation: {states: [off, on], rest: off}
connectors:
  C1: {halves: [auxiliary consumers box, loom], cavities: [left_return_1, 2, 3], minutes: 1}
parts:
  BAT: {kind: battery, in: battery}
  F_long_name_of_a_fuse: {kind: fuse, rating: 7.5 A, in: auxiliary consumers box}
  K1: {kind: relay, contact: change-over, suppression: diode, in: auxiliary consumers box}
  K2: {kind: relay, contact: NC, in: auxiliary consumers box}
  S1: {kind: switch, pins: [in, out_to_the_left, out_to_the_right], in: battery,
       set by: compartment ventilation,
       positions: {off: [in-out_to_the_left], on: [in-out_to_the_right]}}
  S2: {kind: switch, pins: [a1, a2, b1, b2], in: battery,
       set by: compartment ventilation, positions: {off: [], on: [a1-a2, b1-b2]}}
  E1: {kind: lamp, power: 21 W, in: left rear combination lamp cluster}
  E2: {kind: lamp, power: 21 W, in: Donaudampfschifffahrtselektrizitaetenhauptbetriebswerk}
  A1:
    kind: module
    in: battery
    pins:
      supply_terminal_30: {role: supply}
      31: {role: ground}
      OUT: {role: high-side}
      IDLE: {role: low-side}
  SP1: {kind: splice, pins: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]}
  G1: {kind: ground, pins: [1, 2, 3, 4, 5, 6, 7, spare]}
wires:
  - BAT.+ to F_long_name_of_a_fuse.1, RDWHBK 25 mm2, 0.5 m
  - F_long_name_of_a_fuse.2 to SP1.1
  - SP1.2 to K1.86
  - SP1.3 to K1.30
  - K1.87 to K2.30
  - K2.85 to K2.87a
  - SP1.4 to K2.86
  - SP1.5 to S1.in, BU 0.35 mm2
  - SP1.6 to SP1.7
  - S1.out_to_the_left to C1.left_return_1 to E1.1, YEGN 0.75 mm2, 3 m, in loom
  - S1.out_to_the_right to E2.1, VT 0.75 mm2, 3 m, in loom
  - E1.2 to G1.1, BN 1 mm2
  - E2.2 to G1.2, BN 1 mm2
  - K1.85 to G1.3
  - SP1.8 to S2.a1
  - S2.a2 to S2.b1
  - S2.b2 to G1.4
  - SP1.9 to A1.supply_terminal_30
  - A1.31 to G1.5
  - A1.OUT to C1.2, GY 0.5 mm2, in loom
  - BAT.- to G1.6, BK 35 mm2
  - K1.87a to G1.7
"""
