"""One case from complaint to verdict, and how it ended."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from loomwise.advice.costs import SIGN_MIN, setup_minutes, zone
from loomwise.advice.decide import decide
from loomwise.advice.endings import COMEBACK_MIN, Bench, conclude
from loomwise.advice.expert import Expert
from loomwise.advice.next_test import WORTH_BITS, next_tests, proposal, weighed_for
from loomwise.advice.proposal import Proposal, Verdict
from loomwise.diagnosis.ranking import Ranking
from loomwise.evidence import Evidence, Reading
from loomwise.evidence.items import AT_HAND
from loomwise.planning import Finish, TestProblem, half_split, in_order
from loomwise.setups import Setup
from loomwise.solver.result import loads
from loomwise.study.cases import draw_case, with_sign
from loomwise.study.outside import words
from loomwise.study.scenario import PLAIN, Scenario
from loomwise.study.world import World

__all__ = ["Ended", "answer", "draw_case", "left_to_repair", "play", "with_sign"]

MOST_MINUTES = 120.0
MOST_ITEMS = 25
NOTHING = ("not explained", "as designed")


@dataclass(frozen=True)
class Ended:
    """How a case ended.

    ``kind`` is the verdict's, ``unit`` what it says to repair, ``share`` the chance given to
    ``leader``; ``truth`` the units at fault, joined by " + ", nothing where the truth is outside
    the hypotheses, ``near`` those where such a truth is found all the same. ``named`` are the units
    called proven, in turn; ``healed`` whether the complaint was seen to be gone. ``regret`` is what
    repairing ``unit`` costs for nothing. ``missed`` readings hid more than 0.5 V, ``misled`` were
    changed by over 1 V by exchanged labels. ``exchange`` is what the drawing has wrong, ``doubt``
    what of it ended above even.
    """

    circuit: str
    fault: str
    truth: str
    kind: str
    unit: str
    leader: str
    share: float
    minutes: float
    readings: int
    missed: int = 0
    recognised: int = 0
    named: tuple[str, ...] = ()
    healed: bool = False
    regret: float = 0.0
    exchange: str = ""
    misled: int = 0
    doubt: str = ""
    outside: bool = False
    near: tuple[str, ...] = ()

    @property
    def right(self) -> bool:
        """Whether what was named, and the leader at the end, is at fault; of two, both."""
        said, true = {*self.named, self.leader} - {""}, {*self.truth.split(" + ")} - {""}
        return bool(said) and said <= true and (self.healed or said == true)

    @property
    def wrong(self) -> bool:
        """Whether a unit was called proven that is not at fault."""
        return not {*self.named} <= {*self.near, *self.truth.split(" + ")} - {""}


@dataclass
class Visit:
    """A vehicle in the workshop: what was seen and read, where we stand, what was repaired."""

    expert: Expert
    world: World
    scenario: Scenario
    here: Setup
    items: list[Evidence] = field(default_factory=list)
    opened: frozenset[str] = frozenset()
    minutes: float = 0.0
    named: tuple[str, ...] = ()
    healed: bool = False

    def look(self, setup: Setup) -> None:
        """What all loads do."""
        for part in loads(self.expert.circuit):
            self.items.append(self.world.sign(f"S{len(self.items) + 1}", setup, part.id))

    def rank(self) -> Ranking:
        """The suspects, without what has been repaired already."""
        return left_to_repair(self.expert.judge.rank(self.items), self.named)

    def test_on(self) -> tuple[Ranking, Verdict]:
        """Tests until a unit is proven or none tells more."""
        while True:
            ranking = self.rank()
            verdict = decide(self.expert, self.items, ranking)
            if verdict.kind == "proven" or self.at_end:
                return ranking, verdict
            p = chosen(self, ranking, verdict)
            if p is None:
                return ranking, verdict
            self.items.append(answer(self.world, p, len(self.items) + 1))
            self.here, self.minutes = p.setup, self.minutes + p.minutes
            self.opened |= {zone(place) for place in (p.red, p.black) if place}

    @property
    def at_end(self) -> bool:
        """Whether patience is at its end."""
        return self.minutes > MOST_MINUTES or len(self.items) > MOST_ITEMS * (1 + len(self.named))

    def repair(self, unit: str) -> bool:
        """Repair a unit and look at everything again; whether there is something left to find."""
        again = unit in self.named
        self.named = (*self.named, unit)
        if self.scenario.faults == 1 or again:
            return False
        self.world = self.world.repair(unit, self.expert.states)
        sound = self.world.sound()
        self.healed = True
        for setup in self.expert.states:
            self.minutes += setup_minutes(self.expert.circuit, self.here, setup) + SIGN_MIN
            self.here = setup
            self.look(setup)
            self.healed &= words(self.world, setup) == words(sound, setup)
        return not self.healed


def play(
    expert: Expert, world: World, complaint: Setup, name: str = "", scenario: Scenario = PLAIN
) -> Ended:
    """Signs of the complaint first, then tests until a unit is proven or none tells more.

    With several faults a proven unit is repaired and play goes on while a complaint remains. The
    stop for cost (a best bet) is not taken: it is how the case is named where no test is left.
    """
    expert = replace(expert, judge=expert.judge.fresh())
    visit = Visit(expert, replace(world, chance=1.0), scenario, complaint)
    visit.look(complaint)  # the complaint is there when it is shown
    visit.world = world
    while True:
        ranking, verdict = visit.test_on()
        if verdict.kind != "proven" or not visit.repair(verdict.unit):
            break
    if verdict.kind == "open":
        verdict = conclude(expert, visit.items, ranking, Bench(visit.here, visit.opened))
    return _ended(visit, world, ranking, verdict, name or expert.circuit.title)


def _ended(visit: Visit, world: World, ranking: Ranking, verdict: Verdict, name: str) -> Ended:
    bad = {name for name, chance in ranking.bad.items() if chance > 0.5}
    leader, share = ranking.leader if verdict.kind not in NOTHING else ("", 0.0)
    return Ended(
        circuit=name, fault=world.truth.fault.id, truth=world.truth.fault.unit,
        kind=verdict.kind, unit=verdict.unit, leader=leader, share=min(share, 1.0),
        minutes=visit.minutes, readings=sum(isinstance(e, Reading) for e in visit.items),
        missed=len(world.slips), recognised=len(bad & {*world.slips}),
        named=visit.named, healed=visit.healed,
        regret=regret(visit.expert, verdict, world), exchange=world.truth.exchange,
        misled=len(world.misled),
        doubt=next((d for d, chance in ranking.doubted.items() if chance > 0.5), ""),
        outside=world.truth.outside, near=tuple(sorted(world.truth.near)),
    )  # fmt: skip


def regret(expert: Expert, verdict: Verdict, world: World) -> float:
    """What the repair named costs beyond that of the unit at fault: all of it and a comeback where
    it is another, nothing where it is right, proven or none. In the circuit's price units."""
    circuit = expert.circuit
    if verdict.kind == "proven" or not verdict.unit or verdict.unit in world.truth.units:
        return 0.0
    unit = circuit.units[verdict.unit]
    minutes = 2.0 * unit.minutes + COMEBACK_MIN
    return unit.price + minutes * circuit.labour_per_hour / 60.0


