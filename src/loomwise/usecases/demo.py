"""A whole job played on an invented vehicle: the advice against a vehicle that answers.

The vehicle's hidden fault, its exchanged labels and its one missed contact are given to the
simulated vehicle alone; the advice sees nothing but the answers.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from loomwise.advice.costs import zone
from loomwise.advice.decide import decide
from loomwise.advice.evidence_words import describe, evidence_for
from loomwise.advice.expert import Expert
from loomwise.advice.next_test import next_tests, unit_title
from loomwise.advice.proposal import Verdict
from loomwise.diagnosis.doubts import exchanges
from loomwise.diagnosis.ranking import Ranking
from loomwise.evidence import Evidence, Reading
from loomwise.setups import Setup, parse_setup
from loomwise.solver.operate import Plant
from loomwise.study.play import answer
from loomwise.study.world import Truth, World, drawn_network
from loomwise.usecases.experts import expert_for
from loomwise.usecases.files import find_circuit
from loomwise.usecases.rank import proposed, said

CIRCUIT = "radiator-fans"
VEHICLE = "Norvik T4, 2.5 t van"
COMPLAINT = (
    "With the air conditioning on the fans stay still; when the engine gets really hot they both "
    "run."
)
FAULT = "K2 break contact open"
EXCHANGED = "C1.2/C1.3"
SLOW, FAST = "key=run, AC=on", "key=run, coolant=hot"
HER_OWN = ("C1.2.a", "C1.3.a")
MISSES = 3
"""Which voltmeter reading of a live place her probe misses."""
SEED = 4
MOST_STEPS = 14
OTHERS = 3


@dataclass
class Bay:
    """The vehicle in the bay, what has been seen and read, and how it stands."""

    expert: Expert
    world: World
    items: list[Evidence]
    here: Setup
    opened: frozenset[str] = frozenset()
    minutes: float = 0.0
    live: int = 0
    missed: str = ""
    were: dict[str, float] = field(default_factory=dict)

    def take(self, item: Evidence) -> Evidence:
        """Enter an answer; the third reading of a live place is a missed contact."""
        if isinstance(item, Reading) and item.value is not None and item.value > 5.0:
            self.live += 1
            if self.live == MISSES:
                item, self.missed = replace(item, value=0.0), item.id
        self.items.append(item)
        return item


def play_demo(bay: Bay | None = None) -> Iterator[dict[str, Any]]:
    """The job, step by step, as data: intake, own readings, tests, verdict."""
    bay = bay or make_bay()
    circuit = bay.expert.circuit
    slow, fast = parse_setup(circuit, SLOW), parse_setup(circuit, FAST)
    for k, (setup, load) in enumerate([(s, m) for s in (slow, fast) for m in ("M1", "M2")], 1):
        bay.take(bay.world.sign(f"S{k}", setup, load))
    ranking = bay.expert.judge.rank(bay.items)
    yield {
        "step": "intake", "vehicle": VEHICLE, "complaint": COMPLAINT, "circuit": circuit.title,
        "items": [describe(e) for e in bay.items], "suspects": _suspects(bay, ranking),
    }  # fmt: skip
    for place in HER_OWN:
        yield _own_reading(bay, slow, place)
    for _ in range(MOST_STEPS):
        ranking = bay.expert.judge.rank(bay.items)
        verdict = decide(bay.expert, bay.items, ranking)
        if verdict.kind == "proven":
            break
        step = _advised(bay, ranking, verdict)
        if step is None:
            break
        yield step
    yield _end(bay)


def make_bay() -> Bay:
    """The vehicle as it comes in, its fault hidden."""
    circuit = find_circuit(CIRCUIT)
    expert = expert_for(circuit)
    fault = next(f for f in expert.table.faults if f.group == FAULT)
    exchange = next(e for e in exchanges(circuit) if e.id == EXCHANGED)
    draw = np.random.default_rng(SEED)
    plant = Plant(drawn_network(expert.plant.net, draw, 0.1), expert.plant.brains)
    world = World(circuit, plant, Truth(fault, fault.edits, exchange.real), draw, missed=0.0)
    world.use(expert.states)
    return Bay(expert, world, [], parse_setup(circuit, SLOW))


def _own_reading(bay: Bay, setup: Setup, place: str) -> dict[str, Any]:
    """A reading she takes of her own accord; her order is as welcome as ours."""
    minus = next(f"{p.id}.-" for p in bay.expert.circuit.parts_of_kind("battery"))
    ask = Reading(f"R{len(bay.items) + 1}", setup, "voltmeter", place, minus)
    item = bay.take(bay.world.reading(ask))
    bay.minutes += bay.expert.circuit.places[place].minutes
    bay.opened |= {zone(place)}
    ranking = bay.expert.judge.rank(bay.items)
    return {"step": "own", "item": item.id, "read": describe(item), **_state(bay, ranking)}


def _advised(bay: Bay, ranking: Ranking, verdict: Verdict) -> dict[str, Any] | None:
    proposals = next_tests(
        bay.expert, bay.items, bay.here, bay.opened, 1, ranking=ranking, verdict=verdict
    )
    if not proposals:
        return None
    p = proposals[0]
    item = bay.take(answer(bay.world, p, len(bay.items) + 1))
    bay.here, bay.minutes = p.setup, bay.minutes + p.minutes
    bay.opened |= {zone(place) for place in (p.red, p.black) if place}
    after = bay.expert.judge.rank(bay.items)
    return {
        "step": "test", "verdict": said(bay.expert, verdict), "proposal": proposed(p),
        "item": item.id, "read": describe(item), **_state(bay, after),
    }  # fmt: skip


def _state(bay: Bay, ranking: Ranking) -> dict[str, Any]:
    return {
        "suspects": _suspects(bay, ranking),
        "not_explained": ranking.not_explained,
        "doubts": _doubts(bay, ranking),
        "minutes": bay.minutes,
    }


def _suspects(bay: Bay, ranking: Ranking) -> list[dict[str, Any]]:
    for unit, share in ranking.units.items():
        bay.were[unit] = max(share, bay.were.get(unit, 0.0))
    return [
        {"unit": u, "title": unit_title(bay.expert, u), "share": s}
        for u, s in list(ranking.units.items())[: OTHERS + 1]
    ]


def _doubts(bay: Bay, ranking: Ranking) -> list[dict[str, Any]]:
    title = bay.expert.judge.doubt_title
    drawing = [
        {"title": f"drawing: {title(name)}", "share": share}
        for name, share in ranking.doubted.items()
        if share > 0.2
    ]
    readings = [
        {"title": f"{name} did not touch or was taken elsewhere", "share": share}
        for name, share in ranking.bad.items()
        if share > 0.2
    ]
    return drawing + readings


def _end(bay: Bay) -> dict[str, Any]:
    ranking = bay.expert.judge.rank(bay.items)
    verdict = decide(bay.expert, bay.items, ranking)
    unit = bay.expert.circuit.units.get(verdict.unit)
    were = sorted(bay.were.items(), key=lambda us: (-us[1], us[0]))
    others = [u for u, share in were if u != verdict.unit and share > 0.02][:OTHERS]
    return {
        "step": "end", "verdict": said(bay.expert, verdict), **_state(bay, ranking),
        "title": unit_title(bay.expert, verdict.unit) if verdict.unit else "",
        "fault": _likeliest(ranking, verdict.unit),
        "price": unit.price if unit else 0.0, "labour_minutes": unit.minutes if unit else 0.0,
        "why": _lines(bay, ranking, verdict.unit, True),
        "why_not": {unit_title(bay.expert, u): _lines(bay, ranking, u, False) for u in others},
        "cautions": list(bay.expert.circuit.cautions),
        "truth": {"fault": bay.world.truth.fault.title, "missed": bay.missed,
                  "exchanged": EXCHANGED},
    }  # fmt: skip


def _likeliest(ranking: Ranking, unit: str) -> str:
    return next((s.fault.title for s in ranking.suspects if s.fault and s.unit == unit), "")


def _lines(bay: Bay, ranking: Ranking, unit: str, for_it: bool) -> list[dict[str, Any]]:
    lines = evidence_for(bay.expert, bay.items, ranking, unit)
    chosen = [x for x in lines if (x.bits > 0) == for_it][:3]
    return [{"id": x.item_id, "text": x.text, "bits": x.bits} for x in chosen]
