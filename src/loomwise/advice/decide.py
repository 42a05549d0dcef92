"""When the evidence proves a unit: at least 0.99, and no single item whose loss takes it below 0.9.

An effect is never proven as the cause: see ``effects``. What to do where nothing is proven is in
``endings``.
"""

from collections.abc import Sequence
from dataclasses import replace

from loomwise.advice.effects import burnt_remarks, unsettled_fuse
from loomwise.advice.expert import Expert
from loomwise.advice.proposal import Verdict
from loomwise.diagnosis.ranking import Ranking
from loomwise.diagnosis.robust import weakest
from loomwise.evidence import Evidence

PROVEN, ROBUST = 0.99, 0.9
UNEXPLAINED = 0.5
NOT_EXPLAINED_WHY = (
    "nothing in this circuit explains what was seen and read",
    "check that the drawing is this vehicle's, take the oddest reading again, and ask what was"
    " fitted or repaired before",
)
AS_DESIGNED_WHY = (
    "all that was seen and read is what the circuit does with nothing wrong",
    "look at what is outside the circuit (mechanics, coding, how it is used), or for a fault that"
    " comes and goes",
)


def decide(expert: Expert, evidence: Sequence[Evidence], ranking: Ranking) -> Verdict:
    """The verdict on this evidence, apart from whether more tests would pay."""
    unit, share = ranking.leader
    others = ranking.not_explained + ranking.nothing_wrong
    if others > max(share, UNEXPLAINED):
        if ranking.not_explained > ranking.nothing_wrong:
            return Verdict("not explained", "", others, others, "", NOT_EXPLAINED_WHY)
        return Verdict("as designed", "", others, others, "", AS_DESIGNED_WHY)
    if share < PROVEN:
        why = f"{_title(expert, unit)} is at {100 * share:.1f} %, not yet 99 %"
        return Verdict("open", unit, share, share, "", (why,), (unit,))
    left_over, which = weakest(ranking, unit)
    if left_over < ROBUST:
        left = f"{_title(expert, unit)} is at {100 * left_over:.0f} %"
        why = f"it hangs on {which}: without it {left}"
        return Verdict("open", unit, share, left_over, which, (why,), (unit,))
    found = Verdict("proven", unit, share, left_over, which, (), (unit,))
    return _unless_effect(expert, evidence, ranking, found)


def _unless_effect(
    expert: Expert, evidence: Sequence[Evidence], ranking: Ranking, found: Verdict
) -> Verdict:
    """The proof, unless what is proven is only the effect of something unknown."""
    fuse = unsettled_fuse(expert, evidence, ranking, found.unit, ROBUST)
    if fuse:
        return effect_of(found, fuse)
    return replace(found, remarks=burnt_remarks(expert, evidence, ranking, found.unit))


def effect_of(found: Verdict, fuse: str) -> Verdict:
    """The verdict where a fuse is blown and nobody knows what blew it."""
    why = (
        f"{fuse} is blown, but what blew it is not known",
        "fit a new fuse of the same rating and use the circuit: if it blows again, the short is"
        " behind it",
    )
    return replace(found, kind="open", reasons=why, weakest_reading="", fuse=fuse)


def _title(expert: Expert, unit: str) -> str:
    known = expert.circuit.units.get(unit)
    return known.title if known else unit
