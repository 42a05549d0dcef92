"""What an instrument would show under each hypothesis, with the instrument connected.

Numbers come as mean, sensitivity to the vehicle's uncertain values, and variance of their own;
words come as probabilities. Shapes: f rows asked for, p probes, k uncertain values.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from loomwise.circuit.model import BODY
from loomwise.diagnosis.answers import currents, responses
from loomwise.diagnosis.kept import Probed
from loomwise.diagnosis.table import Table
from loomwise.evidence import Reading
from loomwise.evidence.items import OPEN_OHM
from loomwise.setups import Setup
from loomwise.solver.laws import filament
from loomwise.solver.network import Floats, Ints
from loomwise.solver.result import FLOATING_OHM

VOLTMETER_OHM = 10e6
"""Input resistance of a digital voltmeter: University Physics vol. 2, 10.4. [Ω]"""
TEST_LAMP_W = 3.0
"""12 V 3 W lamp, 0.25 A:
https://infinispark.com.au/how-much-current-does-an-incandescent-lamp-draw/ [W]"""
METER_SHARE, METER_V = 0.006, 0.02
"""Standard deviation of a meter: share of reading (1 % uniform) and floor. Judgement. [-, V]"""
CLAMP_SHARE, CLAMP_A = 0.02, 0.05
"""Standard deviation of a clamp: share of reading and floor. Engineering judgement. [-, A]"""
PROBED_BYTES = 48_000_000
"""What the answers at probes that a table keeps may hold; the longest unused go first."""
GHOST_V = 0.6
"""How far a floating wire's reading wanders: engineering judgement. [V]"""


@dataclass(frozen=True)
class Numbers:
    """Predicted values (f, p): mean, sensitivities (f, p, k + 1), own variance, floating share."""

    mean: Floats
    sensitivity: Floats
    variance: Floats
    floating: Floats

    def take(self, rows: Ints) -> "Numbers":
        """The numbers of some rows."""
        return Numbers(
            self.mean[rows], self.sensitivity[rows], self.variance[rows], self.floating[rows]
        )

    def joined(self, other: "Numbers") -> "Numbers":
        """These and the numbers of further rows."""
        return Numbers(
            np.concatenate([self.mean, other.mean]),
            np.concatenate([self.sensitivity, other.sensitivity]),
            np.concatenate([self.variance, other.variance]),
            np.concatenate([self.floating, other.floating]),
        )


def probe_nodes(table: Table, probes: list[tuple[str, str]]) -> Ints:
    """Node numbers (p, 2) of red and black places; BODY is the reference."""
    index = table.net.node_index
    return np.array([[index[red], index[black or BODY]] for red, black in probes], dtype=np.int64)


def volts(table: Table, setup: Setup, rows: Ints, probes: Ints) -> Numbers:
    """A 10 MΩ voltmeter at probes (p, 2)."""
    kept = at_probes(table, setup, rows, probes)
    source = kept.source_ohm[rows]
    loaded = VOLTMETER_OHM / (VOLTMETER_OHM + source)
    mean = kept.open_v[rows] * loaded
    floating = (source > FLOATING_OHM).astype(float)
    own = (METER_SHARE * mean) ** 2 + METER_V**2 + kept.swing_v[rows] ** 2
    own += (GHOST_V * floating) ** 2
    return Numbers(mean, kept.sensitivity[rows] * loaded[:, :, None], own, floating)


def at_probes(table: Table, setup: Setup, rows: Ints, probes: Ints) -> Probed:
    """Open voltage and answers at probes, worked out for the rows where they are not yet kept."""
    key = (setup, probes.tobytes())
    kept = table.probed.pop(key, None)
    if kept is None:
        kept = Probed.blank(len(table), len(probes), len(table.named) + 1)
    table.probed[key] = kept  # the last used is the last to go
    todo = np.unique(rows[kept.place[rows] == 0])
    if len(todo):
        rest = table.at(setup, todo)
        v = rest.volts_at(todo, probes.ravel()).reshape(len(todo), -1, 2)
        swing = rest.half_swing(todo, probes)
        kept.add(todo, v[:, :, 0] - v[:, :, 1], swing, responses(table, setup, todo, probes))
        while len(table.probed) > 1 and sum(p.size for p in table.probed.values()) > PROBED_BYTES:
            del table.probed[next(iter(table.probed))]
    return kept


