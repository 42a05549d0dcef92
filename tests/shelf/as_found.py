"""What a circuit shows with the fault that a worked job found, against what the job says."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from loomwise.diagnosis.table import HEALTHY
from loomwise.edits import Edit
from loomwise.evidence import Evidence, Reading, Sign
from loomwise.evidence.items import OPEN_OHM, WANDERING
from loomwise.faults import Fault
from loomwise.job import Job
from loomwise.setups import Setup
from loomwise.solver.result import FLOATING_OHM, plant_of, source_resistance
from loomwise.study.world import Truth, World
from loomwise.usecases.faults_of import faults_of

METER_SHARE, METER_LEAST, CLAMP_SHARE = 0.025, 0.03, 0.05
"""What a meter may be off, with the last digit; a clamp more. Engineering judgement."""
CHANCES = ("wiggle", "warm", "cool", "look")
"""Answers that are partly luck are not compared, but for a fuse."""


def shown_by(job: Job) -> list[str]:
    """Ids of the items that the fault, in whichever of its sizes fits best, would not show.

    All of them where the fault is none that the program knows: such a job is not compared.
    """
    assert job.ending is not None
    faults = faults_of(job.circuit, plant_of(job.circuit))
    sizes = [f for f in faults if f.group == job.ending.found]
    if not sizes:
        return []
    return min((_missed(job, size) for size in sizes), key=len)


def _missed(job: Job, fault: Fault) -> list[str]:
    world = _world(job, fault, fault.edits)
    world.use(_driven(job))
    well = _world(job, HEALTHY, ())
    return [
        item.id
        for item in job.evidence
        if not _same(item, well if item.complaint == "no" else world)
    ]


def _world(job: Job, fault: Fault, edits: Sequence[Edit]) -> World:
    truth = Truth(fault, tuple(edits), lambda place: place)
    rng = np.random.default_rng(1)
    return World(job.circuit, plant_of(job.circuit), truth, rng, missed=0.0)


def _driven(job: Job) -> tuple[Setup, ...]:
    """The setups of the job as it was driven in, nothing undone: what blows there is blown."""
    return tuple(dict.fromkeys(replace(item.setup, undone=()) for item in job.evidence))


def _same(item: Evidence, world: World) -> bool:
    if isinstance(item, Sign):
        return world.sign(item.id, item.setup, item.what).seen == item.seen
    if item.instrument in CHANCES and item.red not in world.circuit.parts:
        return True
    if item.instrument == "voltmeter" and _floats(item, world):
        return item.word == WANDERING
    return _near(item, world.reading(item))


def _floats(item: Reading, world: World) -> bool:
    """Whether a tip is on something that hangs free."""
    net, rows, at = world.solve(item.setup)
    ohms = source_resistance(net, rows, at.state, at.v)
    return max(ohms[net.node_index[p]] for p in (item.red, item.black)) > FLOATING_OHM


def _near(item: Reading, shown: Reading) -> bool:
    if item.value is None or shown.value is None:
        return item.word == shown.word
    if shown.value >= OPEN_OHM / 2:
        return item.value >= OPEN_OHM / 2
    share = CLAMP_SHARE if item.instrument == "clamp" else METER_SHARE
    return abs(item.value - shown.value) <= METER_LEAST + share * abs(shown.value)
