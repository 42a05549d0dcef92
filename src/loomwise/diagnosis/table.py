"""What every hypothesis predicts in every setup: solved when first asked for, then kept.

Shapes: h hypotheses (row 0 is the healthy circuit), n nodes, d devices, k uncertain values.
Predictions are never stored with a job: they follow from circuit, faults and setup.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from loomwise.circuit.model import BODY, Circuit, Part
from loomwise.edits import AddOhm, Bridge, Edit, Hold
from loomwise.faults import Fault
from loomwise.setups import Setup, undone_edits, with_new_fuses
from loomwise.setups.setup import unruled_outputs
from loomwise.solver.engines import LowRank
from loomwise.solver.lines import lines, slopes
from loomwise.solver.network import Floats, Ints, Network, with_bridges
from loomwise.solver.operate import Plant, Standstill, operate
from loomwise.solver.respond import Named, Own, Response, named_values, respond, tips
from loomwise.solver.result import carried, health, loads, start_state
from loomwise.solver.rows import Rows, bridges_in, make_rows

SPREADS = {"emf": 0.3, "battery": 0.3, "conductors": 0.1, "other": 0.1}
"""How much this vehicle's values vary about the drawing's: volts for the EMF, else relative.
Engineering judgement; the first supply reading narrows the EMF at once."""

RESTS_KEPT = 400
"""Setups whose solved rows are kept, the oldest going first; rows nobody asked for take no memory.
[-]"""

HEALTHY = Fault("no fault", "no fault", "none", "", "", "nothing wrong in this circuit", (), 1.0)


@dataclass(frozen=True)
class Rest:
    """Where the rows that were asked for came to rest in one setup (all h rows allocated)."""

    v: Floats  # (h, n + 1)
    state: NDArray[np.int8]  # (h, d)
    half_band: Floats  # (h, n + 1) half of highest minus lowest where it chatters
    chatter: NDArray[np.bool_]
    done: NDArray[np.bool_]


@dataclass(frozen=True)
class Probed:
    """Answers at one list of probes in one setup, all h rows allocated, ``done`` where known."""

    open_v: Floats  # (h, p)
    swing_v: Floats  # (h, p)
    source_ohm: Floats  # (h, p)
    sensitivity: NDArray[np.float32]  # (h, p, k + 1), the largest by far
    done: NDArray[np.bool_]

    @staticmethod
    def blank(h: int, p: int, k: int) -> "Probed":
        """Nothing known yet. Untouched rows of the arrays take no memory."""
        return Probed(
            np.zeros((h, p)), np.zeros((h, p)), np.zeros((h, p)),
            np.zeros((h, p, k), dtype=np.float32), np.zeros(h, dtype=bool),
        )  # fmt: skip


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
    rests: dict[Setup, Rest] = field(default_factory=dict)
    probed: dict[tuple[Setup, bytes], Probed] = field(default_factory=dict)
    healths: dict[str, Floats] = field(default_factory=dict)
    extra: tuple[Edit, ...] = ()
    ready: dict[Setup, NDArray[np.int8]] = field(default_factory=dict)
    holds: dict[Setup, bool] = field(default_factory=dict)

    def __post_init__(self) -> None:
        edits = [e for f in self.faults for e in f.edits]
        net = with_bridges(self.plant.net, bridges_in([*edits, *self.extra]))
        self.plant = Plant(net, self.plant.brains)
        self.named: tuple[Named, ...] = named_values(net, SPREADS)
        self.unruled = unruled_outputs(self.circuit)
        self.own = _own(net, (HEALTHY, *self.faults))
        self._held: list[tuple[Edit, ...]] | None = None

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
            self._held = self._blown(np.arange(len(self)))
        return self._held

    def _blown(self, rows: Ints) -> list[tuple[Edit, ...]]:
        blown: list[set[Edit]] = [set() for _ in rows]
        for setup in self.use:
            at = self._operate(setup, rows, [()] * len(self))
            for d, device in enumerate(self.net.devices):
                if device.kind == "fuse":
                    for k in np.flatnonzero((at.state[:, d] == 1) | at.moving[:, d]):
                        blown[k].add(Hold(device.id, "blown"))
        return [tuple(sorted(b, key=str)) for b in blown]

    def at(self, setup: Setup, rows: Ints | None = None) -> Rest:
        """Where these rows (all if None) come to rest in a setup."""
        rows = np.arange(len(self)) if rows is None else rows
        rest = self.rests.get(setup) or self._blank(setup)
        missing = rows[~rest.done[rows]]
        if len(missing):
            at = self._operate(setup, missing, self.effects)
            rest.v[missing], rest.state[missing] = at.v, at.state
            rest.half_band[missing[at.chatter]] = (at.high - at.low)[at.chatter] / 2.0
            rest.chatter[missing], rest.done[missing] = at.chatter, True
        return rest

    def responses(self, setup: Setup, rows: Ints, probes: Ints) -> Response:
        """Source resistance and sensitivities at probes (p, 2) of these rows."""
        return self._answers(setup, rows, tips(self.net, probes))

    def currents(self, setup: Setup, rows: Ints, branches: Sequence[int]) -> tuple[Floats, Floats]:
        """Currents (f, p) of branches in these rows [A], and their sensitivities (f, p, k + 1)."""
        rest, b = self.at(setup, rows), np.array(branches, dtype=np.int64)
        made, _ = self.rows_in(setup, rows, self.effects)
        at, v = lines(self.net, made, rest.state[rows]), rest.v[rows]
        amps = at.currents(self.net, self.net.drop(v))[:, b]
        probes = np.zeros((len(b), self.net.n + 1))
        np.add.at(probes, (np.arange(len(b))[:, None], self.net.ends[b]), self.net.coefs[b])
        probes[:, -1] = 0.0
        answer = self._answers(setup, rows, probes).sensitivity
        sens = answer * slopes(self.net, at, v)[:, b, None]
        for k, value in enumerate(self.named):
            among = np.isin(b, value.branches)
            sens[:, among, k] -= at.g[:, b[among]] if value.emf else amps[:, among]
        own = self.own.of(rows)
        sens[:, :, -1] -= np.where(own.branch[:, None] == b, amps * own.share[:, None], 0.0)
        return amps, sens

    def _answers(self, setup: Setup, rows: Ints, probes: Floats) -> Response:
        rest = self.at(setup, rows)
        made, _ = self.rows_in(setup, rows, self.effects)
        return respond(
            self.engine, self.net, made, rest.state[rows], rest.v[rows], probes, self.named,
            self.own.of(rows),
        )  # fmt: skip

    def fault(self, row: int) -> Fault:
        """The fault of a row; row 0 is the healthy circuit."""
        return HEALTHY if row == 0 else self.faults[row - 1]

    def health(self, part: Part) -> Floats:
        """What each row (h,) leaves of a load's own current; see the solver's ``health``."""
        if part.id not in self.healths:
            start = np.zeros(len(self.net.devices), dtype=np.int8)
            made = make_rows(self.net, start, [f.edits for f in (HEALTHY, *self.faults)])
            for load in loads(self.circuit):
                self.healths[load.id] = health(self.net, made, load)
        return self.healths[part.id]

    def variances(self) -> Floats:
        """Prior variances (k + 1,) of the named values; the last, the row's own, is set per row."""
        return np.array([*(n.sd**2 for n in self.named), 1.0])

    def take_over(self, other: "Table") -> None:
        """What another table has solved for the same first rows."""
        first = len(other)
        more = np.arange(first, len(self))
        for setup, rest in other.rests.items():
            mine = self._blank(setup)
            for name in ("v", "state", "half_band", "chatter", "done"):
                getattr(mine, name)[:first] = getattr(rest, name)
        self._held = [*other.effects, *self._blown(more)]

    def _blank(self, setup: Setup) -> Rest:
        h, n, d = len(self), self.net.n + 1, len(self.net.devices)
        rest = Rest(
            np.zeros((h, n)), np.zeros((h, d), dtype=np.int8), np.zeros((h, n)),
            np.zeros(h, dtype=bool), np.zeros(h, dtype=bool),
        )  # fmt: skip
        while len(self.rests) >= RESTS_KEPT:
            del self.rests[next(iter(self.rests))]
        self.rests[setup] = rest
        return rest

    def _operate(self, setup: Setup, rows: Ints, effects: Sequence[tuple[Edit, ...]]) -> Standstill:
        """From where the healthy circuit stands, which is near; but a relay that only its
        hysteresis holds in must be reached from rest, as on the vehicle. Where something went
        before, from there."""
        if setup.held:
            return self._held_in(setup, rows, effects)
        if setup.after:
            return self._carried(setup, rows, effects)
        made, plant = self.rows_in(setup, rows, effects)
        made = made.starting(self._healthy(setup)[None, :])
        at = operate(plant, made, self.engine)
        held = np.flatnonzero(only_held(plant.net, made, at))
        if len(held):
            again, _ = self.rows_in(setup, rows[held], effects)
            _replace(at, held, operate(plant, again, self.engine))
        return at

    def _carried(self, setup: Setup, rows: Ints, effects: Sequence[tuple[Edit, ...]]) -> Standstill:
        """From where the setup before came to rest."""
        before = self.at(setup.before, rows)
        made, plant = self.rows_in(setup, rows, effects)
        made = made.starting(carried(self.net, before.state[rows], made.start))
        return operate(plant, made, self.engine)

    def _held_in(self, setup: Setup, rows: Ints, effects: Sequence[tuple[Edit, ...]]) -> Standstill:
        """With every relay pulled in that then stays in; the others as they come to rest."""
        plain = replace(setup, held=False)
        before = self.at(plain, np.union1d(rows, [0]))
        made, plant = self.rows_in(setup, rows, effects)
        at = _standstill(before, rows)
        pulled = at.state.copy()
        pulled[:, [d for d, device in enumerate(self.net.devices) if device.kind == "relay"]] = 1
        some = np.flatnonzero(self._may_hold(plain, rows, made, at))
        if len(some):
            again = made.take(some).starting(pulled[some])
            found = operate(plant, again, self.engine)
            steady = np.flatnonzero(~found.chatter)
            _replace(at, some[steady], found, steady)
        return at

    def _may_hold(self, plain: Setup, rows: Ints, made: Rows, at: Standstill) -> NDArray[np.bool_]:
        """Rows (f,) in which a relay pulled in may stay: its coil carries more than drop-out, a
        fault joins two conductors, or the healthy circuit holds one itself."""
        if plain not in self.holds:
            start = self._healthy(plain)[None, :].copy()
            start[:, [d for d, device in enumerate(self.net.devices) if device.kind == "relay"]] = 1
            alone, plant = self.rows_in(plain, np.array([0]), [()])
            was = self._healthy(plain)
            self.holds[plain] = bool(
                (operate(plant, alone.starting(start), self.engine).state[0] != was).any()
            )
        if self.holds[plain]:
            return np.ones(len(rows), dtype=bool)
        joins = [any(isinstance(e, Bridge) and BODY not in (e.a, e.b) for e in self.fault(h).edits)
                 for h in rows.tolist()]  # fmt: skip
        return np.asarray(np.array(joins) | in_hysteresis(self.net, made, at))

    def _healthy(self, setup: Setup) -> NDArray[np.int8]:
        if setup not in self.ready:
            made, plant = self.rows_in(setup, np.array([0]), [()])
            self.ready[setup] = operate(plant, made, self.engine).state[0]
        return self.ready[setup]

    def rows_in(
        self, setup: Setup, rows: Ints, effects: Sequence[tuple[Edit, ...]]
    ) -> tuple[Rows, Plant]:
        """The rows of some hypotheses in a setup, from rest; ``effects`` is indexed by row."""
        undone = [e for u in setup.undone for e in undone_edits(self.circuit, u)]
        fresh = {u.target for u in setup.undone if u.what == "new"}
        start = start_state(self.net, dict(setup.controls + setup.settled))
        all_faults = (HEALTHY, *self.faults)
        variants = [
            (*with_new_fuses((*all_faults[h].edits, *effects[h]), fresh), *undone) for h in rows
        ]
        made = make_rows(self.net, start, variants)
        return replace(made, common=tuple(undone)), self.plant


