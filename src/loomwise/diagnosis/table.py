"""What every hypothesis predicts in every setup: solved when first asked for, then kept.

Shapes: h hypotheses (row 0 is the healthy circuit), n nodes, d devices, k uncertain values.
Predictions are never stored with a job: they follow from circuit, faults and setup.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from loomwise.circuit.model import Circuit, Part
from loomwise.diagnosis.kept import KEPT_BYTES, Answers, Kept, bounded
from loomwise.diagnosis.own import own_values
from loomwise.diagnosis.standing import (
    Which,
    at_rest,
    in_hysteresis,
    joins_two,
    part_of,
    pulled_in,
    replaced,
)
from loomwise.edits import Edit, Hold
from loomwise.faults import Fault
from loomwise.setups import Setup, put_in, undone_edits, with_new_fuses
from loomwise.setups.setup import unruled_outputs
from loomwise.solver.engines import Direct, LowRank
from loomwise.solver.lines import lines
from loomwise.solver.network import Floats, Ints, Network, with_bridges
from loomwise.solver.operate import Plant, Rest, operate
from loomwise.solver.respond import (
    Named,
    named_values,
)
from loomwise.solver.result import carried, health, loads, start_state
from loomwise.solver.rows import Rows, States, bridges_in, make_rows
from loomwise.solver.solution import Solution

SPREADS = {"emf": 0.3, "battery": 0.3, "conductors": 0.1, "other": 0.1}
"""How much this vehicle's values vary about the drawing's: volts for the EMF, else relative.
Engineering judgement; the first supply reading narrows the EMF at once."""

HEALTHY = Fault("no fault", "no fault", "none", "", "", "nothing wrong in this circuit", (), 1.0)
TOGETHER = 1000
"""Rows of several setups that are brought to rest together. [-]"""
AT_ONCE = 500
"""Setups whose currents are worked out at once, which bounds the memory. [-]"""


@dataclass
class Table:
    """Predictions of a list of faults; row 0 is the healthy circuit, row i is ``faults[i - 1]``.

    ``use`` lists ordinary setups: a fuse that a fault blows in one of them is blown in all, since
    the vehicle has been used before it came in.
    """

    circuit: Circuit
    plant: Plant
    faults: tuple[Fault, ...]
    use: tuple[Setup, ...]
    engine: LowRank = field(default_factory=LowRank)
    rests: dict[Setup, Kept] = field(default_factory=dict)
    answers: dict[tuple[str, Setup, bytes], Answers] = field(default_factory=dict)
    healths: dict[str, Floats] = field(default_factory=dict)
    extra: tuple[Edit, ...] = ()
    ready: dict[Setup, States] = field(default_factory=dict)
    holds: dict[Setup, bool] = field(default_factory=dict)

    def __post_init__(self) -> None:
        edits = [e for f in self.faults for e in f.edits]
        net = with_bridges(self.plant.net, bridges_in([*edits, *self.extra]))
        self.plant = Plant(net, self.plant.brains) if net is not self.plant.net else self.plant
        self.named: tuple[Named, ...] = named_values(net, SPREADS)
        self.unruled = unruled_outputs(self.circuit)
        self.own = own_values(net, (HEALTHY, *self.faults))
        self._held: list[tuple[Edit, ...]] | None = None
        self._used: Rows | None = None
        self._unchecked = 0

    @property
    def net(self) -> Network:
        """The network with every bridge a fault may make."""
        return self.plant.net

    def __len__(self) -> int:
        return len(self.faults) + 1

    @property
    def effects(self) -> list[tuple[Edit, ...]]:
        """For each row the fuses it has blown in ordinary use, as edits."""
        if self._held is None:
            for *_, used in self.walk():
                if used:
                    break
        assert self._held is not None
        return self._held

    def walk(self) -> Iterator[tuple[Setup, Ints, Rest, bool]]:
        """Through ordinary use, which tells what each row blows; the setups, rows, and where they
        come to rest, first all with nothing blown and then those that did blow something."""
        everyone = np.arange(len(self))
        found: list[set[Edit]] = [set() for _ in everyone]
        for setup, rows, rest in self._in_use(dict.fromkeys(self.use, everyone)):
            self._note_blown(rest, found)
            yield setup, rows, rest, False
        self._held, self._used = [tuple(sorted(b, key=str)) for b in found], None
        again = np.flatnonzero([bool(b) for b in found])
        for kept in self.rests.values():
            kept.forget(again)
        for setup in self.use if len(again) else ():
            yield setup, again, self._known(setup, again), True

    def _in_use(self, where: Mapping[Setup, Ints]) -> Iterator[tuple[Setup, Ints, Rest]]:
        """Where these rows come to rest in setups of ordinary use with nothing blown, which is
        kept; setups in which few rows are asked for are worked out together."""
        some, count = list[Setup](), 0
        for setup in where:
            if some and count + len(where[setup]) > TOGETHER:
                yield from self._in_some(some, where)
                some, count = [], 0
            some.append(setup)
            count += len(where[setup])
        yield from self._in_some(some, where)

    def _in_some(
        self, setups: Sequence[Setup], where: Mapping[Setup, Ints]
    ) -> Iterator[tuple[Setup, Ints, Rest]]:
        of = np.repeat(np.arange(len(setups)), [len(where[s]) for s in setups])
        if not len(of):
            return
        healthy, start = (
            np.array([states(s) for s in setups])[of] for states in (self._healthy, self.start)
        )
        made = self._drawn.take(np.concatenate([where[s] for s in setups])).starting(healthy)
        rest = at_rest(self.plant, made, self.engine, start)
        for k, setup in enumerate(setups):
            rows, part = where[setup], part_of(rest, np.flatnonzero(of == k))
            self._keep(setup, rows, part)
            yield setup, rows, part

    def _note_blown(self, rest: Rest, found: list[set[Edit]]) -> None:
        for d, device in enumerate(self.net.devices):
            if device.kind == "fuse":
                for k in np.flatnonzero((rest.state[:, d] == 1) | rest.moving[:, d]):
                    found[k].add(Hold(device.id, "blown"))

    def at(self, setup: Setup, rows: Ints | None = None) -> Kept:
        """Where these rows (all if None) come to rest in a setup."""
        rows = np.arange(len(self)) if rows is None else rows
        kept = self.rests.pop(setup, None) or self._blank()
        self.rests[setup] = kept  # the last used is the last to go
        missing = np.unique(rows[~kept.done[rows]])
        if len(missing):
            self._keep(setup, missing, self._new_rest(setup, missing))
        return kept

    def _keep(self, setup: Setup, rows: Ints, rest: Rest) -> None:
        """Keep where rows came to rest, as far as there is room."""
        kept = self.rests.setdefault(setup, self._blank())
        before = kept.size
        kept.add(rows, rest)
        self._unchecked += kept.size - before
        if self._unchecked > KEPT_BYTES // 16:
            self._unchecked = 0
            bounded(self.rests, setup)

    def fault(self, row: int) -> Fault:
        """The fault of a row; row 0 is the healthy circuit."""
        return HEALTHY if row == 0 else self.faults[row - 1]

    def health(self, part: Part) -> Floats:
        """What each row (h,) leaves of a load's own current; see the solver's ``health``."""
        if part.id not in self.healths:
            for load in loads(self.circuit):
                self.healths[load.id] = health(self.net, self._drawn, load)
        return self.healths[part.id]

    def variances(self) -> Floats:
        """Prior variances (k + 1,) of the named values; the last, the row's own, is set per row."""
        return np.array([*(n.sd**2 for n in self.named), 1.0])

    def grown(self, faults: tuple[Fault, ...]) -> "Table":
        """A table of these faults and more, with what this one has solved; all bridges that the
        faults make must be there."""
        table = Table(
            self.circuit, self.plant, (*self.faults, *faults), self.use, engine=self.engine,
            ready=self.ready, holds=self.holds,
        )  # fmt: skip
        table.take_over(self)
        return table

    def take_over(self, other: "Table", where: Mapping[Setup, Ints] | None = None) -> None:
        """What another table has solved for the same first rows; the network must be the same.

        ``where`` names the further rows that may blow a fuse in a setup of ordinary use; all of
        them might anywhere if None.
        """
        first, more = np.arange(len(other)), np.arange(len(other), len(self))
        for setup, kept in other.rests.items():
            mine = self.rests[setup] = self._blank()
            mine.take_over(kept, first)
        self.answers = {key: kept.grown(len(self)) for key, kept in other.answers.items()}
        found: list[set[Edit]] = [set() for _ in more]
        where = dict.fromkeys(self.use, more) if where is None else where
        for _, rows, rest in self._in_use(where):
            self._note_blown(rest, [found[h - len(other)] for h in rows.tolist()])
        self._held = [*other.effects, *(tuple(sorted(b, key=str)) for b in found)]
        blown = more[[bool(b) for b in found]]
        for kept in self.rests.values():
            kept.forget(blown)

    def _blank(self) -> Kept:
        return Kept(len(self), self.net.n + 1, len(self.net.devices))

    def _new_rest(self, setup: Setup, rows: Ints, used: bool = True) -> Rest:
        """Where rows come to rest, worked out anew; ``used``: with the fuses they have blown.

        From where the healthy circuit stands, which is near. Where something went before, from
        there.
        """
        if setup.held:
            return self._held_in(setup, rows, used)
        made = self.rows_at(setup, rows, used)
        if setup.after:
            before = self.at(setup.before, rows).states_of(rows)
            return at_rest(
                self.plant, made.starting(carried(self.net, before, made.start)), self.engine
            )
        near = made.starting(self._healthy(setup)[None, :])
        return at_rest(self.plant, near, self.engine, self.start(setup)[None, :])

    def _held_in(self, setup: Setup, rows: Ints, used: bool) -> Rest:
        """With every relay pulled in that then stays in; the others as they come to rest."""
        plain = replace(setup, held=False)
        made, rest = self.rows_at(setup, rows, used), self._known(plain, rows)
        some = np.flatnonzero(self._may_hold(plain, rows, made, rest))
        if not len(some):
            return rest
        anew = made.take(some).starting(pulled_in(self.net, rest.state[some]))
        found = at_rest(self.plant, anew, self.engine)
        steady = np.flatnonzero(~found.chatter)
        return replaced(rest, some[steady], found, steady)

    def _known(self, setup: Setup, rows: Ints) -> Rest:
        kept = self.at(setup, rows)
        parts = [(where, pack.take(place)) for where, pack, place in kept.runs(rows)]
        state, chatter = kept.states_of(rows), kept.chatter[rows]
        cycles = {k: kept.cycles[int(rows[k])] for k in np.flatnonzero(chatter).tolist()}
        moving = np.zeros(state.shape, dtype=bool)
        return Rest(Solution.of(parts, len(rows)), state, chatter, moving, cycles)

    def _may_hold(self, plain: Setup, rows: Ints, made: Rows, rest: Rest) -> Which:
        """Rows (f,) in which a relay pulled in may stay: its coil carries more than drop-out, a
        fault joins two conductors, or the healthy circuit holds one itself."""
        if plain not in self.holds:
            was = self._healthy(plain)
            alone = self.rows_at(plain, np.zeros(1, dtype=np.int64), used=False)
            pulled = alone.starting(pulled_in(self.net, was[None, :]))
            self.holds[plain] = bool(
                (at_rest(self.plant, pulled, self.engine).state[0] != was).any()
            )
        if self.holds[plain]:
            return np.ones(len(rows), dtype=bool)
        return np.asarray(self._joins[rows] | in_hysteresis(self.net, made, rest))

    @cached_property
    def _joins(self) -> Which:
        return np.array([joins_two(self.fault(h).edits) for h in range(len(self))])

    def _healthy(self, setup: Setup) -> States:
        if setup not in self.ready:
            made = self.rows_at(setup, np.zeros(1, dtype=np.int64), used=False)
            self.ready[setup] = operate(self.plant, made, Direct()).state[0]
        return self.ready[setup]

    def healthy(self, setups: Sequence[Setup]) -> None:
        """Bring the healthy circuit to rest in many setups at once."""
        left = [s for s in setups if s not in self.ready and not s.undone and not s.after]
        if left:
            alone = self._drawn.take(np.zeros(len(left), dtype=np.int64))
            starts = np.array([self.start(s) for s in left])
            states = operate(self.plant, alone.starting(starts), Direct()).state
            self.ready |= dict(zip(left, states, strict=True))

    def start(self, setup: Setup) -> States:
        """The device states (d,) that a setup begins from."""
        return start_state(self.net, dict(setup.controls + setup.settled))

    @cached_property
    def _drawn(self) -> Rows:
        """Every fault alone (h,), all devices in their first states."""
        none = np.zeros(len(self.net.devices), dtype=np.int8)
        return make_rows(self.net, none, [f.edits for f in (HEALTHY, *self.faults)])

    def _undone(self, setup: Setup) -> list[Edit]:
        """What the setup undoes. A jumper or lamp that is new to the network is added to it: last,
        so that all numbers of branches stay."""
        undone = [e for u in setup.undone for e in undone_edits(self.circuit, u)]
        net = with_bridges(self.net, bridges_in(undone))
        if net is not self.net:
            self.plant = Plant(net, self.plant.brains)
            self.__dict__.pop("_drawn", None)
            self._used = None
        return undone

    def rows_at(self, setup: Setup, rows: Ints, used: bool = True) -> Rows:
        """The rows of some hypotheses in a setup, from rest."""
        undone = self._undone(setup)
        fresh = put_in(setup.undone)
        effects = self.effects if used else [()] * len(self)
        if fresh:
            variants = [
                with_new_fuses((*self.fault(h).edits, *effects[h]), fresh) for h in rows.tolist()
            ]
            made = make_rows(self.net, self.start(setup), variants)
        else:
            if used and self._used is None:
                self._used = self._drawn.also(self.net, self.effects)
            made = (self._used if used and self._used is not None else self._drawn).take(rows)
        made = made.starting(self.start(setup)[None, :]).edit_all(self.net, undone)
        return replace(made, common=tuple(undone))


def currents_over(circuit: Circuit, plant: Plant, setups: Sequence[Setup]) -> Mapping[str, float]:
    """Largest current [A] of each branch of the healthy circuit over these setups."""
    table = Table(circuit, plant, (), ())
    table.healthy(setups)
    top = np.zeros(len(plant.net.branches))
    for some in (setups[k : k + AT_ONCE] for k in range(0, len(setups), AT_ONCE)):
        alone = make_rows(plant.net, table.start(some[0]), [()] * len(some))
        state = np.array([table.ready[s] for s in some])
        at, v = lines(plant.net, alone, state), Direct().solve(plant.net, alone, state)
        top = np.maximum(top, np.abs(at.currents(plant.net, plant.net.drop(v))).max(axis=0))
    return {b.id: float(a) for b, a in zip(plant.net.branches, top, strict=True)}
