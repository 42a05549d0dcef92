"""What rides on the steady volts: a generator's ripple and the pulses of an output.

Both are worked out from how a solved circuit answers a small push in one branch. Shapes: f rows,
p probes, b batteries, k pulsed outputs.

Ripple. An ideal three-phase bridge gives its mean with 4.2 % of it as RMS ripple; with one diode of
six open 28 % (both integrated from the waveform; the shares are of the sound mean). That stands
behind the generator's own reactance and is divided between that and what hangs on the generator.
For so quick a change a battery is its inner resistance alone.

Pulses. A pulsed output is solved as the mean of on and off; its swing at a place is the answer to
one volt in the driver times the volts between its rails.

Valid for one generator that regulates, below its most current and with nothing pulsed running, and
for pulses of which the load's coil or filament does not see each one: a steady swing, no edges.
"""

from dataclasses import dataclass

import numpy as np

from loomwise.circuit.model import OUTPUTS, Circuit, Part
from loomwise.solver.lines import jacobian, lines
from loomwise.solver.network import Floats, Ints, Network
from loomwise.solver.respond import slopes_at
from loomwise.solver.result import Solved
from loomwise.solver.rows import Rows, States

SOUND_SHARE, BROKEN_SHARE = 0.042, 0.284
"""RMS ripple of a bridge with six diodes and with five, over the sound one's mean. [-]"""
REACTANCE_SHARE = 0.5
"""The reactance, as a share of voltage over most current: engineering judgement, so that a sound
generator shows less than 90 mV at the posts (http://labscopes.com/index_files/Page441.htm) and one
with a diode open more than 0.25 V at B+
(https://autoedu.info/en/auto-electric/alternator/ac-ripple-voltage-test/). [-]"""
FEWER = 0.8
"""A generator that gives less than this of its most current has lost a diode; no other fault does
that."""
REGULATING = 0


@dataclass(frozen=True)
class Generator:
    """A charging source in a network, and what is pushed and watched for its ripple.

    ``probes`` (1 + b, 2) are its own ends and those of each battery's resistance against charging,
    ``branches`` (1 + b,) its output and these.
    """

    probes: Ints
    branches: Ints
    device: int
    set_v: float
    limit_a: float

    @staticmethod
    def of(net: Network, circuit: Circuit) -> "tuple[Generator, ...]":
        """The charging sources of a circuit."""
        batteries = circuit.parts_of_kind("battery")
        sources = circuit.parts_of_kind("charging source")
        return tuple(_generator(net, p, batteries) for p in sources)

    def emf_v(self, rows: Rows) -> Floats:
        """RMS ripple (f,) before the reactance. [V]"""
        most = rows.limits_of(np.array([self.device]))[:, 0, 1]
        share = np.where(most < FEWER * self.limit_a, BROKEN_SHARE, SOUND_SHARE)
        return np.asarray(self.set_v * share)

    def ripple_v(self, rows: Rows, pushed: Floats, source_ohm: Floats) -> Floats:
        """RMS volts (f, p) at probes, from the answers (f, p + 1 + b, 1 + b) of these and then of
        ``probes`` to one volt in each of ``branches``; ``source_ohm`` (f,) of the output."""
        count = len(self.branches)
        at, own = pushed[:, :-count], pushed[:, -count:]
        across = own[:, 1:, 1:] + 1e-12 * np.eye(count - 1)
        undo = np.linalg.solve(across, own[:, 1:, :1]) if count > 1 else own[:, 1:, :1]
        at = (at[:, :, :1] - at[:, :, 1:] @ undo)[:, :, 0]
        ends = (own[:, :1, :1] - own[:, :1, 1:] @ undo)[:, 0, 0]
        ends = np.maximum(ends, 1e-12)
        outside = np.maximum(1.0 - ends, 0.0) / (ends * source_ohm)  # of the rest, [S]
        reactance_ohm = REACTANCE_SHARE * self.set_v / self.limit_a
        kept = 1.0 / np.hypot(1.0, reactance_ohm * outside)
        return np.asarray(np.abs(at) * (self.emf_v(rows) * kept / ends)[:, None])


def _generator(net: Network, p: Part, batteries: tuple[Part, ...]) -> Generator:
    node, branch = net.node_index, net.branch_index
    output = f"{p.id}.regulator"
    taking = [b for b in batteries if f"{b.id}.taking" in branch]
    ends = [(node[f"{p.id}#out"], node[f"{p.id}.B-"])]
    ends += [(node[f"{b.id}.+"], node[f"{b.id}#cell"]) for b in taking]
    branches = [branch[f"{output}.output"], *(branch[f"{b.id}.taking"] for b in taking)]
    device = net.device_index[output]
    return Generator(
        np.array(ends), np.array(branches), device, p.values["charging_v"], p.values["limit_a"]
    )