def only_held(net: Network, rows: Rows, at: Standstill) -> NDArray[np.bool_]:
    """Rows (f,) where a relay is in although its coil's current would not pull it in."""
    found = at.chatter.copy()
    x = net.drop(at.v)
    for d, device in enumerate(net.devices):
        if device.kind == "relay":
            b = net.branch_index[device.watch[0]]
            amps = np.abs(rows.g_on[:, b] * x[:, b])
            found |= (at.state[:, d] == 1) & (rows.held[:, d] < 0) & (amps < rows.limits[:, d, 0])
    return found


def in_hysteresis(net: Network, rows: Rows, at: Standstill) -> NDArray[np.bool_]:
    """Rows (f,) where the coil of a relay that is out carries enough to keep it in."""
    found = np.zeros(len(rows), dtype=bool)
    x = net.drop(at.v)
    for d, device in enumerate(net.devices):
        if device.kind == "relay":
            b = net.branch_index[device.watch[0]]
            amps = np.abs(rows.g_on[:, b] * x[:, b])
            found |= (at.state[:, d] == 0) & (rows.held[:, d] < 0) & (amps >= rows.limits[:, d, 1])
    return found


def _standstill(rest: Rest, rows: Ints) -> Standstill:
    """A copy of where some rows came to rest."""
    v, half = rest.v[rows], rest.half_band[rows]
    state = rest.state[rows]
    return Standstill(
        v, state, v - half, v + half, rest.chatter[rows], np.zeros(state.shape, dtype=bool)
    )


