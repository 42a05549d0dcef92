"""A ripple meter (AC volts) and a duty meter under each hypothesis; see ``solver/waves.py``.

Shapes: f rows asked for, p probes.
"""

import numpy as np

from loomwise.diagnosis.answers import pushed
from loomwise.diagnosis.predict import Numbers
from loomwise.diagnosis.table import Table
from loomwise.setups import Setup
from loomwise.solver.network import Floats, Ints
from loomwise.solver.waves import REGULATING, Generator, Pulsed, source_ohm

RIPPLE_SHARE, RIPPLE_V = 0.4, 0.008
"""Standard deviation of a ripple: share, for generators and speeds differ, and floor. Engineering
judgement. [-, V]"""
UNKNOWN_V = 0.3
"""The same where a generator does not regulate but gives all it can: engineering judgement. [V]"""
TRIGGERS_V = 1.5
"""Pulses that swing less are not counted by a meter: engineering judgement. [V]"""
DUTY_SD = 1.5
"""Standard deviation of a duty meter: engineering judgement. [%]"""


def ripple(table: Table, setup: Setup, rows: Ints, probes: Ints) -> Numbers:
    """RMS volts of a meter on AC at probes (p, 2). [V]"""
    square = np.zeros((len(rows), len(probes)))
    unknown = np.zeros((len(rows), 1))
    made, state = table.rows_at(setup, rows), table.at(setup, rows).states_of(rows)
    for g in Generator.of(table.net, table.circuit):
        both = np.concatenate([probes, g.probes])
        answers = pushed(table, setup, rows, both, g.branches)
        ohm = source_ohm(table.net, made, state, g)
        square += g.ripple_v(made, answers, ohm) ** 2
        limiting = state[:, g.device] != REGULATING
        unknown[limiting] += UNKNOWN_V**2
    mean = np.sqrt(square)
    return _plain(table, mean, (RIPPLE_SHARE * mean) ** 2 + RIPPLE_V**2 + unknown)


def duty(table: Table, setup: Setup, rows: Ints, probes: Ints) -> Numbers:
    """Share of the time a place is high, at probes (p, 2), 0 or 100 where nothing pulses. [%]

    ``floating`` marks rows in which it does not.
    """
    pulsed, kept = Pulsed.of(table.net, table.circuit), table.at(setup, rows)
    state = kept.states_of(rows)
    answers = pushed(table, setup, rows, probes, pulsed.branches)
    rail_v = kept.volts_at(rows, pulsed.rails[:, 0]) - kept.volts_at(rows, pulsed.rails[:, 1])
    swing, high = pulsed.at(state, rail_v, answers)
    volts = kept.volts_at(rows, probes.ravel()).reshape(len(rows), -1, 2)
    standing = (volts[:, :, 0] - volts[:, :, 1]) > table.circuit.supply_v / 2.0
    steady = swing < TRIGGERS_V
    mean = 100.0 * np.where(steady, standing, high)
    return _plain(table, mean, np.full(mean.shape, DUTY_SD**2), steady.astype(float))


def _plain(table: Table, mean: Floats, variance: Floats, floating: Floats | None = None) -> Numbers:
    """Numbers that no uncertain value of the vehicle moves."""
    none = np.zeros((*mean.shape, len(table.named) + 1))
    steady = np.zeros(mean.shape) if floating is None else floating
    return Numbers(mean, none, variance, steady)
