"""What an instrument would show under each hypothesis, with the instrument connected.

Numbers come as mean, sensitivity to the vehicle's uncertain values, and variance of their own;
words come as probabilities. Shapes: f rows asked for, p probes, k uncertain values.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from loomwise.circuit.model import BODY
from loomwise.diagnosis.answers import currents, responses
from loomwise.diagnosis.kept import Answers
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
KEPT_BYTES = 48_000_000
"""What the answers that a table keeps may hold; the longest unused go first."""
GHOST_V = 0.6
"""How far a floating wire's reading wanders: engineering judgement. [V]"""


@dataclass(frozen=True)
class Numbers:
    """Predicted values (f, p): mean, sensitivities (f, p, k + 1), own variance, floating share."""

    mean: Floats
    sensitivity: Floats
    variance: Floats
    floating: Floats


def probe_nodes(table: Table, probes: list[tuple[str, str]]) -> Ints:
    """Node numbers (p, 2) of red and black places; BODY is the reference."""
    index = table.net.node_index
    return np.array([[index[red], index[black or BODY]] for red, black in probes], dtype=np.int64)


def volts(table: Table, setup: Setup, rows: Ints, probes: Ints) -> Numbers:
    """A 10 MΩ voltmeter at probes (p, 2)."""
    open_v, swing_v, source, sensitivity = at_probes(table, setup, rows, probes)
    loaded = VOLTMETER_OHM / (VOLTMETER_OHM + source)
    mean = open_v * loaded
    floating = (source > FLOATING_OHM).astype(float)
    own = (METER_SHARE * mean) ** 2 + METER_V**2 + swing_v**2
    own += (GHOST_V * floating) ** 2
    return Numbers(mean, sensitivity * loaded[:, :, None], own, floating)


class AtProbes(NamedTuple):
    """Open voltage, half its swing, source resistance (f, p) and sensitivities (f, p, k + 1)."""

    open_v: Floats
    swing_v: Floats
    source_ohm: Floats
    sensitivity: NDArray[np.float32]


def at_probes(table: Table, setup: Setup, rows: Ints, probes: Ints) -> AtProbes:
    """Open voltage and answers at probes, worked out for the rows where they are not yet kept."""

    def work(some: Ints) -> AtProbes:
        rest = table.at(setup, some)
        v = rest.volts_at(some, probes.ravel()).reshape(len(some), -1, 2)
        answer = responses(table, setup, some, probes)
        return AtProbes(
            v[:, :, 0] - v[:, :, 1], rest.half_swing(some, probes), answer.source_ohm,
            answer.sensitivity.astype(np.float32),
        )  # fmt: skip

    return AtProbes(*kept(table, ("probes", setup, probes.tobytes()), rows, work))


Key = tuple[str, Setup, bytes]


def kept(
    table: Table, key: Key, rows: Ints, work: Callable[[Ints], Sequence[NDArray[Any]]]
) -> tuple[NDArray[Any], ...]:
    """What ``work`` gives for these rows; only what is not known yet is worked out."""
    known = table.answers.pop(key, None) or Answers.blank(len(table))
    table.answers[key] = known  # the last used is the last to go
    todo = known.missing(rows)
    if len(todo) or not known.values:
        known.add(todo, work(todo))
        while len(table.answers) > 1 and sum(a.size for a in table.answers.values()) > KEPT_BYTES:
            del table.answers[next(iter(table.answers))]
    return known.at(rows)


def amps(table: Table, setup: Setup, rows: Ints, branches: Sequence[int]) -> Numbers:
    """A clamp round each of some conductors (p), whichever way it is held."""
    at = np.array(branches, dtype=np.int64)

    def work(some: Ints) -> tuple[Floats, NDArray[np.float32]]:
        i, sens = currents(table, setup, some, branches)
        return i, sens.astype(np.float32)

    i, sens = kept(table, ("clamp", setup, at.tobytes()), rows, work)
    mean = np.abs(i)
    variance = (CLAMP_SHARE * mean) ** 2 + CLAMP_A**2
    return Numbers(mean, sens * np.sign(i)[:, :, None], variance, np.zeros_like(mean))


def lamp_light(table: Table, setup: Setup, rows: Ints, probes: Ints, rated_v: float) -> Floats:
    """Share of rated voltage (f, p) across a test lamp held between the tips.

    The circuit is taken as its open voltage behind its source resistance: right while the lamp's
    quarter of an ampere makes no device switch.
    """

    def work(some: Ints) -> tuple[Floats]:
        seen = at_probes(table, setup, some, probes)
        return (behind(np.abs(seen.open_v), seen.source_ohm, rated_v) / rated_v,)

    return kept(table, (f"lamp {rated_v}", setup, probes.tobytes()), rows, work)[0]


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
    seen = at_probes(table, setup, rows, probes)
    source = np.log(np.minimum(seen.source_ohm, OPEN_OHM) + LEADS_OHM)
    live = np.abs(seen.open_v) > LIVE_V
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