def amps(table: Table, setup: Setup, rows: Ints, branches: Sequence[int]) -> Numbers:
    """A clamp round each of some conductors (p), whichever way it is held."""
    i, sens = currents(table, setup, rows, branches)
    mean = np.abs(i)
    variance = (CLAMP_SHARE * mean) ** 2 + CLAMP_A**2
    return Numbers(mean, sens * np.sign(i)[:, :, None], variance, np.zeros_like(mean))


def lamp_light(table: Table, setup: Setup, rows: Ints, probes: Ints, rated_v: float) -> Floats:
    """Share of rated voltage (f, p) across a test lamp held between the tips.

    The circuit is taken as its open voltage behind its source resistance: right while the lamp's
    quarter of an ampere makes no device switch.
    """
    kept = at_probes(table, setup, rows, probes)
    return behind(np.abs(kept.open_v[rows]), kept.source_ohm[rows], rated_v) / rated_v


def behind(open_v: Floats, source_ohm: Floats, rated_v: float) -> Floats:
    """Voltage across a test lamp behind a source resistance, by bisection."""
    params = np.broadcast_to([rated_v, TEST_LAMP_W / rated_v, 12.0], (*open_v.shape, 3))
    low, high = np.zeros_like(open_v), open_v.copy()
    for _ in range(22):  # to some 3 microvolts
        middle = (low + high) / 2.0
        over = middle + source_ohm * filament(middle, params)[0] > open_v
        low, high = np.where(over, low, middle), np.where(over, middle, high)
    return (low + high) / 2.0


def reading_numbers(table: Table, rows: Ints, reading: Reading) -> Numbers:
    """Prediction of a reading that is a number (one probe)."""
    if reading.instrument == "clamp":
        return amps(table, reading.setup, rows, [table.net.branch_index[reading.red]])
    probes = probe_nodes(table, [(reading.red, reading.black)])
    if reading.instrument == "ohmmeter":
        return ohms(table, reading.setup, rows, probes)
    return volts(table, reading.setup, rows, probes)


def ohms(table: Table, setup: Setup, rows: Ints, probes: Ints) -> Numbers:
    """An ohmmeter between the tips, as the natural logarithm of 0.3 Ω more than it shows.

    Supply off; parallel paths and cold filaments count. The 0.3 Ω are its leads (0.2 to 0.5 Ω:
    http://sk.gvda-instrument.com/info/introduction-to-digital-multimeter-accuracy-87246271.html),
    which keep the logarithm finite.
    """
    kept = at_probes(table, setup, rows, probes)
    source = np.log(np.minimum(kept.source_ohm[rows], OPEN_OHM) + LEADS_OHM)
    live = np.abs(kept.open_v[rows]) > LIVE_V
    variance = np.where(live, 4.0**2, 0.15**2)
    return Numbers(
        source, np.zeros((*source.shape, len(table.named) + 1)), variance, np.zeros_like(source)
    )


LIVE_V = 0.2
"""An ohmmeter shows nonsense where more than this is on its tips: engineering judgement. [V]"""
LEADS_OHM = 0.3


def shown(reading: Reading) -> float:
    """The reading's value on the scale its prediction is made on."""
    value = reading.value if reading.value is not None else 0.0
    if reading.instrument == "ohmmeter":
        return float(np.log(min(max(value, 0.0), OPEN_OHM) + LEADS_OHM))
    return abs(value) if reading.instrument == "clamp" else value