def _replace(
    at: Standstill, index: Ints, other: Standstill, of: Ints | slice = slice(None)
) -> None:
    for name in ("v", "state", "low", "high", "chatter", "moving"):
        getattr(at, name)[index] = getattr(other, name)[of]


def _own(net: Network, faults: Sequence[Fault]) -> Own:
    branch = np.full(len(faults), -1, dtype=np.int64)
    share = np.zeros(len(faults))
    for h, fault in enumerate(faults):
        if fault.spread is not None:
            b = net.branch_index[fault.spread.branch]
            branch[h] = b
            share[h] = _share(net, b, fault) * fault.spread.log_sd
    return Own(branch, share)


def _share(net: Network, b: int, fault: Fault) -> float:
    """How much of the branch's resistance the fault's own is."""
    series = [e for e in fault.edits if isinstance(e, AddOhm)]
    if fault.spread is None or fault.spread.branch not in {e.branch for e in series}:
        return 1.0
    return float(fault.spread.middle_ohm / (1.0 / net.g_on[b] + fault.spread.middle_ohm))


def currents_over(circuit: Circuit, plant: Plant, setups: Sequence[Setup]) -> Mapping[str, float]:
    """Largest current [A] of each branch of the healthy circuit over these setups."""
    table = Table(circuit, plant, (), ())
    top = np.zeros(len(plant.net.branches))
    for setup in setups:
        made, _ = table.rows_in(setup, np.array([0]), [()])
        at = operate(plant, made, table.engine)
        i = lines(plant.net, made, at.state).currents(plant.net, plant.net.drop(at.v))
        top = np.maximum(top, np.abs(i[0]))
    return {b.id: float(a) for b, a in zip(plant.net.branches, top, strict=True)}
