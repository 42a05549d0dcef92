"""The next test: expected gain about which repair to make, per minute."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from loomwise.advice.candidates import Candidate, asked_before, candidates
from loomwise.advice.cautions import cautions_for
from loomwise.advice.costs import minutes_of
from loomwise.advice.decide import decide
from loomwise.advice.effects import fuse_trials
from loomwise.advice.expert import Expert
from loomwise.advice.leaders import Leaders, leaders, repair_of
from loomwise.advice.outcomes import edges_of, outcome_chances
from loomwise.advice.proposal import Expectation, Outcome, Proposal, Verdict
from loomwise.advice.say import bin_text, changes_between, number_text, title_of, words_of
from loomwise.circuit.kinds.tables import access_methods
from loomwise.diagnosis.ranking import NOT_EXPLAINED, NOTHING_WRONG, Ranking, Suspect
from loomwise.evidence import Evidence, Reading
from loomwise.evidence.items import AT_HAND, STIRS
from loomwise.planning import (
    TestProblem,
    expected_gain_bits,
    gain_bits_of,
    repair_entropy_bits,
)
from loomwise.setups import Setup
from loomwise.solver.network import Floats

MOST_UNDONE = 10
"""Ways to take something apart that are weighed at once on a large circuit. [-]"""
WORTH_BITS = 0.003
"""A test that tells less than this about the repair is not proposed. [bit]"""


@dataclass(frozen=True)
class Weighed:
    """Candidate tests with what the planner makes of them (t,)."""

    tests: tuple[Candidate, ...]
    group: Leaders
    chances: Floats
    means: Floats
    minutes: Floats
    gain: Floats

    @property
    def order(self) -> list[int]:
        """Tests worth making, best gain per minute first."""
        worth = self.gain / self.minutes
        best = np.argsort(-worth, kind="stable")
        return [int(t) for t in best if self.gain[t] > WORTH_BITS]


def weigh(
    expert: Expert, evidence: Sequence[Evidence], ranking: Ranking, here: Setup,
    opened: frozenset[str], instruments: Sequence[str], again: str = "",
    cannot: frozenset[str] = frozenset(), by: Callable[[Suspect], str] = repair_of,
) -> Weighed:  # fmt: skip
    """Weigh every candidate from where we stand, as if the item ``again`` had not been taken.

    A probe's reading may be taken again: it tells as much as its first taking may have slipped.
    """
    counted = [e for e in evidence if e.id != again]
    group = leaders(ranking, counted, by)
    tests = tuple(
        c
        for c in candidates(expert, evidence, here)
        if at_hand(c, instruments, here) and not barred(c, cannot) and not asked_before(evidence, c)
    )
    minutes = np.array([minutes_of(expert.circuit, c, here, opened)[0] for c in tests])
    harm = np.array([access_methods()[c.method].harm_minutes for c in tests])
    if expert.concerned is not None:
        some = _not_too_long(expert, group, tests, minutes + harm)
        tests, minutes, harm = tuple(tests[t] for t in some), minutes[some], harm[some]
    chances, means = outcome_chances(group, tests, expert.circuit.supply_v)
    problem = TestProblem(group.weights, chances, minutes, group.repair, harm)
    return Weighed(tests, group, chances, means, minutes + harm, _telling(problem, group))


def _telling(problem: TestProblem, group: Leaders) -> Floats:
    """Expected gain (t,). Where some test tells suspects apart, one that only tells all of them
    from "not explained" gains nothing: that allows every answer alike, so any quick look at what
    they agree on would seem to pay."""
    gain, known = expected_gain_bits(problem), group.weights.copy()
    known[group.unexplained] = 0.0
    if known.sum() > 0.0:
        apart = gain_bits_of(problem, (known / known.sum())[None])[0] > WORTH_BITS
        gain = np.where(apart | ~apart.any(), gain, 0.0)
    return gain


def _not_too_long(
    expert: Expert, group: Leaders, tests: Sequence[Candidate], minutes: Floats
) -> list[int]:
    """Of a large circuit's tests those that take nothing apart; and of the others, which need the
    circuit solved anew, some of the quickest that could be worth more a minute than the best of
    these if they told all there is to tell."""
    whole = np.array([not c.setup.undone for c in tests], dtype=bool)
    first = [c for c, is_whole in zip(tests, whole, strict=True) if is_whole]
    if not first:
        return list(range(len(tests)))
    chances, _ = outcome_chances(group, first, expert.circuit.supply_v)
    problem = TestProblem(group.weights, chances, minutes[whole], group.repair)
    best = float((expected_gain_bits(problem) / minutes[whole]).max())
    doubt = repair_entropy_bits(group.weights, group.repair)
    others = np.flatnonzero(~whole & (doubt / minutes > best)).tolist()
    quickest = sorted(others, key=lambda t: minutes[t])
    setups = list(dict.fromkeys(tests[t].setup for t in quickest))[:MOST_UNDONE]
    return [*np.flatnonzero(whole).tolist(), *(t for t in others if tests[t].setup in setups)]


def at_hand(test: Candidate, instruments: Sequence[str], here: Setup) -> bool:
    """Whether a test can be made with these instruments; a pair of eyes is always there."""
    if set(test.setup.settled) - set(here.settled) and "scan tool" not in instruments:
        return False
    return test.instrument in ("sign", *STIRS, *instruments)


def barred(test: Candidate, cannot: frozenset[str]) -> bool:
    """Whether a test needs something that cannot or will not be used."""
    names = {test.instrument, test.red, test.black, *(u.target for u in test.setup.undone)}
    owners = {name.partition(".")[0] for name in (test.red, test.black)}
    return bool(cannot & (names | owners))


def next_tests(
    expert: Expert, evidence: Sequence[Evidence], here: Setup,
    opened: frozenset[str] = frozenset(), most: int = 3,
    instruments: Sequence[str] = AT_HAND, ranking: Ranking | None = None,
    verdict: Verdict | None = None, cannot: frozenset[str] = frozenset(),
    by: Callable[[Suspect], str] = repair_of,
) -> tuple[Proposal, ...]:  # fmt: skip
    """The best next tests from the setup we stand in.

    ``opened`` names the parts and connectors that are laid open already; ``instruments`` what is
    at hand; ``cannot`` what cannot or will not be used; ``by`` what is to be told apart. Gives
    nothing if no test tells enough about that. Where all hangs on one reading, the tests are those
    that would bear it out.
    """
    ranking = ranking or expert.judge.rank(evidence)
    verdict = verdict or decide(expert, evidence, ranking)
    weighed = weighed_for(expert, evidence, ranking, here, opened, instruments, verdict, cannot, by)
    order = weighed.order
    if verdict.fuse:
        trials = fuse_trials(expert, evidence, verdict.fuse, weighed.tests)
        order = list(dict.fromkeys([*trials, *order]))
    return tuple(proposal(expert, weighed, t, here, evidence) for t in order[:most])


def weighed_for(
    expert: Expert, evidence: Sequence[Evidence], ranking: Ranking, here: Setup,
    opened: frozenset[str], instruments: Sequence[str], verdict: Verdict,
    cannot: frozenset[str] = frozenset(), by: Callable[[Suspect], str] = repair_of,
) -> Weighed:  # fmt: skip
    """All tests weighed; where the verdict hangs on one item, as if that had not been taken."""
    before = borne_out(expert, evidence, ranking, verdict)
    again = hangs_on(verdict)
    return weigh(expert, evidence, before, here, opened, instruments, again, cannot, by)


def hangs_on(verdict: Verdict) -> str:
    """The one item that keeps the verdict open, if there is one."""
    return verdict.weakest_reading if verdict.kind == "open" else ""


def borne_out(
    expert: Expert, evidence: Sequence[Evidence], ranking: Ranking, verdict: Verdict
) -> Ranking:
    """The ranking without the item that the verdict hangs on."""
    lost = hangs_on(verdict)
    if not lost:
        return ranking
    return expert.judge.rank([e for e in evidence if e.id != lost], search=False)


def proposal(
    expert: Expert, w: Weighed, t: int, here: Setup, evidence: Sequence[Evidence]
) -> Proposal:
    """One weighed test as it is proposed."""
    test, circuit = w.tests[t], expert.circuit
    again = {(e.red, e.black, e.setup): e.id for e in evidence if isinstance(e, Reading)}
    words = words_of(circuit, test)
    title = title_of(circuit, test)
    repeat = again.get((test.red, test.black, test.setup))
    return Proposal(
        setup=test.setup,
        changes=changes_between(circuit, here, test.setup),
        instrument=test.instrument,
        red=test.red,
        black=test.black,
        method=test.method,
        title=f"take {repeat} again: {title}" if repeat else title,
        minutes=float(w.minutes[t]),
        gain_bits=float(w.gain[t]),
        expectations=_expectations(expert, w, t, words),
        outcomes=_outcomes(expert, w, t, words),
        cautions=cautions_for(circuit, test),
    )


def unit_title(expert: Expert, unit: str) -> str:
    """What a unit, or two joined by " + ", or a doubt of the drawing is called."""
    if unit in (NOT_EXPLAINED, NOTHING_WRONG):
        return unit
    if not all(u in expert.circuit.units for u in unit.split(" + ")):
        return expert.judge.doubt_title(unit) if unit else "the drawing as it is"
    titles = [expert.circuit.units[u].title for u in unit.split(" + ")]
    return " and ".join(titles)


def _expectations(
    expert: Expert, w: Weighed, t: int, words: tuple[str, ...]
) -> tuple[Expectation, ...]:
    """What each leading unit predicts, by its likeliest fault."""
    found: dict[str, Expectation] = {}
    for k, s in enumerate(w.group.suspects):
        name = w.group.units[w.group.repair[k]]
        if name in found or s.fault is None:
            continue
        share = float(w.group.weights[w.group.repair == w.group.repair[k]].sum())
        mean = w.means[k, t]
        likeliest = int(w.chances[k, t].argmax())
        text = words[likeliest] if words else number_text(mean, w.tests[t].instrument)
        found[name] = Expectation(name, unit_title(expert, name), share, text)
        if len(found) == 4:
            break
    return tuple(found.values())


def _outcomes(expert: Expert, w: Weighed, t: int, words: tuple[str, ...]) -> tuple[Outcome, ...]:
    """Results grouped by who leads after them."""
    chance, instrument = w.group.weights @ w.chances[:, t, :], w.tests[t].instrument
    edges = edges_of(instrument, expert.circuit.supply_v)
    groups: list[list[int]] = []
    lead: list[int] = []
    for o in np.flatnonzero(chance > 0.005):
        leader = _leader_after(w, t, [int(o)])[0]
        if groups and lead[-1] == leader and words == ():
            groups[-1].append(int(o))
        else:
            groups.append([int(o)])
            lead.append(leader)
    found = []
    for some in groups:
        number, share = _leader_after(w, t, some)
        text = words[some[0]] if words else bin_text(some, edges, instrument)
        unit = w.group.units[number]
        likeliest = max(some, key=lambda o: chance[o])
        typical = words[likeliest] if words else _typical(w, t, likeliest, edges)
        whole = float(chance[some].sum())
        found.append(Outcome(text, whole, unit_title(expert, unit), share, typical))
    return tuple(sorted(found, key=lambda o: -o.chance))


def _typical(w: Weighed, t: int, outcome: int, edges: Floats) -> float:
    """What the leader who most expects this bin foresees, as far as it lies in the bin."""
    k = int((w.group.weights * w.chances[:, t, outcome]).argmax())
    low, high = np.array([0.0, *edges, np.inf])[[outcome, outcome + 1]]
    return float(np.clip(np.nan_to_num(w.means[k, t]), low, high))


def _leader_after(w: Weighed, t: int, outcomes: list[int]) -> tuple[int, float]:
    after = w.group.weights * w.chances[:, t, outcomes].sum(axis=1)
    sums = np.bincount(w.group.repair, weights=after)
    number = int(sums.argmax())
    return number, float(sums[number] / sums.sum())
