"""Whether to go on: what it would cost to settle the doubt against what being wrong would cost.

Money in the shop's currency: minutes at its labour rate, prices from the circuit file. Being wrong
costs the unit that was not at fault, and a comeback. Settling costs the doubt left, at the rate of
the best test at hand.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from loomwise.advice.decide import PROVEN, ROBUST, decide, effect_of
from loomwise.advice.effects import burnt_remarks, fuse_trials, unsettled_fuse
from loomwise.advice.expert import Expert
from loomwise.advice.next_test import (
    WORTH_BITS,
    Weighed,
    borne_out,
    hangs_on,
    proposal,
    unit_title,
    weigh,
)
from loomwise.advice.proposal import Bet, Proposal, Verdict
from loomwise.diagnosis.ranking import Ranking
from loomwise.evidence import Evidence
from loomwise.evidence.items import AT_HAND
from loomwise.planning import TestProblem, expected_gain_bits, repair_entropy_bits
from loomwise.setups import Setup

COMEBACK_MIN = 30.0
"""Taking the vehicle in again and testing again after a wrong repair. Engineering judgement.
[min]"""
SHOWN_BET = 0.01
NEAR = 0.5
"""A cheaper repair is preferred to the likeliest one from this share of the likeliest's on."""
DECISIVE = 0.5
"""A test is decisive if it is expected to settle this much of the doubt. Engineering judgement."""
TELLS_APART = 0.05
"""Two units count as inseparable where no test takes this much of the doubt between them."""
RIVAL = 0.02
"""Units below this share of the leader's need not be told from it. Engineering judgement."""


@dataclass(frozen=True)
class Bench:
    """How the vehicle stands, what is open, which instruments are there, the testing time used so
    far and authorised by the customer (None: no limit) [min], and what cannot be used."""

    here: Setup
    opened: frozenset[str] = frozenset()
    instruments: Sequence[str] = AT_HAND
    spent_minutes: float = 0.0
    authorised_minutes: float | None = None
    cannot: frozenset[str] = frozenset()


def conclude(
    expert: Expert, evidence: Sequence[Evidence], ranking: Ranking, bench: Bench
) -> Verdict:
    """Where the job stands, with what going on would cost and what being wrong would."""
    return concluded(expert, evidence, ranking, bench)[0]


def concluded(
    expert: Expert, evidence: Sequence[Evidence], ranking: Ranking, bench: Bench
) -> tuple[Verdict, Weighed | None]:
    """The same, with the tests as they were weighed for it, if they had to be."""
    found = decide(expert, evidence, ranking)
    if found.kind != "open":
        return found, None
    before = borne_out(expert, evidence, ranking, found)
    weighed = weigh(
        expert, evidence, before, bench.here, bench.opened, bench.instruments, hangs_on(found),
        bench.cannot,
    )  # fmt: skip
    fuse = unsettled_fuse(expert, evidence, before, found.unit, ROBUST * found.share)
    trials = fuse_trials(expert, evidence, fuse, weighed.tests) if fuse else []
    best = trials[0] if found.fuse and trials else decisive(weighed)
    found = replace(
        found, at_risk=at_risk(expert, before), going_on=going_on(expert, weighed),
        settles=None if best is None else proposal(expert, weighed, best, bench.here, evidence),
        bets=best_bets(expert, ranking),
    )  # fmt: skip
    ended = found if found.fuse else _ended(expert, before, weighed, found)
    if ended.kind == "best bet" and ended.unit == found.unit and fuse:
        ended = effect_of(found, fuse)  # a new fuse is the test, and no bet
    if ended.kind == "best bet":
        remarks = burnt_remarks(expert, evidence, before, ended.unit)
        ended = replace(ended, remarks=remarks)
    return _in_time(ended, bench), weighed


def _ended(expert: Expert, ranking: Ranking, weighed: Weighed, found: Verdict) -> Verdict:
    """The open verdict, or the best bet or the group that it ends in."""
    group = inseparable_in(ranking, weighed)
    together = min(1.0, sum(ranking.units.get(u, 0.0) for u in group))
    if group and (together >= PROVEN or found.settles is None):
        return _not_separable(expert, ranking, found, group, together)
    if found.settles is None or found.going_on > found.at_risk:
        return _best_bet(expert, ranking, found)
    return found


def best_bets(expert: Expert, ranking: Ranking) -> tuple[Bet, ...]:
    """Repairs one could make now, the least expected cost first: price and labour for certain,
    and with the chance that it was not the unit, its labour and the testing once more."""
    bets = [_bet(expert, u, s) for u, s in ranking.units.items() if s >= SHOWN_BET]
    return tuple(sorted(bets, key=lambda b: (b.expected, b.unit)))


def _bet(expert: Expert, name: str, share: float) -> Bet:
    unit, rate = expert.circuit.units[name], expert.circuit.labour_per_hour / 60.0
    cost = unit.price + unit.minutes * rate
    comeback = (unit.minutes + COMEBACK_MIN) * rate
    share = min(share, 1.0)
    expected = cost + (1.0 - share) * comeback
    return Bet(name, unit.title, share, unit.price, unit.minutes, cost, comeback, expected)


