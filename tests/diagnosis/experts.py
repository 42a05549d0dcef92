"""Circuits made ready once for all tests, and short ways to write evidence."""

from collections.abc import Callable
from functools import cache

import numpy as np

from loomwise.advice.expert import Expert, make_expert
from loomwise.circuit.model import Circuit
from loomwise.circuit.reader import read_circuit
from loomwise.diagnosis.judge import Judge
from loomwise.diagnosis.ranking import Ranking
from loomwise.evidence import Evidence, Reading, Sign
from loomwise.evidence.items import Presence
from loomwise.setups import Setup, parse_setup
from loomwise.shelf import read_shelf
from loomwise.study.world import Truth, World

HEATER_LOOP = """
format: 1
title: Heater behind a fuse and a switch
supply: 12 V
sources: [{name: bench sheet 1, drawn: by the maker}]
units:
  battery: {price: 140, minutes: 20}
  box: {price: 90, minutes: 30}
  panel: {price: 60, minutes: 20}
  pad: {price: 50, minutes: 40}
connectors:
  C1: {halves: [loom, panel], cavities: 1, minutes: 2}
  C2: {halves: [pad, loom], cavities: 1, minutes: 2}
controls: {heat: {states: [off, on], rest: off}}
parts:
  BAT: {kind: battery, in: battery}
  F1: {kind: fuse, rating: 10 A, in: box}
  S1: {kind: switch, pins: [1, 2], in: panel, set by: heat, positions: {off: [], on: [1-2]}}
  R1: {kind: heater, power: 60 W, in: pad}
  G1: {kind: ground, pins: [1]}
  G2: {kind: ground, pins: [1]}
wires:
  - BAT.+ to F1.1, RD 2.5 mm2, 0.5 m
  - BAT.- to G1.1, BK 16 mm2, 0.4 m
  - F1.2 to C1.1 to S1.1, RD 1.5 mm2, 2 m
  - S1.2 to R1.1, RDWH 1.5 mm2, 1 m
  - R1.2 to C2.1 to G2.1, BN 1.5 mm2, 1 m
"""


@cache
def heater_loop() -> Circuit:
    """One loop: battery, fuse, contact, switch, heater, contact, ground."""
    return read_circuit(HEATER_LOOP, "heater-loop.yaml")


@cache
def loop_expert() -> Expert:
    """The heater loop made ready."""
    return make_expert(heater_loop())


@cache
def horn_expert() -> Expert:
    """The horn made ready."""
    return make_expert(read_shelf("horn"))


@cache
def fans_expert() -> Expert:
    """The radiator fans made ready."""
    return make_expert(read_shelf("radiator-fans"))


def fresh(expert: Expert) -> Judge:
    """A judge that has seen nothing yet, on the same solved table."""
    return expert.judge.fresh()


def rank(expert: Expert, *evidence: Evidence) -> Ranking:
    """The suspects by a judge that has seen nothing before."""
    return fresh(expert).rank(evidence)


def pressed() -> Setup:
    """The horn button held down."""
    return parse_setup(horn_expert().circuit, "horn=pressed")


def free() -> Setup:
    """The horn button let go."""
    return parse_setup(horn_expert().circuit, "horn=free")


def fans_low() -> Setup:
    """Air conditioning on: both fans slow, in series."""
    return parse_setup(fans_expert().circuit, "key=run, AC=on")


def fans_high() -> Setup:
    """Coolant hot: both fans fast."""
    return parse_setup(fans_expert().circuit, "key=run, coolant=hot")


def volts(
    name: str, setup: Setup, red: str, value_v: float, method: str = "back-probe",
    complaint: Presence = "yes",
) -> Reading:  # fmt: skip
    """A voltmeter reading against battery minus."""
    return Reading(
        name, setup, "voltmeter", red, "BAT.-", value_v, method=method, complaint=complaint
    )


def fans_complaint() -> tuple[Sign, ...]:
    """No slow speed at all, yet both fans fast when hot: as with K2's break contact open."""
    low, high = fans_low(), fans_high()
    return (
        Sign("s1", low, "M1", "off", "yes"),
        Sign("s2", low, "M2", "off", "yes"),
        Sign("s3", high, "M1", "normal", "yes"),
        Sign("s4", high, "M2", "normal", "yes"),
    )


def horn_dead() -> Sign:
    """The horn stays silent though pressed."""
    return Sign("s1", pressed(), "H1", "silent", "yes")


def vehicle(
    expert: Expert, fault_id: str, real: Callable[[str], str] = lambda place: place
) -> World:
    """A vehicle with nominal values and this fault, solved directly; probes never miss."""
    fault = next(f for f in expert.table.faults if f.id == fault_id)
    truth = Truth(fault, fault.edits, real)
    world = World(expert.circuit, expert.plant, truth, np.random.default_rng(3), missed=0.0)
    world.use(expert.states)
    return world
