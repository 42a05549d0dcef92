"""Single faults solved in the setups that tell: which start a load unasked, which stop it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from loomwise.circuit.model import Part
from loomwise.explain.explanation import Cause
from loomwise.explain.path import Flow, Ways
from loomwise.explain.solved import Solved, doing, word
from loomwise.faults import Fault
from loomwise.setups import Setup
from loomwise.solver.engines import LowRank
from loomwise.solver.lines import lines
from loomwise.solver.network import Ints, with_bridges
from loomwise.solver.operate import Plant, Rest, come_to_rest
from loomwise.solver.result import health, loads
from loomwise.solver.rows import Rows, bridges_in, make_rows
from loomwise.solver.solution import Drops


@dataclass(frozen=True)
class Changed:
    """A load that a fault (its number) starts or stops in a setup, its row in what was solved."""

    fault: int
    row: int
    does: int


class Effects:
    """All faults in some setups, each come about where the sound circuit stood."""

    def __init__(self, plain: Solved, faults: Sequence[Fault], telling: Sequence[int]) -> None:
        self.plain, self.telling = plain, telling
        self.faults = tuple(_ends(faults))
        edits = [e for f in self.faults for e in f.edits]
        self.net = with_bridges(plain.net, bridges_in(edits))
        self.ways = Ways(plain.circuit, self.net)
        plant, engine = Plant(self.net, plain.plant.brains), LowRank()
        none = np.zeros(len(self.net.devices), dtype=np.int8)
        self.drawn = make_rows(self.net, none, [f.edits for f in self.faults])
        self.left = {p.id: health(self.net, self.drawn, p) for p in loads(plain.circuit)}
        self.rests = [come_to_rest(plant, self._rows(k), engine) for k in telling]
        self.does = [self._seen(rest) for rest in self.rests]

    def _rows(self, k: int) -> Rows:
        return self.drawn.starting(self.plain.state[k][None, :])

    def _seen(self, rest: Rest) -> dict[str, Ints]:
        v = rest.solution.at(np.arange(len(self.faults)), np.arange(self.net.n + 1))
        circuit, x = self.plain.circuit, Drops(self.net, v)
        return {
            p.id: doing(self.net, p, v, x, self.left[p.id], circuit.supply_v)
            for p in loads(circuit)
        }

    def unasked(self, part: Part, known: Sequence[str]) -> tuple[Cause, ...]:
        """Faults that make a load run where it should not, each in the setup nearest to rest;
        ``known`` are the loads that it is meant to share its current with."""
        return self._causes(part, known, started=True)

    def stops(self, part: Part) -> tuple[Cause, ...]:
        """Faults with which a load does nothing where it should run."""
        return self._causes(part, (), started=False)

    def _causes(self, part: Part, known: Sequence[str], started: bool) -> tuple[Cause, ...]:
        found: dict[str, Cause] = {}
        for s, changed in self._changed(part, started):
            fault = self.faults[changed.fault]
            if fault.group in found:
                continue
            through = self._through(part, s, changed.fault, known) if started else ()
            setup = self.plain.setups[self.telling[s]]
            found[fault.group] = Cause(
                fault.group, fault.title, fault.where, self._kind(fault.where), fault.mode,
                fault.unit, self._asked(setup), word(part, changed.does), through,
            )  # fmt: skip
        order = list(self.plain.circuit.units)
        return tuple(sorted(found.values(), key=lambda c: order.index(c.unit)))

    def _changed(self, part: Part, started: bool) -> Iterator[tuple[int, Changed]]:
        for s, k in enumerate(self.telling):
            sound, now = int(self.plain.does[part.id][k]), self.does[s][part.id]
            if (sound == 0) != started:
                continue
            for f in np.flatnonzero((now > 0) if started else (now == 0)):
                yield s, Changed(int(f), k, int(now[f]))

    def _kind(self, where: str) -> str:
        circuit = self.plain.circuit
        if where in circuit.segments:
            return circuit.segments[where].kind
        part = circuit.parts.get(where.partition(".")[0])
        return part.kind if part and " " not in where else "several"

    def _asked(self, setup: Setup) -> str:
        rest = {c.name: c.rest for c in self.plain.circuit.controls.values()}
        away = [*setup.asked(rest), *((n, s) for n, s in setup.settled if s == "on")]
        return ", ".join(f"{name} {state}" for name, state in away)

    def _through(self, part: Part, s: int, f: int, known: Sequence[str]) -> tuple[str, ...]:
        """Other loads on the way of the current, beyond those known."""
        one, rest = np.array([f]), self.rests[s]
        v = rest.solution.at(one, np.arange(self.net.n + 1))
        state = rest.state[one]
        i = lines(self.net, self.drawn.take(one), state).currents(self.net, self.net.drop(v))
        flow = Flow(self.ways, i[0], state[0])
        others = self.ways.loads_on(flow.through(part), part)
        return tuple(o for o in others if o not in known)


def _ends(faults: Sequence[Fault]) -> Iterator[Fault]:
    """Of the sizes of each fault the first, the middle and the last: what one size does at all,
    one of these does."""
    groups: dict[str, list[Fault]] = {}
    for fault in faults:
        groups.setdefault(fault.group, []).append(fault)
    for some in groups.values():
        yield from (some[k] for k in sorted({0, len(some) // 2, len(some) - 1}))
