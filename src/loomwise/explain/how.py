"""How a circuit works: everything solved, load by load."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from loomwise.circuit.model import Circuit, Part
from loomwise.explain.causes import Effects
from loomwise.explain.conditions import Combination, condition
from loomwise.explain.deciders import deciders
from loomwise.explain.explanation import (
    Chatter,
    Condition,
    Explanation,
    LoadExplained,
    Memory,
    Run,
)
from loomwise.explain.path import Flow, Ways, sign_through, steps
from loomwise.explain.say import sentences
from loomwise.explain.solved import Solved, by_distance, by_history, solve_setups, telling, word
from loomwise.faults import Fault
from loomwise.setups import Setup
from loomwise.setups.setup import unruled_outputs
from loomwise.solver.operate import Plant
from loomwise.solver.result import loads

MOST_TELLING = 24
"""Setups in which the faults are solved. [-]"""


def explain(
    circuit: Circuit, plant: Plant, setups: Sequence[Setup], faults: Sequence[Fault],
    only: Sequence[str] = (),
) -> Explanation:  # fmt: skip
    """How the circuit works, for all loads or those named in ``only``.

    Parameters
    ----------
    setups : combinations of controls (and of outputs without a rule), nothing undone; where there
        are too many to list them all, those nearest to rest.
    faults : the single faults to look at.

    Raises
    ------
    SolveError : the circuit has no solution.
    """
    chosen = [p for p in loads(circuit) if not only or p.id in only]
    teller = _Teller(circuit, plant, setups)
    runs = {p.id: teller.runs(p) for p in chosen}
    running = [k for p in chosen for run in runs[p.id] for k in teller.examples(run)]
    effects = Effects(teller.plain, faults, telling(teller.plain, running, MOST_TELLING))
    return Explanation(
        circuit.title, math.prod(len(s) for s in teller.states.values()), len(setups),
        tuple(teller.load(p, runs[p.id], effects) for p in chosen),
    )  # fmt: skip


class _Teller:
    """Every setup solved once, for all loads."""

    def __init__(self, circuit: Circuit, plant: Plant, setups: Sequence[Setup]) -> None:
        self.circuit, self.states = circuit, _states(circuit)
        self.plain = solve_setups(circuit, plant, setups)
        self.history = by_history(self.plain)
        self.near = by_distance(self.plain.setups, circuit)
        self.ways = Ways(circuit, self.plain.net)

    def load(self, part: Part, runs: tuple[Run, ...], effects: Effects) -> LoadExplained:
        known = {other for run in runs for other in run.in_series}
        told = LoadExplained(
            part.id, part_name(part), part.unit, runs, self._memories(part),
            self._chatter(runs), effects.unasked(part, tuple(known)), effects.stops(part),
        )  # fmt: skip
        return replace(told, text=sentences(told))

    def examples(self, run: Run) -> list[int]:
        """For each alternative of a run's condition the setup nearest to rest."""
        found = []
        for cube in run.when.any_of:
            setups = ((k, dict(_pairs(self.plain.setups[k]))) for k in self.near)
            found += [k for k, s in setups if all(s[n] in some for n, some in cube.items())][:1]
        return found

    def when(self, solved: Solved, yes: Sequence[int], no: Sequence[int]) -> Condition:
        """The combinations of some rows, told from those of others."""
        return condition(
            self.states, [_combination(solved.setups[k]) for k in yes],
            [_combination(solved.setups[k]) for k in no],
        )  # fmt: skip

    def runs(self, part: Part) -> tuple[Run, ...]:
        """What a load does, the least first."""
        does = self.plain.does[part.id]
        found = []
        for number in sorted({int(n) for n in does} - {0}):
            yes = [k for k in self.near if does[k] == number]
            no = [k for k in self.near if does[k] != number]
            found.append(
                self._run(part, word(part, number), self.when(self.plain, yes, no), yes[0])
            )
        return tuple(found)

    def _run(self, part: Part, does: str, when: Condition, k: int) -> Run:
        flow = Flow(self.ways, self.plain.i[k], self.plain.state[k])
        hops = flow.through(part)
        path = steps(flow, hops)
        others = self.ways.loads_on(hops, part)
        own = part.id.partition(".")[0]
        amps = next((s.current_a for s in path if s.id == own), 0.0)
        return Run(
            does, when, dict(_pairs(self.plain.setups[k])), amps, path, deciders(flow, hops),
            others,
            tuple(o for o in others if self.plain.does[o][k] == 0),
            tuple(o for o in others if self._backwards(o, k)),
        )  # fmt: skip

    def _backwards(self, other: str, k: int) -> bool:
        """Whether the current passes a load against the direction it has where that does most."""
        does = self.plain.does[other]
        most = max(self.near, key=lambda row: int(does[row]))
        usual, now = (sign_through(self.ways, self.plain.i[row], other) for row in (most, k))
        return bool(does[most] > 0 and usual * now < 0)

    def _memories(self, part: Part) -> tuple[Memory, ...]:
        if self.history is None:
            return ()
        plain, past = self.plain, self.history
        rank = {s: k for k, s in enumerate(plain.setups)}
        sound = [int(plain.does[part.id][rank[s]]) for s in past.setups]
        now = past.does[part.id]
        found = []
        for number in sorted({int(n) for n, was in zip(now, sound, strict=True) if n != was}):
            rows = [r for r in range(len(sound)) if now[r] == number != sound[r]]
            yes = list(dict.fromkeys(rank[past.setups[r]] for r in rows))
            no = [k for k in self.near if k not in yes]
            holders = dict.fromkeys(h for r in rows for h in self._holders(r, rank))
            when = self.when(plain, yes, no)
            found.append(Memory(word(part, number), when, tuple(holders)))
        return tuple(found)

    def _holders(self, row: int, rank: Mapping[Setup, int]) -> list[str]:
        """The devices that stand otherwise than they come to stand from rest."""
        assert self.history is not None
        here = self.history.state[row]
        there = self.plain.state[rank[self.history.setups[row]]]
        differ = np.flatnonzero((here != there) & self.plain.remembered)
        return [self.plain.net.devices[d].id for d in differ]

    def _chatter(self, runs: Sequence[Run]) -> tuple[Chatter, ...]:
        """Combinations in which something on a load's ways does not come to rest."""
        mine = {d.id for run in runs for d in run.deciders}
        names = [d.id for d in self.plain.net.devices]
        found: dict[tuple[str, ...], list[int]] = {}
        for k in self.near:
            parts = tuple(n for n, m in zip(names, self.plain.moving[k], strict=True) if m)
            if parts and (mine & set(parts) or not runs):
                found.setdefault(parts, []).append(k)
        return tuple(
            Chatter(parts, self.when(self.plain, rows, [k for k in self.near if k not in rows]))
            for parts, rows in found.items()
        )


def part_name(part: Part) -> str:
    """As in "motor M1 in the left fan"."""
    return f"{part.kind} {part.id}" + (f" in the {part.unit}" if part.unit != part.id else "")


def _states(circuit: Circuit) -> dict[str, tuple[str, ...]]:
    """The states of every control, then of every output without a rule."""
    own = {c.name: c.states for c in circuit.controls.values()}
    return own | dict.fromkeys(sorted(unruled_outputs(circuit)), ("off", "on"))


def _pairs(setup: Setup) -> tuple[tuple[str, str], ...]:
    return setup.controls + setup.settled


def _combination(setup: Setup) -> Combination:
    return tuple(state for _, state in _pairs(setup))
