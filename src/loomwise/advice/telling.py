"""What tests show on the sound vehicle, and how surely each fault would show otherwise.

The vehicle's own values are taken as spread as before any reading: a battery may have been
charged since. Shapes: t tests, f rows of a predictor's table.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from loomwise.advice.candidates import Candidate
from loomwise.advice.say import number_text, words_of
from loomwise.circuit.kinds.tables import access_methods
from loomwise.diagnosis.choices import stands
from loomwise.diagnosis.columns import Predictor, as_drawn
from loomwise.diagnosis.doubts import SLIP_ELSEWHERE
from loomwise.diagnosis.meters import AT_TIPS
from loomwise.diagnosis.predict import LEADS_OHM, amps, probe_nodes
from loomwise.diagnosis.words import lamp_chances, normal_cdf, sign_chances
from loomwise.evidence.items import OPEN_OHM, TWO_TIPS
from loomwise.setups import Setup
from loomwise.solver.network import Floats, Ints

BAND_SDS = 3.0
"""Half of a tolerance band in standard deviations: 1 sound vehicle in 370 lies outside."""
INSTRUMENTS = ("sign", "scan tool", "clamp", *TWO_TIPS)
"""What has one sure answer on a sound vehicle."""
SURE = 0.9
"""A test is of use where the sound vehicle shows what is expected at least this often."""
Relabel = Callable[[str], str]


@dataclass(frozen=True)
class Band:
    """What is expected: a word, or a number from ``low`` to ``high`` [V, A or ohm]."""

    word: str = ""
    value: float = 0.0
    low: float = 0.0
    high: float = 0.0

    def text(self, instrument: str) -> str:
        """The band as it is printed beside a test."""
        if self.word:
            return self.word
        high = _edge(self.high, instrument)
        if self.low <= 0.0:
            return f"at most {high}"
        if self.high >= OPEN_OHM:
            return f"at least {_edge(self.low, instrument)}"
        return f"{_edge(self.value, instrument)} ({_edge(self.low, instrument)} to {high})"


def _edge(value: float, instrument: str) -> str:
    return f"{value:.2f} V" if instrument == "voltmeter" else number_text(value, instrument)


@dataclass(frozen=True)
class _Numbers:
    """Mean and standard deviation (f, t) on the instrument's scale, and whether it hangs free."""

    mean: Floats
    sd: Floats
    floating: Floats


def bands(
    source: Predictor, tests: Sequence[Candidate], real: Relabel = as_drawn
) -> list[Band | None]:
    """What each test shows where nothing is wrong; None where that is not one sure answer."""
    found: list[Band | None] = [None] * len(tests)
    sound = np.zeros(1, dtype=np.int64)
    for setup, instrument, which in _alike(tests):
        if instrument not in INSTRUMENTS or len(stands(source.table, [setup], sound)) > 1:
            continue
        some = [tests[t] for t in which]
        if words_of(source.table.circuit, some[0]):
            made = [_word_band(source, test, real) for test in some]
        else:
            n = _numbers(source, setup, instrument, some, sound, real)
            made = [_number_band(n, t, instrument) for t in range(len(some))]
        for t, band in zip(which, made, strict=True):
            found[t] = band
    return found


def _word_band(source: Predictor, test: Candidate, real: Relabel) -> Band | None:
    chances = _word_chances(source, test, np.zeros(1, dtype=np.int64), real)[0]
    best = int(chances.argmax())
    words = words_of(source.table.circuit, test)
    return Band(words[best]) if chances[best] >= SURE else None


def _number_band(n: _Numbers, t: int, instrument: str) -> Band | None:
    """The band, rounded outwards to what the meter shows."""
    if n.floating[0, t]:
        return None
    mean, half = float(n.mean[0, t]), BAND_SDS * float(n.sd[0, t])
    low, value, high = mean - half, mean, mean + half
    if instrument == "ohmmeter":
        low, value, high = (float(np.exp(x)) - LEADS_OHM for x in (low, mean, high))
        return Band("", value, max(low, 0.0), min(high, OPEN_OHM))
    return Band("", value, float(np.floor(low * 100.0)) / 100, float(np.ceil(high * 100.0)) / 100)


def differs(
    source: Predictor, rows: Ints, tests: Sequence[Candidate], expected: Sequence[Band | None],
    real: Relabel = as_drawn,
) -> Floats:  # fmt: skip
    """Chance (t, f) that a fault's answer lies outside what is expected; 0 where nothing is.

    A probe that does not touch shows nothing, which passes where nothing is expected.
    """
    chance = np.zeros((len(tests), len(rows)))
    for setup, instrument, which in _alike(tests):
        known = [t for t in which if expected[t] is not None]
        some = [tests[t] for t in known]
        if not some:
            continue
        if words_of(source.table.circuit, some[0]):
            made = [_other_word(source, tests[t], rows, expected[t], real) for t in known]
        else:
            n = _numbers(source, setup, instrument, some, rows, real)
            made = [_outside(n, k, tests[t], expected[t], instrument) for k, t in enumerate(known)]
        chance[known] = np.stack(made)
    return chance


def _other_word(
    source: Predictor, test: Candidate, rows: Ints, expected: Band | None, real: Relabel
) -> Floats:
    assert expected is not None
    number = words_of(source.table.circuit, test).index(expected.word)
    return np.asarray(1.0 - _word_chances(source, test, rows, real)[:, number])


def _outside(
    n: _Numbers, k: int, test: Candidate, expected: Band | None, instrument: str
) -> Floats:
    assert expected is not None
    ends = np.array([expected.low, expected.high])
    dead = expected.low <= 0.0 <= expected.high
    if instrument == "ohmmeter":
        ends, dead = np.log(ends + LEADS_OHM), expected.high >= OPEN_OHM
    below = normal_cdf((ends - n.mean[:, k, None]) / n.sd[:, k, None])
    inside = below[:, 1] - below[:, 0]
    slip = 0.0 if test.instrument == "clamp" else access_methods()[test.method].missed
    slip += SLIP_ELSEWHERE
    return np.asarray((1.0 - slip) * (1.0 - inside) + slip * (not dead))


def _word_chances(source: Predictor, test: Candidate, rows: Ints, real: Relabel) -> Floats:
    if test.instrument == "test lamp":
        probes = probe_nodes(source.table, [(real(test.red), real(test.black))])
        return lamp_chances(source.table, rows, test.setup, probes)[:, 0, :]
    chances = sign_chances(source.table, rows, test.setup, test.red)
    return np.asarray(chances / chances.sum(axis=1, keepdims=True))


def _numbers(
    source: Predictor, setup: Setup, instrument: str, tests: Sequence[Candidate], rows: Ints,
    real: Relabel,
) -> _Numbers:  # fmt: skip
    table = source.table
    if instrument == "clamp":
        n = amps(table, setup, rows, [table.net.branch_index[t.red] for t in tests])
    else:
        probes = probe_nodes(table, [(real(t.red), real(t.black)) for t in tests])
        n = AT_TIPS[instrument](table, setup, rows, probes)
    spread = np.einsum("ftk,k->ft", n.sensitivity.astype(float) ** 2, table.variances())
    return _Numbers(n.mean, np.sqrt(spread + n.variance), n.floating)


def _alike(tests: Sequence[Candidate]) -> Iterator[tuple[Setup, str, list[int]]]:
    """Numbers of the tests in one setup with one instrument."""
    groups: dict[tuple[Setup, str], list[int]] = {}
    for t, test in enumerate(tests):
        groups.setdefault((test.setup, test.instrument), []).append(t)
    for (setup, instrument), which in groups.items():
        yield setup, instrument, which
