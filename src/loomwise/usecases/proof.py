"""The proof after a repair: its checks, and whether the answers to them prove it."""

from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from typing import Any

from loomwise.advice.expert import Expert
from loomwise.advice.next_test import unit_title
from loomwise.advice.proof import Caught, Check, judge_proof, proof_plan
from loomwise.circuit.model import Circuit
from loomwise.errors import InputError
from loomwise.evidence.items import UNITS
from loomwise.units import parse_quantity
from loomwise.usecases.experts import expert_for
from loomwise.usecases.files import find_job
from loomwise.usecases.rank import header


def proof_of_job(name: str, repaired: Sequence[str], shown: Sequence[str] = ()) -> dict[str, Any]:
    """The plan after the repair of some units; with ``shown`` ("P1=slow") also the judgement.

    What the job holds from after a repair does not count. JSON-ready.

    Raises
    ------
    InputError : no such unit, an answer to no check, or one that cannot be read.
    """
    job = find_job(name)
    for unit in repaired:
        check_unit(job.circuit, unit)
    expert = expert_for(job.circuit)
    evidence = [e for e in job.evidence if not e.repaired]
    ranking = expert.judge.rank(evidence)
    plan = proof_plan(expert, evidence, ranking, repaired, job.here, job.opened, job.instruments)
    found = judge_proof(plan.checks, answers_to(plan.checks, shown)) if shown else None
    return {
        "format": 1, **header(job),
        "repaired": [{"unit": u, "title": unit_title(expert, u)} for u in repaired],
        "minutes": plan.minutes,
        "checks": [plain_check(expert, c) for c in plan.checks],
        "uncovered": [_caught(expert, c) for c in plan.uncovered],
        "proof": found and {"passed": found.passed, "reasons": list(found.reasons)},
    }  # fmt: skip


def check_unit(circuit: Circuit, unit: str) -> None:
    """Refuse a unit that the circuit does not have.

    Raises
    ------
    InputError : there is none of that name.
    """
    if unit not in circuit.units:
        near = get_close_matches(unit, circuit.units, 1)
        hint = f"did you mean '{near[0]}'?" if near else f"there is {', '.join(circuit.units)}"
        raise InputError(f"there is no unit '{unit[:40]}'", "--repaired", hint)


def answers_to(checks: Sequence[Check], shown: Sequence[str]) -> Mapping[str, float | str]:
    """The answers by check, numbers in V, A or ohm."""
    known, found = {c.id: c for c in checks}, dict[str, float | str]()
    for text in shown:
        name, equals, value = (piece.strip() for piece in text.partition("="))
        if not equals or not value:
            hint = "write P1=slow or P2=12.4 V"
            raise InputError(f"'{text[:40]}' is no answer", "--answer", hint)
        check = known.get(name)
        unit = UNITS.get(check.instrument, "") if check else ""
        found[name] = parse_quantity(value, unit) if unit else value
    return found


def key_of(check: Check) -> str:
    """A check by what is done: its name may change with the evidence."""
    return f"{check.setup}|{check.instrument}|{check.red}|{check.black}"


def kept_answers(checks: Sequence[Check], kept: Mapping[str, str]) -> dict[str, str]:
    """What checks showed, by their names, from what was kept by what they do."""
    return {c.id: kept[key_of(c)] for c in checks if key_of(c) in kept}


def plain_check(expert: Expert, c: Check) -> dict[str, Any]:
    """A check as data."""
    return {
        "id": c.id, "title": c.title, "setup": str(c.setup), "changes": list(c.changes),
        "instrument": c.instrument, "red": c.red, "black": c.black, "method": c.method,
        "expected": c.expected, "words": list(c.words),
        "word": c.band.word or None,
        "low": None if c.band.word else c.band.low,
        "high": None if c.band.word else c.band.high,
        "minutes": c.minutes,
        "catches": [_caught(expert, x) for x in c.catches],
        "cautions": list(c.cautions),
    }  # fmt: skip


def _caught(expert: Expert, c: Caught) -> dict[str, Any]:
    unit = unit_title(expert, c.unit)
    return {"unit": c.unit, "title": unit, "fault": c.title, "share": c.share}
