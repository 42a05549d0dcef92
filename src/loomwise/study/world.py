"""A vehicle for one case: its own values, its hidden fault, and what it answers to a test.

The truth is solved by the direct solver on a freshly drawn network, never by the table that the
reasoning uses. An answer is the solved circuit with the instrument in it, plus meter and hand.
"""

from dataclasses import dataclass, field, replace

from numpy.random import Generator

from loomwise.circuit.loads import load_named
from loomwise.circuit.model import Circuit
from loomwise.diagnosis.meters import WAVES
from loomwise.diagnosis.predict import GHOST_V, TEST_LAMP_W, VOLTMETER_OHM
from loomwise.diagnosis.table import HEALTHY
from loomwise.diagnosis.words import (
    FALSE_CONTACT,
    FALSE_STIR,
    LAMP_STEPS,
    SEES_CONTACT,
    STIRS_IT,
    fuse_word,
    looks_bad,
    touches,
)
from loomwise.edits import Bridge, BridgeLamp, Edit, Hold
from loomwise.evidence import Reading, Sign
from loomwise.evidence.items import NO_ANSWER, OPEN_OHM, STIR_WORDS, STIRS, Presence, look_kind
from loomwise.setups import Setup, put_in, undone_edits, with_new_fuses
from loomwise.solver.engines import Direct
from loomwise.solver.lines import lines
from loomwise.solver.network import Network
from loomwise.solver.operate import Plant, Standstill, operate
from loomwise.solver.result import (
    FLOATING_OHM,
    LAMP_EXPONENT,
    STEPS,
    Solved,
    carried,
    health,
    levels,
    live_data,
    source_between_ohm,
    source_resistance,
    start_state,
)
from loomwise.solver.rows import Rows, prepared
from loomwise.study.truth import Truth as Truth
from loomwise.study.values import EMF_SD_V as EMF_SD_V
from loomwise.study.values import drawn_network as drawn_network
from loomwise.study.values import off_grid as off_grid
from loomwise.study.waves import wave_reading

METER_SHARE = 0.01
"""A meter is off by up to this share of the reading, evenly. [-]"""
CLAMP_SHARE = 0.02
MISSED = 0.03
"""Share of readings in which the probe does not touch. [-]"""
SLIP_V = 0.5
"""A missed contact counts where it hides more than this. [V]"""
MISLED_V = 1.0
"""Exchanged labels can be noticed where a reading changes by more than this. [V]"""


