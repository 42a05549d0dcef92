"""All that a job report is made from."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from loomwise.advice.expert import Expert
from loomwise.advice.proof import Proof, ProofPlan
from loomwise.advice.proposal import Verdict
from loomwise.diagnosis.ranking import Ranking
from loomwise.evidence import Evidence
from loomwise.faults import Fault
from loomwise.job import Job
from loomwise.report.document import Photo, Picture
from loomwise.report.repair import Repair
from loomwise.report.shop import NO_SHOP, Shop


@dataclass(frozen=True)
class Closing:
    """How the job went on after the decision, as far as anybody has said.

    ``decided`` is the unit decided on and ``words`` why; ``repaired`` are units in the order they
    were repaired, ``done`` what was done in words; ``answers`` what the checks of the proof showed
    by their names, ``proof`` by what they do;
    ``ending`` how the job was closed and why. ``notes`` are remarks, ``dates`` names with days,
    ``road`` the marks of road tests: when, how long after setting off, what, and what held then.
    """

    decided: str = ""
    words: str = ""
    repaired: tuple[str, ...] = ()
    done: str = ""
    answers: Mapping[str, str] = field(default_factory=dict)
    proof: Mapping[str, str] = field(default_factory=dict)
    ending: str = ""
    notes: tuple[str, ...] = ()
    dates: tuple[tuple[str, str], ...] = ()
    road: tuple[tuple[str, str, str, str], ...] = ()


@dataclass(frozen=True)
class Diagnosis:
    """What is known of the cause: on ``evidence`` (what was taken before the last repair), from
    what the loads do alone (``start``), and with all of it (``ranking``, ``verdict``).

    ``unit`` is the cause: the unit repaired last, decided on, or best by the verdict; ``faults``
    are the likeliest ones in it.
    """

    evidence: tuple[Evidence, ...]
    start: Ranking
    ranking: Ranking
    verdict: Verdict
    verdict_text: str
    unit: str
    faults: tuple[Fault, ...]


@dataclass(frozen=True)
class Proven:
    """The checks after the repair, with what they showed and the judgement, if there is one."""

    plan: ProofPlan
    shown: Mapping[str, str]
    judged: Proof | None


@dataclass(frozen=True)
class Wanted:
    """What to put in beside what there always is."""

    prices: bool = False
    sign: bool = False
    grey: bool = False


@dataclass(frozen=True)
class Case:
    """One job with all that was found, done and proven. ``number`` is that of a stored job."""

    job: Job
    expert: Expert
    diagnosis: Diagnosis
    closing: Closing = field(default_factory=Closing)
    repair: Repair | None = None
    proven: Proven | None = None
    drawings: tuple[Picture, ...] = ()
    photos: tuple[Photo, ...] = ()
    shop: Shop = NO_SHOP
    wanted: Wanted = field(default_factory=Wanted)
    number: str = ""
