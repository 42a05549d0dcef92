"""Draws cases: which faults a vehicle may come in with, and one vehicle of a scenario."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.random import Generator

from loomwise.advice.expert import Expert
from loomwise.diagnosis.composite import composed
from loomwise.diagnosis.doubts import drawing_doubt, exchanges
from loomwise.diagnosis.words import sign_chances
from loomwise.faults import Fault
from loomwise.setups import Setup
from loomwise.solver.network import Ints
from loomwise.solver.operate import Plant
from loomwise.solver.result import loads
from loomwise.study.outside import as_truth, draw_outside, words
from loomwise.study.scenario import PLAIN, Scenario
from loomwise.study.truth import Truth
from loomwise.study.world import World, drawn_network, off_grid

Cases = Sequence[tuple[Fault, Setup]]
THERE = 0.3, 0.9
"""How often a fault that comes and goes is there: engineering judgement. [-]"""
MOST_TRIES = 100


def with_sign(expert: Expert) -> tuple[tuple[Fault, Setup], ...]:
    """Faults that show at a load in some setup, each with the first setup where they do."""
    table = expert.table
    everyone: Ints = np.arange(len(table))
    found: dict[int, Setup] = {}
    for setup in expert.states:
        for part in loads(expert.circuit):
            word = sign_chances(table, everyone, setup, part.id).argmax(axis=1)
            for h in np.flatnonzero(word != word[0]):
                found.setdefault(int(h), setup)
    return tuple((table.fault(h), found[h]) for h in sorted(found))


def draw_case(
    expert: Expert, cases: Cases, draw: Generator, scenario: Scenario = PLAIN
) -> tuple[World, Setup]:
    """A vehicle of this scenario, its faults drawn by weight among those with a sign."""
    first = _drawn(cases, draw)
    net = drawn_network(expert.plant.net, draw, scenario.tolerance)
    plant = Plant(net, expert.plant.brains)
    drawing = _drawing(expert, draw, scenario)
    if scenario.outside and draw.random() < scenario.outside:
        found = draw_outside(expert, plant, drawing.real, draw)
        if found is not None:
            found[0].missed = scenario.missed
            found[0].truth = replace(found[0].truth, exchange=drawing.exchange)
            return found
    for _ in range(MOST_TRIES):
        world, setup = _vehicle(expert, plant, cases, first, drawing, draw, scenario)
        if _fits(world, setup, scenario):
            break
        first = _drawn(cases, draw)
    return world, setup


def _drawn(cases: Cases, draw: Generator) -> tuple[Fault, Setup]:
    weights = np.array([f.weight for f, _ in cases])
    return cases[int(draw.choice(len(cases), p=weights / weights.sum()))]


def _drawing(expert: Expert, draw: Generator, scenario: Scenario) -> Truth:
    """A sound vehicle with its labels as drawn, or a pair of them exchanged."""
    truth = as_truth("", None, lambda place: place)
    share = {"as drawn": 0.0, "exchanged": 1.0}.get(scenario.drawing, drawing_doubt(expert.circuit))
    pairs = exchanges(expert.circuit)
    if not share or not pairs or draw.random() >= share:
        return truth
    pair = pairs[int(draw.integers(len(pairs)))]
    return Truth(truth.fault, (), pair.real, exchange=pair.id)


def _vehicle(
    expert: Expert, plant: Plant, cases: Cases, first: tuple[Fault, Setup], drawing: Truth,
    draw: Generator, scenario: Scenario,
) -> tuple[World, Setup]:  # fmt: skip
    fault, setup = first
    parts = [(fault, off_grid(fault, draw))]
    if scenario.faults == 2:
        others = [c for c in cases if c[0].unit != fault.unit and c[0].where != fault.where]
        second, _ = _drawn(others, draw)
        parts.append((second, off_grid(second, draw)))
        fault = composed([f for f, _ in parts], 1.0)
    edits = tuple(e for _, some in parts for e in some)
    truth = Truth(fault, edits, drawing.real, drawing.exchange, tuple(parts))
    chance = float(draw.uniform(*THERE)) if scenario.comes_and_goes else 1.0
    world = World(
        expert.circuit, plant, truth, draw, missed=scenario.missed, chance=chance
    )  # fmt: skip
    world.use(expert.states)
    return world, setup


def _fits(world: World, setup: Setup, scenario: Scenario) -> bool:
    """Whether two faults show together, and one that comes and goes has blown no fuse."""
    if scenario.faults == 2:
        return words(world, setup) != words(world.sound(), setup)
    return not (scenario.comes_and_goes and world.blown)
