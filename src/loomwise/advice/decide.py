"""When to stop. Proven: at least 0.99, and no single reading whose loss takes it below 0.9."""

from collections.abc import Sequence

from loomwise.advice.expert import Expert
from loomwise.advice.proposal import Verdict
from loomwise.diagnosis.ranking import Ranking
from loomwise.evidence import Evidence

PROVEN, ROBUST = 0.99, 0.9
UNEXPLAINED = 0.5


def decide(expert: Expert, evidence: Sequence[Evidence], ranking: Ranking) -> Verdict:
    """The verdict on this evidence, apart from whether more tests would pay."""
    unit, share = ranking.leader
    others = ranking.not_explained + ranking.nothing_wrong
    if others > max(share, UNEXPLAINED):
        why = ("nothing in this circuit explains what was seen and read",)
        kind = "not explained" if ranking.not_explained > ranking.nothing_wrong else "as designed"
        return Verdict(kind, "", others, others, "", why)
    if share < PROVEN:
        why = (f"{_title(expert, unit)} is at {100 * share:.1f} %, not yet 99 %",)
        return Verdict("open", unit, share, share, "", why)
    weakest, which = _weakest(expert, evidence, unit)
    if weakest < ROBUST:
        left = f"{_title(expert, unit)} is at {100 * weakest:.0f} %"
        why = (f"it hangs on {which}: without it {left}",)
        return Verdict("open", unit, share, weakest, which, why)
    return Verdict("proven", unit, share, weakest, which, ())


def _title(expert: Expert, unit: str) -> str:
    known = expert.circuit.units.get(unit)
    return known.title if known else unit


def _weakest(expert: Expert, evidence: Sequence[Evidence], unit: str) -> tuple[float, str]:
    """The unit's share without the one reading it hangs on most."""
    lowest, which = 1.0, ""
    for item in evidence:
        rest = [e for e in evidence if e.id != item.id]
        share = expert.judge.rank(rest, search_pairs=False).units.get(unit, 0.0)
        if share < lowest:
            lowest, which = share, item.id
    return lowest, which