def _chosen(expert: Expert, ranking: Ranking) -> Bet | None:
    """The repair to make if it had to be now: of those about as likely as the leader, the one
    whose being wrong is expected to cost least."""
    enough = NEAR * ranking.leader[1]
    bets = [_bet(expert, u, s) for u, s in ranking.units.items() if s >= enough]
    return min(bets, key=_loss, default=None)


def _loss(bet: Bet) -> float:
    return (1.0 - bet.share) * (bet.cost + bet.comeback)


def at_risk(expert: Expert, ranking: Ranking) -> float:
    """Expected loss of making the best repair now: its cost for nothing, and a comeback."""
    bet = _chosen(expert, ranking)
    return _loss(bet) if bet else 0.0


def going_on(expert: Expert, weighed: Weighed) -> float:
    """Expected cost of settling the doubt: its bits, at the minutes a bit of the best test. 0 if
    no test tells anything."""
    order = weighed.order
    if not order:
        return 0.0
    doubt = repair_entropy_bits(weighed.group.weights, weighed.group.repair)
    a_bit = float(weighed.minutes[order[0]] / weighed.gain[order[0]])
    return doubt * a_bit * expert.circuit.labour_per_hour / 60.0


def decisive(weighed: Weighed) -> int | None:
    """The test that takes least time among those that settle half of the doubt; else the best."""
    order = weighed.order
    doubt = repair_entropy_bits(weighed.group.weights, weighed.group.repair)
    enough = [t for t in order if weighed.gain[t] >= DECISIVE * doubt]
    quickest = sorted(enough, key=lambda t: float(weighed.minutes[t]))
    return next(iter([*quickest, *order]), None)


def inseparable(
    expert: Expert, evidence: Sequence[Evidence], ranking: Ranking, here: Setup,
    opened: frozenset[str] = frozenset(), instruments: Sequence[str] = AT_HAND,
) -> tuple[str, ...]:  # fmt: skip
    """The leading unit and those that no test at hand can tell from it; nothing if it can be."""
    weighed = weigh(expert, evidence, ranking, here, opened, instruments)
    return inseparable_in(ranking, weighed)


def inseparable_in(ranking: Ranking, weighed: Weighed) -> tuple[str, ...]:
    """The same, where all tests have been weighed."""
    lead, share = ranking.leader
    rivals = [u for u, s in ranking.units.items() if u != lead and s >= RIVAL * share]
    alike = [u for u in rivals if _cannot_tell(weighed, lead, u)]
    return (lead, *alike) if alike else ()


def _cannot_tell(w: Weighed, a: str, b: str) -> bool:
    rows = [k for k, s in enumerate(w.group.suspects) if s.unit in (a, b)]
    if len({w.group.suspects[k].unit for k in rows}) < 2:
        return False
    if not w.tests:
        return True
    weights = w.group.weights[rows] / w.group.weights[rows].sum()
    repair, minutes = w.group.repair[rows], np.ones(len(w.tests))
    gain = expected_gain_bits(TestProblem(weights, w.chances[rows], minutes, repair))
    worth = max(WORTH_BITS, TELLS_APART * repair_entropy_bits(weights, repair))
    return float(gain.max()) < worth


def _not_separable(
    expert: Expert, ranking: Ranking, found: Verdict, group: tuple[str, ...], share: float
) -> Verdict:
    names = ", ".join(unit_title(expert, u) for u in group)
    first = min((_bet(expert, u, ranking.units[u]) for u in group), key=lambda b: b.expected)
    why = (
        f"no test at hand tells these apart: {names}",
        f"the cheapest to try first is {first.title}",
    )
    return replace(
        found, kind="not separable", unit=first.unit, share=share, weakest=share,
        weakest_reading="", reasons=why, units=group,
    )  # fmt: skip


def _best_bet(expert: Expert, ranking: Ranking, found: Verdict) -> Verdict:
    """The verdict that stops; ``ranking`` is without the item that all hangs on."""
    bet = _chosen(expert, ranking)
    if bet is None:
        return found
    why = [*(found.reasons if found.weakest_reading else ())]
    if found.settles is None:
        why.append("no test at hand would tell more")
    else:
        why.append(
            f"being wrong is expected to cost {found.at_risk:.0f}, settling it {found.going_on:.0f}"
        )
    return replace(
        found, kind="best bet", unit=bet.unit, share=bet.share, weakest=bet.share,
        reasons=tuple(why), units=(bet.unit,),
    )  # fmt: skip


def _in_time(found: Verdict, bench: Bench) -> Verdict:
    """The verdict, unless the time the customer has authorised is up."""
    limit, test = bench.authorised_minutes, found.settles
    if limit is None or found.kind not in ("open", "best bet"):
        return found
    if bench.spent_minutes + (test.minutes if test else 0.0) <= limit:
        return found
    return replace(found, kind="authorised time reached", reasons=_known(found, bench, limit, test))


def _known(found: Verdict, bench: Bench, limit: float, test: Proposal | None) -> tuple[str, ...]:
    why = [f"{bench.spent_minutes:.0f} of {limit:.0f} min are used"]
    if test is not None and bench.spent_minutes < limit:
        why.append(f"the next test takes {test.minutes:.0f} min")
    likeliest = sorted(found.bets, key=lambda b: -b.share)[:3]
    shares = ", ".join(f"{b.title} {100 * b.share:.0f} %" for b in likeliest)
    return (*why, f"known so far: {shares}" if shares else "nothing is known yet")