@dataclass(frozen=True)
class Pulsed:
    """Pulsed outputs of a network: their drivers, devices, duty, and rails (k, 2)."""

    branches: Ints
    devices: Ints
    duty: Floats
    rails: Ints

    @staticmethod
    def of(net: Network, circuit: Circuit) -> "Pulsed":
        """The pulsed outputs of a circuit."""
        found = [
            (f"{m.id}.{name}", pin.duty)
            for m in circuit.parts_of_kind("module")
            for name, pin in m.module_pins.items()
            if pin.role in OUTPUTS and pin.duty
        ]
        branches = np.array([net.branch_index[f"{p}.driver"] for p, _ in found], dtype=np.int64)
        devices = np.array([net.device_index[p] for p, _ in found], dtype=np.int64)
        # A driver's branch runs from its output to the rail it is pulled to, then to the other.
        rails = net.ends[branches][:, 1:] if len(found) else np.zeros((0, 2), dtype=np.int64)
        return Pulsed(branches, devices, np.array([d for _, d in found]), rails)

    def at(self, state: States, rail_v: Floats, pushed: Floats) -> tuple[Floats, Floats]:
        """Swing (f, p) of the pulses that are largest at each probe [V], and the share of the time
        that the place is high; ``rail_v`` (f, k) between the rails, ``pushed`` (f, p, k)."""
        if not len(self.duty):
            none = np.zeros(pushed.shape[:2])
            return none, none
        swing = pushed * (rail_v * (state[:, self.devices] == 1))[:, None, :]
        most = np.abs(swing).argmax(axis=2)
        largest = np.take_along_axis(swing, most[:, :, None], axis=2)[:, :, 0]
        duty = self.duty[most]
        return np.abs(largest), np.where(largest > 0, duty, 1.0 - duty)


def pushed_of(solved: Solved, probes: Ints, branches: Ints) -> Floats:
    """Answers (1, p, k) of one solved row at probes (p, 2) to one volt in each of some branches."""
    net, at = solved.plant.net, solved.at
    now = lines(net, solved.rows, at.state)
    push = np.zeros((net.n + 1, len(branches)))
    g = slopes_at(net, solved.rows, at.state, at.v, branches)[0]
    for k, b in enumerate(branches):
        np.add.at(push[:, k], net.ends[b], net.coefs[b] * g[k])
    moved = np.zeros_like(push)
    moved[:-1] = np.linalg.solve(jacobian(net, now, at.v)[0], push[:-1])
    return (moved[probes[:, 0]] - moved[probes[:, 1]])[None]


def ripple_of(solved: Solved, circuit: Circuit, red: str, black: str) -> float:
    """RMS ripple between two places of one solved row. [V]"""
    net, tips = solved.plant.net, _tips(solved.plant.net, red, black)
    total = 0.0
    for g in Generator.of(net, circuit):
        pushed = pushed_of(solved, np.concatenate([tips, g.probes]), g.branches)
        ohm = source_ohm(net, solved.rows, solved.at.state, g)
        total += float(g.ripple_v(solved.rows, pushed, ohm)[0, 0]) ** 2
    return float(np.sqrt(total))


def source_ohm(net: Network, rows: Rows, state: States, g: Generator) -> Floats:
    """Resistance (f,) of a generator's output in the state it is in. [ohm]"""
    v = np.zeros((len(rows), net.n + 1))
    return np.asarray(1.0 / slopes_at(net, rows, state, v, g.branches[:1])[:, 0])


def duty_of(solved: Solved, circuit: Circuit, red: str, black: str) -> tuple[float, float]:
    """Swing of the pulses between two places of one solved row [V], and the share of high."""
    net, v = solved.plant.net, solved.at.v
    pulsed = Pulsed.of(net, circuit)
    pushed = pushed_of(solved, _tips(net, red, black), pulsed.branches)
    rail_v = v[:, pulsed.rails[:, 0]] - v[:, pulsed.rails[:, 1]]
    swing, high = pulsed.at(solved.at.state, rail_v, pushed)
    return float(swing[0, 0]), float(high[0, 0])


def _tips(net: Network, red: str, black: str) -> Ints:
    return np.array([[net.node_index[red], net.node_index[black]]])