@dataclass
class World:
    """One vehicle. ``blown`` are the fuses its fault has blown in ordinary use.

    ``chance`` is that of the fault being there when something is looked at; ``repaired`` are the
    units repaired so far. ``slips`` names the readings without contact where more than 0.5 V was,
    ``misled`` those that exchanged labels change by more than 1 V.
    """

    circuit: Circuit
    plant: Plant
    truth: Truth
    draw: Generator
    blown: tuple[Edit, ...] = ()
    missed: float = MISSED
    kept: dict[tuple[Setup, tuple[Edit, ...]], tuple[Network, Rows, Standstill]] = field(
        default_factory=dict
    )
    chance: float = 1.0
    repaired: tuple[str, ...] = ()
    slips: list[str] = field(default_factory=list)
    misled: list[str] = field(default_factory=list)
    away: "World | None" = None

    def solve(
        self, setup: Setup, instrument: tuple[Edit, ...] = ()
    ) -> tuple[Network, Rows, Standstill]:
        """The vehicle at rest in a setup, with an instrument connected."""
        key = setup, instrument
        if key not in self.kept:
            fresh = put_in(setup.undone)
            undone = [e for u in setup.undone for e in undone_edits(self.circuit, u)]
            start = start_state(self.plant.net, dict(setup.controls + setup.settled))
            whole = with_new_fuses((*self.truth.edits_in(setup), *self.blown), fresh)
            edits = [(*whole, *undone, *instrument)]
            net, rows = prepared(self.plant.net, start, edits)
            if setup.after:
                _, _, was = self.solve(setup.before)
                rows = rows.starting(carried(net, was.state, rows.start))
            self.kept[key] = net, rows, operate(Plant(net, self.plant.brains), rows, Direct())
        return self.kept[key]

    def use(self, setups: tuple[Setup, ...]) -> None:
        """Drive the vehicle through ordinary setups: what blows stays blown."""
        gone: set[Edit] = set()
        for setup in setups:
            net, _, at = self.solve(setup)
            for d, device in enumerate(net.devices):
                if device.kind == "fuse" and (at.state[0, d] == 1 or at.moving[0, d]):
                    gone.add(Hold(device.id, "blown"))
        self.kept.clear()
        self.blown = tuple(sorted(gone, key=str))

    def repair(self, unit: str, setups: tuple[Setup, ...]) -> "World":
        """The vehicle with a unit repaired, its fuses renewed, driven again."""
        repaired = (*self.repaired, unit)
        world = replace(self, truth=self.truth.without(repaired), blown=(), repaired=repaired,
                        kept={})  # fmt: skip
        world.use(setups)
        return world

    def now(self) -> "World":
        """The vehicle as it is just now: with its fault, or while that stays away."""
        if self.chance >= 1.0 or self.draw.random() < self.chance:
            return self
        self.away = self.away or self.sound()
        return self.away

    def sound(self) -> "World":
        """The same vehicle with nothing wrong."""
        well = replace(self.truth, fault=HEALTHY, edits=(), parts=())
        return replace(self, truth=well, blown=(), chance=1.0, kept={}, away=None)

    def sign(self, name: str, setup: Setup, what: str) -> Sign:
        """What a person sees, feels or reads off the module."""
        now = self.now()
        there: Presence = "yes" if now is self else "no"
        return Sign(name, setup, what, now._seen(setup, what), there, repaired=self.repaired)

    def _seen(self, setup: Setup, what: str) -> str:
        net, rows, at = self.solve(setup)
        part = load_named(self.circuit, what)
        if part is not None:
            v, whole, supply_v = at.moments(0), health(net, rows, part), self.circuit.supply_v
            level = levels(net, part, v, net.drop(v), whole, supply_v)
            low, high = (
                next(word for below, word in STEPS[part.kind] if x < below)
                for x in (level.min(), level.max())
            )
            return str(low) if low == high else "on and off"
        report = live_data(Plant(net, self.plant.brains), at)
        module = what.partition(".")[0]
        if report.get(module) == NO_ANSWER:
            return NO_ANSWER
        if what in report:
            return report[what]
        if what in self.circuit.parts and self.circuit.parts[what].kind == "module":
            return "answers"
        d = net.device_index[what]
        if at.moving[0, d]:
            return "chatters"
        return str(net.devices[d].states[at.state[0, d]])

    def reading(self, ask: Reading) -> Reading:
        """The same question answered."""
        ask = replace(ask, complaint="yes", repaired=self.repaired)
        if ask.instrument in STIRS:
            return replace(ask, word=self._stirred(ask))
        now = self.now()
        answered = now._answer(ask)
        return answered if now is self else replace(answered, complaint="no")

    def _answer(self, ask: Reading) -> Reading:
        real = replace(ask, red=self.truth.real(ask.red), black=self.truth.real(ask.black))
        if ask.instrument == "look":
            return replace(ask, word=self._look(real))
        if ask.instrument == "test lamp":
            return replace(ask, word=self._lamp(real))
        if ask.instrument == "voltmeter" and real != ask:
            misled = abs(self._steady(real) - self._steady(ask)) > MISLED_V
            self.misled.extend([ask.id] if misled else [])
        if ask.instrument in WAVES:
            missed = bool(self.draw.random() < self.missed)
            return wave_reading(self._solved(real), self.circuit, ask, real, self.draw, missed)
        measure = {"clamp": self._amps, "ohmmeter": self._ohms}.get(ask.instrument, self._volts)
        return replace(ask, value=measure(real))

    def _stirred(self, r: Reading) -> str:
        """Whether the complaint changes while something is moved, warmed or cooled."""
        found = self.chance < 1.0 and touches(self.circuit, self.truth.fault, r.red)
        return STIR_WORDS[0 if self.draw.random() < (STIRS_IT if found else FALSE_STIR) else 1]

    def _amps(self, r: Reading) -> float:
        net, rows, at = self.solve(r.setup)
        i = lines(net, rows, at.state).currents(net, net.drop(at.v))
        amps = abs(float(i[0, net.branch_index[r.red]]))
        return round(amps * (1.0 + CLAMP_SHARE * self.draw.uniform(-1, 1)), 2)

    def _ohms(self, r: Reading) -> float:
        if self.draw.random() < self.missed:
            return OPEN_OHM
        ohm = source_between_ohm(self._solved(r), r.red, r.black)
        return round(min(ohm, OPEN_OHM) * (1.0 + METER_SHARE * self.draw.uniform(-1, 1)), 2)

    def _solved(self, r: Reading) -> Solved:
        net, rows, at = self.solve(r.setup)
        return Solved(Plant(net, self.plant.brains), rows, at)

    def _volts(self, r: Reading) -> float:
        if self.draw.random() < self.missed:
            self.slips.extend([r.id] if abs(self._steady(r)) > SLIP_V else [])
            return round(float(self.draw.normal(0.0, 0.01)), 2)
        low, high, chatter = self._swing(r)
        v = low + (self.draw.random() * (high - low) if chatter else 0.0)
        return round(v * (1.0 + METER_SHARE * self.draw.uniform(-1, 1)) + self._ghost(r), 2)

    def _steady(self, r: Reading) -> float:
        """What a perfect meter would show, the middle where it wanders. [V]"""
        low, high, _ = self._swing(r)
        return (low + high) / 2.0

    def _swing(self, r: Reading) -> tuple[float, float, bool]:
        """Between which volts a connected meter wanders, and whether it does."""
        net, _, at = self.solve(r.setup, (Bridge(r.red, r.black, VOLTMETER_OHM),))
        red, black = net.node_index[r.red], net.node_index[r.black]
        chatter = bool(at.chatter[0])
        v = at.moments(0)[:, red] - at.moments(0)[:, black]
        return float(v.min()), float(v.max()), chatter

    def _ghost(self, r: Reading) -> float:
        """What a meter picks up on a wire that hangs free."""
        net, rows, at = self.solve(r.setup)
        source = source_resistance(net, rows, at.state, at.v)
        free = max(source[net.node_index[r.red]], source[net.node_index[r.black]]) > FLOATING_OHM
        return float(self.draw.normal(0.0, GHOST_V)) if free else 0.0

    def _lamp(self, r: Reading) -> str:
        rated = self.circuit.supply_v
        if self.draw.random() < self.missed:
            return "dark"
        net, _, at = self.solve(r.setup, (BridgeLamp(r.red, r.black, TEST_LAMP_W, rated),))
        v = at.v[0, net.node_index[r.red]] - at.v[0, net.node_index[r.black]]
        light = (abs(float(v)) / rated) ** LAMP_EXPONENT
        return next(word for below, word in LAMP_STEPS if light < below)

    def _look(self, r: Reading) -> str:
        kind = look_kind(self.circuit, r.red)
        if kind == "fuse":
            net, _, at = self.solve(r.setup)
            blown = bool(at.state[0, net.device_index[r.red]] == 1)
            return fuse_word(self.truth.fault, r.red, blown)
        chance = SEES_CONTACT if looks_bad(self.truth.fault, kind, r.red) else FALSE_CONTACT
        return "burnt or loose" if self.draw.random() < chance else "good"
