"""Proof after a repair: the fewest checks that would show it if a fault were still there.

A check is a place, or a load to watch, in a setup, with what the sound vehicle shows there. The
plan covers the repaired fault and every suspect that survived; what no check can catch is said.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from loomwise.advice.candidates import Candidate, candidates
from loomwise.advice.cautions import cautions_for
from loomwise.advice.costs import minutes_of
from loomwise.advice.cover import cheap_cover
from loomwise.advice.expert import Expert
from loomwise.advice.next_test import at_hand
from loomwise.advice.say import changes_between, title_of, words_of
from loomwise.advice.targets import Target, relabel_of, targets
from loomwise.advice.telling import INSTRUMENTS, SURE, Band, bands, differs
from loomwise.circuit.kinds.tables import access_methods
from loomwise.diagnosis.choices import counted
from loomwise.diagnosis.ranking import Ranking
from loomwise.errors import InputError
from loomwise.evidence import Evidence, Sign
from loomwise.evidence.items import AT_HAND
from loomwise.setups import Setup
from loomwise.solver.network import Ints


@dataclass(frozen=True)
class Caught:
    """A fault that would show: where it is and its share before the repair."""

    title: str
    unit: str
    share: float


@dataclass(frozen=True)
class Check:
    """One thing to look at or read after the repair, and what must be found.

    ``changes`` lead to its setup from that of the check before; ``words`` are the answers there
    can be, none where it is a number. ``expected`` is in words
    ("12.4 V (11.6 V to 13.3 V)"); ``band`` the same for the program.
    """

    id: str
    setup: Setup
    changes: tuple[str, ...]
    instrument: str
    red: str
    black: str
    method: str
    title: str
    expected: str
    band: Band
    words: tuple[str, ...]
    minutes: float
    catches: tuple[Caught, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class ProofPlan:
    """Checks in the order to make them, and the faults that none of them would catch."""

    checks: tuple[Check, ...]
    uncovered: tuple[Caught, ...]

    @property
    def minutes(self) -> float:
        """The whole time. [min]"""
        return sum(c.minutes for c in self.checks)


@dataclass(frozen=True)
class Proof:
    """Whether the repair is proven, and a line for each check that failed or is missing."""

    passed: bool
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class _Try:
    """Tests that could be made, what is expected, and which targets (t, e) they catch."""

    tests: tuple[Candidate, ...]
    expected: tuple[Band, ...]
    catches: NDArray[np.bool_]


def proof_plan(
    expert: Expert, evidence: Sequence[Evidence], ranking: Ranking, repaired: Sequence[str],
    here: Setup | None = None, opened: frozenset[str] = frozenset(),
    instruments: Sequence[str] = AT_HAND,
) -> ProofPlan:  # fmt: skip
    """Checks for a vehicle on which ``repaired`` units were repaired on this evidence.

    ``ranking`` is the one before the repair, ``here`` how the vehicle stands (at rest if None).
    Undisturbed setups come first; a plug is parted only for what nothing else catches.
    """
    here = replace(here or expert.states[0], undone=())
    wanted = targets(expert, ranking, repaired)
    every = [
        c
        for c in dict.fromkeys(candidates(expert, evidence, here))
        if c.instrument in INSTRUMENTS and at_hand(c, instruments, here)
    ]
    plain = [c for c in every if not c.setup.undone]
    tried = _tried(expert, ranking, plain, wanted)
    rest = [e for e in range(len(wanted)) if not tried.catches[:, e].any()]
    if rest:
        apart = [c for c in every if c.setup.undone and _puts_back(c)]
        tried = _joined(tried, _tried(expert, ranking, apart, wanted))
    chosen = _chosen(expert, tried, _complaint(tried, evidence), here, opened)
    checks = _checks(expert, tried, chosen, wanted, here, opened)
    left = [t for e, t in enumerate(wanted) if not tried.catches[:, e].any()]
    return ProofPlan(checks, _caught(left))


def judge_proof(checks: Sequence[Check], answers: Mapping[str, float | str]) -> Proof:
    """Whether the answers, by the checks' ids, prove the repair.

    Raises
    ------
    InputError : an answer to no check, a word where a number is needed or the other way round.
    """
    known = {c.id: c for c in checks}
    for name in answers:
        if name not in known:
            raise InputError(f"there is no check {name}", "answer", f"there is {', '.join(known)}")
    why = [_failed(c, answers[c.id]) for c in checks if c.id in answers]
    why += [f"{c.id} is not done yet: {c.title}" for c in checks if c.id not in answers]
    reasons = tuple(line for line in why if line)
    return Proof(not reasons, reasons)


def _failed(check: Check, answer: float | str) -> str:
    band = check.band
    if answer not in check.words if check.words else isinstance(answer, str):
        hint = f"say {', '.join(check.words)}" if check.words else "answer with a number"
        raise InputError(f"'{answer}' does not answer {check.id}", "answer", hint)
    if isinstance(answer, str):
        good = answer == band.word
    else:
        # Whichever way a clamp or the tips were held is as good where nothing is expected.
        size = abs(answer) if band.low <= 0.0 else answer
        good = band.low <= size <= band.high
    return "" if good else f"{check.id} failed: {answer}, expected {check.expected}"


def _puts_back(test: Candidate) -> bool:
    """A new fuse is no check: what was fitted stays in."""
    return all(u.what != "new" for u in test.setup.undone)


def _tried(
    expert: Expert, ranking: Ranking, tests: Sequence[Candidate], wanted: Sequence[Target]
) -> _Try:
    real = relabel_of(expert, ranking)
    found = bands(expert.judge.singles, tests, real)
    known = [(t, b) for t, b in zip(tests, found, strict=True) if b is not None]
    some, expected = tuple(t for t, _ in known), tuple(b for _, b in known)
    catches = np.zeros((len(some), len(wanted)), dtype=bool)
    alike: dict[tuple[int, str], list[int]] = {}
    for e, target in enumerate(wanted):
        alike.setdefault((id(target.source), target.exchange), []).append(e)
    for which in alike.values():
        first = wanted[which[0]]
        rows = np.array([wanted[e].row for e in which], dtype=np.int64)
        chance = differs(first.source, rows, some, expected, first.real)
        catches[:, which] = chance >= SURE
    return _Try(some, expected, catches)


def _joined(a: _Try, b: _Try) -> _Try:
    return _Try(a.tests + b.tests, a.expected + b.expected, np.concatenate([a.catches, b.catches]))


def _complaint(tried: _Try, evidence: Sequence[Evidence]) -> list[int]:
    """The signs of the complaint: what was seen to be wrong is always looked at again."""
    wrong = {
        (replace(e.setup, undone=(), held=False), e.what): e.seen
        for e in counted(evidence)
        if isinstance(e, Sign) and not e.repaired
    }
    return [
        k
        for k, (test, band) in enumerate(zip(tried.tests, tried.expected, strict=True))
        if test.instrument == "sign" and wrong.get((test.setup, test.red), band.word) != band.word
    ]


def _chosen(
    expert: Expert, tried: _Try, first: Sequence[int], here: Setup, opened: frozenset[str]
) -> list[int]:
    times = [minutes_of(expert.circuit, t, here, opened) for t in tried.tests]
    harm = [access_methods()[t.method].harm_minutes for t in tried.tests]
    setups = list(dict.fromkeys(t.setup for t in tried.tests))
    number: Ints = np.array([setups.index(t.setup) for t in tried.tests], dtype=np.int64)
    minutes = np.array([m for m, _ in times]) + np.array(harm)
    return cheap_cover(tried.catches, minutes, np.array([s for _, s in times]), number, first)


def _checks(
    expert: Expert, tried: _Try, chosen: Sequence[int], wanted: Sequence[Target], here: Setup,
    opened: frozenset[str],
) -> tuple[Check, ...]:  # fmt: skip
    """The checks setup by setup: what is seen first, then what is read."""
    setups = list(dict.fromkeys(tried.tests[t].setup for t in chosen))
    order = sorted(chosen, key=lambda t: (setups.index(tried.tests[t].setup),
                   tried.tests[t].instrument != "sign"))  # fmt: skip
    found, circuit, stands = [], expert.circuit, here
    for number, t in enumerate(order, 1):
        test, band = tried.tests[t], tried.expected[t]
        minutes, _ = minutes_of(circuit, test, stands, opened)
        caught = [target for e, target in enumerate(wanted) if tried.catches[t, e]]
        found.append(Check(
            id=f"P{number}", setup=test.setup, changes=changes_between(circuit, stands, test.setup),
            instrument=test.instrument, red=test.red, black=test.black, method=test.method,
            title=title_of(circuit, test), expected=band.text(test.instrument), band=band,
            words=words_of(circuit, test), minutes=minutes, catches=_caught(caught),
            cautions=cautions_for(circuit, test),
        ))  # fmt: skip
        stands = test.setup
    return tuple(found)


def _caught(some: Sequence[Target]) -> tuple[Caught, ...]:
    """Targets by fault, sizes of one fault taken together, the likeliest first."""
    sums: dict[tuple[str, str], float] = {}
    for t in some:
        sums[t.title, t.unit] = sums.get((t.title, t.unit), 0.0) + t.share
    found = [Caught(title, unit, share) for (title, unit), share in sums.items()]
    return tuple(sorted(found, key=lambda c: (-c.share, c.title)))
