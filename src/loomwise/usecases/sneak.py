"""Sneak paths and back-feed of a solved circuit and of leading suspects."""

import numpy as np

from loomwise.advice.expert import Expert, all_setups
from loomwise.circuit.model import Circuit
from loomwise.diagnosis.ranking import Ranking
from loomwise.diagnosis.table import Table
from loomwise.evidence import Evidence
from loomwise.explain.path import Ways
from loomwise.explain.sneak import Usual, sneaks, usual_ways
from loomwise.explain.solved import solve_setups
from loomwise.setups import Setup
from loomwise.solver.operate import Plant
from loomwise.solver.result import OperatingPoint

MOST_SETUPS, MOST_SUSPECTS = 32, 3
_USUAL: dict[str, Usual] = {}


def sneaks_of_point(circuit: Circuit, plant: Plant, point: OperatingPoint) -> tuple[str, ...]:
    """What `how` would call sneak path or back-feed, in one solved setup."""
    if point.solution is None or point.chatter:
        return ()
    net, rows, at = point.solution.plant.net, point.solution.rows, point.solution.at
    return sneaks(circuit, net, rows, at.state, at.v, _usual(circuit, plant))


def _usual(circuit: Circuit, plant: Plant) -> Usual:
    if circuit.digest not in _USUAL:
        sound = solve_setups(circuit, plant, all_setups(circuit)[:MOST_SETUPS])
        _USUAL[circuit.digest] = usual_ways(Ways(circuit, sound.net), list(sound.i))
    return _USUAL[circuit.digest]


def sneaks_of_suspects(
    expert: Expert, evidence: tuple[Evidence, ...], ranking: Ranking
) -> list[dict[str, object]]:
    """For the leading faults the ways that nobody meant, in setups in which the complaint was
    there; JSON-ready."""
    setups = list(dict.fromkeys(e.setup for e in evidence if e.complaint == "yes"))
    found: list[dict[str, object]] = []
    groups: set[str] = set()
    for s in ranking.suspects:
        if len(groups) == MOST_SUSPECTS:
            break
        if s.fault is None or s.source is None or s.exchange or s.fault.group in groups:
            continue
        groups.add(s.fault.group)
        for setup in setups:
            said = _in_setup(expert, s.source.table, setup, s.row)
            if said:
                found.append({"fault": s.fault.title, "setup": str(setup), "text": list(said)})
                break
    return found


def _in_setup(expert: Expert, table: Table, setup: Setup, row: int) -> tuple[str, ...]:
    rows = np.array([row])
    kept = table.at(setup, rows)
    if kept.chatter[row]:
        return ()
    v = kept.volts_at(rows)
    made, state = table.rows_at(setup, rows), kept.states_of(rows)
    usual = _usual(expert.circuit, expert.plant)
    return sneaks(expert.circuit, table.net, made, state, v, usual)
