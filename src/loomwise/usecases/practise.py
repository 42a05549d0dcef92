"""Practice: find a hidden fault by asking; what is asked, answered and decided stays in the store.

A practice is a job whose readings the vehicle gives itself. The store keeps the seed of the
vehicle and not its fault, so that nothing gives it away.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from secrets import randbelow
from typing import Any

from loomwise.advice.evidence_words import describe
from loomwise.advice.say import title_of
from loomwise.circuit.model import Circuit
from loomwise.errors import InputError, NotFoundError
from loomwise.evidence import Evidence
from loomwise.job import Job
from loomwise.job.log import Folded, fold
from loomwise.practice.debrief import debrief
from loomwise.practice.difficulty import DIFFICULTIES, draw_vehicle, vehicle_of
from loomwise.practice.path import Path, Step, advised_path, opened_by, take, test_of, times_asked
from loomwise.practice.vehicle import Vehicle, misleads
from loomwise.setups import Setup
from loomwise.store import Store
from loomwise.store.store import new_entry
from loomwise.usecases.experts import expert_unlearned
from loomwise.usecases.files import find_circuit
from loomwise.usecases.items import fields_of, standing_of
from loomwise.usecases.practice_words import Asked, asked_of
from loomwise.usecases.shape import plain
from loomwise.usecases.stored import choose_circuit, job_of, stand

SEEDS = 1_000_000
NOBODY = "trainee"
MOST_DRAWN = 8
_DRAWN: dict[tuple[str, str, int, int], Vehicle] = {}
"""Vehicles that are being practised on, drawn while the program runs."""


@dataclass(frozen=True)
class StepShown:
    """A test that was made, and what it showed."""

    id: str
    title: str
    setup: str
    answer: str
    minutes: float


@dataclass(frozen=True)
class Practice:
    """A practice as it stands. ``debrief`` is there once it is decided; ``units`` are those one
    may decide on."""

    number: int
    person: str
    circuit: str
    difficulty: str
    seed: int
    complaint: tuple[str, ...]
    here: str
    put_back: tuple[str, ...]
    steps: tuple[StepShown, ...]
    minutes: float
    units: Mapping[str, str]
    decided: str
    debrief: Mapping[str, Any] | None


def start(
    store: Store, circuit: str, difficulty: str = "easy", seed: int | None = None, person: str = ""
) -> Practice:
    """Draw a vehicle with a hidden fault, and show what its owner complains about.

    Raises
    ------
    InputError : no such circuit or difficulty, or no vehicle as hard as that.
    """
    found = find_circuit(circuit)
    seed = randbelow(SEEDS) if seed is None else seed
    drawn = draw_vehicle(expert_unlearned(found), difficulty, seed)
    vehicle = drawn.vehicle
    intake = {"complaint": "to be found out in practice", "vehicle": "practice vehicle"}
    told = {
        "person": person.strip()[:60] or NOBODY, "difficulty": difficulty, "seed": seed,
        "tried": drawn.tried, "check": _check(vehicle), "measured": plain(drawn.measured),
    }  # fmt: skip
    number = store.create([new_entry("intake", intake), new_entry("practice", told)])
    choose_circuit(store, number, circuit, found.text)
    signs = [fields_of(sign) for sign in vehicle.opening()]
    standing = {**standing_of(vehicle.complaint), "complaint": "yes"}
    store.append(number, *(new_entry(kind, fields) for kind, fields in signs),
                 new_entry("standing", standing))  # fmt: skip
    return show(store, number)


def show(store: Store, number: int) -> Practice:
    """A practice as it stands.

    Raises
    ------
    NotFoundError : no practice of that number.
    """
    folded, job = _practice(store, number)
    steps = _steps(folded, job)
    told, decision = folded.practice, folded.decision
    opening = [e for e in job.evidence if e.id not in {s.item.id for s in steps}]
    return Practice(
        number, str(told["person"]), job.circuit.title, str(told["difficulty"]), int(told["seed"]),
        _complaint(opening), str(job.here),
        tuple(str(u) for u in job.here.undone if u.what != "new"),
        tuple(_shown(job.circuit, s) for s in steps), sum(s.minutes for s in steps),
        {u.id: u.title for u in job.circuit.units.values()},
        str(decision.get("unit", "")), decision.get("debrief"),
    )  # fmt: skip


def _complaint(opening: Sequence[Evidence]) -> tuple[str, ...]:
    """What the owner shows, with the setup behind the last."""
    told = [describe(e).partition(" (")[0] for e in opening]
    return (*told, f"with {opening[0].setup}") if opening else ()


def ask(store: Store, number: int, asked: Asked) -> Practice:
    """Set the vehicle up, and make one test if one is asked for.

    Raises
    ------
    InputError : what is asked for cannot be, or the practice is decided already.
    """
    folded, job = _practice(store, number)
    _still_open(folded, number)
    if asked.changes_setup:
        stand(store, number, asked.standing(job))
        folded, job = _practice(store, number)
    if asked.words:
        _test(store, number, folded, job, asked.words)
    return show(store, number)


def _test(store: Store, number: int, folded: Folded, job: Job, words: str) -> None:
    kind, fields = asked_of(job, words)
    name = "asked"
    log = store.log(number)
    entry = new_entry(kind, {**_stands(folded), **fields, "id": name})
    item = next(e for e in job_of(store, number, fold([*log, entry])).evidence if e.id == name)
    steps = _steps(folded, job)
    here, opened = _stood(folded, job, steps)
    vehicle = _vehicle(folded, job.circuit)
    step = take(vehicle, steps, test_of(item, _modules(job.circuit)), here, opened)
    kind, fields = fields_of(step.item)
    body = {**fields, "minutes": step.minutes}
    standing = {**folded.standing, **standing_of(step.test.setup)}
    store.append(number, new_entry(kind, body), new_entry("standing", standing))


def decide(store: Store, number: int, unit: str) -> Practice:
    """Name the unit to repair: the practice ends, and the two paths are compared.

    Raises
    ------
    InputError : no such unit, the practice is decided already, or it was drawn by another version.
    """
    folded, job = _practice(store, number)
    _still_open(folded, number)
    if unit not in job.circuit.units:
        hint = f"there is {', '.join(job.circuit.units)}"
        raise InputError(f"there is no unit '{unit[:40]}'", f"practice {number}", hint)
    vehicle, steps = _vehicle(folded, job.circuit), _steps(folded, job)
    own = Path(steps, unit, "decided")
    missed = tuple(
        s.item.id for k, s in enumerate(steps)
        if misleads(vehicle, s.item, s.test, times_asked(steps[:k], s.test))
    )  # fmt: skip
    found = debrief(vehicle, own, advised_path(vehicle), missed)
    store.append(number, new_entry("decision", {"unit": unit, "debrief": plain(found)}))
    return show(store, number)


def difficulties() -> tuple[str, ...]:
    """The difficulties there are."""
    return DIFFICULTIES


def _practice(store: Store, number: int) -> tuple[Folded, Job]:
    folded = fold(store.log(number))
    if not folded.practice:
        hint = "see the list: loomwise practice list"
        raise NotFoundError(f"{number} is a job and no practice", "practice", hint)
    return folded, job_of(store, number, folded)


def _still_open(folded: Folded, number: int) -> None:
    if folded.decision:
        hint = "start another: loomwise practice start CIRCUIT"
        raise InputError("this practice is decided already", f"practice {number}", hint)


def _check(vehicle: Vehicle) -> str:
    return sha256(vehicle.name.encode()).hexdigest()[:16]


def _vehicle(folded: Folded, circuit: Circuit) -> Vehicle:
    """The vehicle of a practice, drawn again.

    Raises
    ------
    InputError : the program draws another vehicle now.
    """
    told = folded.practice
    key = circuit.digest, str(told["difficulty"]), int(told["seed"]), int(told["tried"])
    if key not in _DRAWN:
        if len(_DRAWN) >= MOST_DRAWN:
            _DRAWN.clear()
        _DRAWN[key] = vehicle_of(expert_unlearned(circuit), *key[1:])
    vehicle = _DRAWN[key]
    if _check(vehicle) != told["check"]:
        hint = "start another; what was asked so far stays readable"
        raise InputError("this vehicle was drawn by another version of Loomwise", "practice", hint)
    return vehicle


def _steps(folded: Folded, job: Job) -> tuple[Step, ...]:
    """The tests made so far. What the owner complained of cost no minutes."""
    items, modules = {e.id: e for e in job.evidence}, _modules(job.circuit)
    return tuple(
        Step(test_of(items[i.id], modules), items[i.id], float(i.body["minutes"]))
        for i in folded.items if i.id in items and "minutes" in i.body
    )  # fmt: skip


def _modules(circuit: Circuit) -> frozenset[str]:
    return frozenset(p.id for p in circuit.parts_of_kind("module"))


def _stands(folded: Folded) -> dict[str, Any]:
    return {k: folded.standing[k] for k in ("setup", "undone", "after") if folded.standing.get(k)}


def _stood(folded: Folded, job: Job, steps: Sequence[Step]) -> tuple[Setup, frozenset[str]]:
    """How the vehicle stood for the last test, and what was laid open on the way."""
    opened = frozenset[str]().union(*(opened_by(s.test) for s in steps))
    first = next(e for e in job.evidence if e.id == folded.items[0].id)
    return (steps[-1].test.setup if steps else first.setup), opened


def _shown(circuit: Circuit, step: Step) -> StepShown:
    answer = describe(step.item).partition(" (")[0]
    return StepShown(step.item.id, title_of(circuit, step.test), str(step.test.setup), answer,
                     step.minutes)  # fmt: skip
