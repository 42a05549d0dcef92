"""The job as the rest of Loomwise sees it."""

from dataclasses import dataclass

from loomwise.circuit.model import Circuit
from loomwise.evidence import Evidence
from loomwise.evidence.items import AT_HAND
from loomwise.setups import Setup


@dataclass(frozen=True)
class Vehicle:
    """What stands in the bay. ``mileage_km`` is None where nobody wrote it down."""

    name: str
    mileage_km: float | None = None
    vin: str = ""


@dataclass(frozen=True)
class Ending:
    """How a job ended: the verdict, the units repaired, and what was found."""

    verdict: str
    units: tuple[str, ...] = ()
    found: str = ""


@dataclass(frozen=True)
class Job:
    """One complaint on one vehicle. ``here`` is how the vehicle stands now.

    ``evidence`` is in order of entry, which never matters; ``withdrawn`` are ids with the reason.
    ``opened`` names parts and connectors that are laid open, ``cannot`` what cannot or will not be
    used. ``earlier`` and ``added`` are work done before. ``other_drawing`` and ``differs`` (in
    lines) say what another drawing has otherwise. ``ending`` is None until the job is over.
    """

    complaint: str
    vehicle: Vehicle
    circuit_name: str
    circuit: Circuit
    here: Setup
    evidence: tuple[Evidence, ...]
    withdrawn: tuple[tuple[str, str], ...] = ()
    instruments: tuple[str, ...] = AT_HAND
    opened: frozenset[str] = frozenset()
    cannot: frozenset[str] = frozenset()
    authorised_minutes: float | None = None
    spent_minutes: float = 0.0
    other_drawing: Circuit | None = None
    differs: tuple[str, ...] = ()
    earlier: str = ""
    added: str = ""
    ending: Ending | None = None
