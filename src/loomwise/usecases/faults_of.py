"""The faults of a circuit by name: all of them, and the one a person means."""

from dataclasses import dataclass

from loomwise.advice.expert import all_setups
from loomwise.circuit.explain import nearest
from loomwise.circuit.model import Circuit
from loomwise.diagnosis.table import currents_over
from loomwise.errors import InputError
from loomwise.faults import Fault, enumerate_faults
from loomwise.solver.operate import Plant
from loomwise.solver.result import plant_of

_LISTED = 16


@dataclass(frozen=True)
class FaultShown:
    """A fault: its name, what it is in words, the unit to repair, its share beforehand.

    ``variants`` are the ids of its resistances, where it has several.
    """

    name: str
    title: str
    unit: str
    share: float
    variants: tuple[str, ...]


@dataclass(frozen=True)
class FaultList:
    """Every single fault of one circuit."""

    circuit: str
    faults: tuple[FaultShown, ...]


def faults_of(circuit: Circuit, plant: Plant) -> tuple[Fault, ...]:
    """Every single fault, as the ranking knows them."""
    return enumerate_faults(circuit, currents_over(circuit, plant, all_setups(circuit)))


def list_faults(circuit: Circuit) -> FaultList:
    """Every single fault, its resistances gathered under one name."""
    groups: dict[str, list[Fault]] = {}
    for fault in faults_of(circuit, plant_of(circuit)):
        groups.setdefault(fault.group, []).append(fault)
    return FaultList(
        circuit.title,
        tuple(
            FaultShown(
                group, some[0].title, some[0].unit, sum(f.weight for f in some),
                tuple(f.id for f in some) if len(some) > 1 else (),
            )
            for group, some in groups.items()
        ),
    )  # fmt: skip


def find_fault(faults: tuple[Fault, ...], name: str) -> Fault:
    """The fault of that id, or the only one of that group.

    Raises
    ------
    InputError : there is none, or several differ by their resistance; the hint lists them.
    """
    words = " ".join(name.split())
    found = [f for f in faults if f.id == words] or [f for f in faults if f.group == words]
    if len(found) == 1:
        return found[0]
    if found:
        ids = [f"'{f.id}'" for f in found]
        more = f" and {len(ids) - _LISTED} more" if len(ids) > _LISTED else ""
        hint = f"name one of {', '.join(ids[:_LISTED])}{more}"
        raise InputError(f"'{words}' comes in {len(found)} sizes", "fault", hint)
    hint = nearest(words, dict.fromkeys(f.group for f in faults), "faults")
    near, _, _ = hint.partition("? ")
    hint = f"{near}? `predict --faults` lists them all" if "? " in hint else "see predict --faults"
    raise InputError(f"there is no fault '{words[:60]}' here", "fault", hint)
