"""A vehicle's own values: drawn about the drawing's, and a fault's resistance within its range."""

from dataclasses import replace

import numpy as np
from numpy.random import Generator

from loomwise.edits import AddOhm, Bridge, Edit
from loomwise.faults import Fault
from loomwise.solver.laws import FILAMENT, KNEE, LOAD
from loomwise.solver.network import Network

EMF_SD_V = 0.25
"""Spread of the battery about its voltage at rest: engineering judgement. [V]"""


def drawn_network(net: Network, draw: Generator, tolerance: float) -> Network:
    """The network with every value of its own within ``tolerance``, evenly; EMF by its spread."""
    count = len(net.branches)
    factor = draw.uniform(1.0 - tolerance, 1.0 + tolerance, count)
    params = net.params.copy()
    curved = (net.law == FILAMENT) | (net.law == KNEE)
    params[curved, 1] *= factor[curved]
    params[net.law == LOAD] *= factor[net.law == LOAD][:, None]
    emf = net.emf.copy()
    for b, branch in enumerate(net.branches):
        if branch.id.endswith(".cell"):
            emf[b] += draw.normal(0.0, EMF_SD_V)
    devices = tuple(
        replace(d, limits=tuple(x * draw.uniform(1 - tolerance, 1 + tolerance) for x in d.limits))
        if d.kind == "relay"
        else d
        for d in net.devices
    )
    return replace(net, g_on=net.g_on * factor, emf=emf, params=params, devices=devices)


def off_grid(fault: Fault, draw: Generator) -> tuple[Edit, ...]:
    """The fault's edits with a resistance drawn from its cell, not the cell's middle."""
    if fault.spread is None:
        return fault.edits
    ohm = float(np.exp(draw.uniform(np.log(fault.spread.low_ohm), np.log(fault.spread.high_ohm))))
    return tuple(replace(e, ohm=ohm) if isinstance(e, AddOhm | Bridge) else e for e in fault.edits)
