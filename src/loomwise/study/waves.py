"""What a ripple meter and a duty meter show on the drawn vehicle."""

from dataclasses import replace

import numpy as np
from numpy.random import Generator

from loomwise.circuit.model import Circuit
from loomwise.diagnosis.waves import DUTY_SD, RIPPLE_SHARE, TRIGGERS_V
from loomwise.evidence import Reading
from loomwise.evidence.items import NO_PULSES
from loomwise.solver.result import Solved
from loomwise.solver.waves import duty_of, ripple_of


def wave_reading(
    solved: Solved, circuit: Circuit, ask: Reading, real: Reading, draw: Generator, missed: bool
) -> Reading:
    """The question answered at the places that the labels lead to on the vehicle."""
    if ask.instrument == "ripple meter":
        volts = 0.0 if missed else ripple_of(solved, circuit, real.red, real.black)
        return replace(ask, value=round(volts * float(draw.lognormal(0.0, RIPPLE_SHARE)), 3))
    swing, high = duty_of(solved, circuit, real.red, real.black)
    if missed or swing < TRIGGERS_V:
        return replace(ask, word=NO_PULSES)
    shown = 100.0 * high + float(draw.normal(0.0, DUTY_SD))
    return replace(ask, value=round(float(np.clip(shown, 0.0, 100.0)), 1))
