"""Filaments of a solved circuit: how hot they are, and what they resist."""

from dataclasses import dataclass

import numpy as np

from loomwise.circuit.filament import temperature_c
from loomwise.circuit.loads import loads
from loomwise.circuit.model import Circuit, Part
from loomwise.solver.laws import filament
from loomwise.solver.result import OperatingPoint

LAMPS = ("lamp", "two-filament lamp")
LEAST_V = 1e-6


@dataclass(frozen=True)
class Filament:
    """A filament as it is in this state: resistance (by the lamp's own law, whole) and
    temperature."""

    lamp: str
    resistance_ohm: float
    temperature_c: float


def filaments(circuit: Circuit, point: OperatingPoint) -> tuple[Filament, ...]:
    """Every filament of the circuit."""
    return tuple(_filament(p, point) for p in loads(circuit) if p.kind in LAMPS)


def _filament(part: Part, point: OperatingPoint) -> Filament:
    a, b = (f"{part.id.partition('.')[0]}.{pin}" for pin in part.pins)
    volts = point.voltages_v[a] - point.voltages_v[b]
    rated_v, cold = part.values["rated_v"], part.values["cold_ratio"]
    params = np.array([rated_v, part.values["power_w"] / rated_v, cold])
    at = max(abs(volts), LEAST_V)
    ohms, cold_ohms = (v / float(filament(np.array(v), params)[0]) for v in (at, LEAST_V))
    return Filament(part.id, ohms, temperature_c(ohms / cold_ohms))