def chosen(visit: Visit, ranking: Ranking, verdict: Verdict) -> Proposal | None:
    """The next test: as advised, or by a rival's rule among the same tests at the same cost."""
    expert, items = visit.expert, visit.items
    if visit.scenario.policy == "advised":
        found = next_tests(
            expert, items, visit.here, visit.opened, 1, ranking=ranking, verdict=verdict
        )
        return found[0] if found else None
    w = weighed_for(expert, items, ranking, visit.here, visit.opened, AT_HAND, verdict)
    if not w.tests:
        return None
    problem = TestProblem(w.group.weights, w.chances, w.minutes, w.group.repair)
    policy = half_split if visit.scenario.policy == "half-split" else in_order
    test = policy(problem, Finish(stop_at=1.0, least_gain_bits=WORTH_BITS))
    return None if test is None else proposal(expert, w, test, visit.here, items)


def left_to_repair(ranking: Ranking, repaired: Sequence[str]) -> Ranking:
    """The ranking by what is still to be repaired: of several faults those not yet mended. One that
    stands alone stays, as a new part may be bad."""
    if not repaired:
        return ranking
    suspects = []
    for s in ranking.suspects:
        left = [u for u in s.unit.split(" + ") if u not in repaired]
        suspects.append(replace(s, unit=" + ".join(left)) if left else s)
    sums: dict[str, float] = {}
    for s in suspects:
        for unit in s.unit.split(" + "):
            if unit in ranking.units:
                sums[unit] = sums.get(unit, 0.0) + s.share
    units = dict(sorted(sums.items(), key=lambda us: (-us[1], us[0])))
    return replace(ranking, suspects=tuple(suspects), units=units)


def answer(world: World, p: Proposal, number: int) -> Evidence:
    """The vehicle's answer to a proposed test."""
    if p.instrument in ("sign", "scan tool"):
        return world.sign(f"S{number}", p.setup, p.red)
    ask = Reading(f"R{number}", p.setup, p.instrument, p.red, p.black, method=p.method)
    return world.reading(ask)
