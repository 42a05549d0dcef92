"""The report of the demo job: the unit repaired on the played vehicle, and the repair proven."""

from loomwise.advice.proof import Check, proof_plan
from loomwise.evidence import Reading
from loomwise.job import Job, Vehicle
from loomwise.report.case import Closing
from loomwise.report.job_report import job_report
from loomwise.study.world import World
from loomwise.usecases.demo import CIRCUIT, COMPLAINT, VEHICLE, Bay
from loomwise.usecases.items import value_text
from loomwise.usecases.paper import Written, write_document
from loomwise.usecases.report import case_of


def write_demo_report(bay: Bay, file: str, paper: str = "A4") -> Written:
    """The report of the job as it was played, as PDF or HTML by the name of the file."""
    circuit = bay.expert.circuit
    job = Job(
        COMPLAINT, Vehicle(VEHICLE), CIRCUIT, circuit, bay.here, tuple(bay.items),
        opened=bay.opened, spent_minutes=bay.minutes,
    )  # fmt: skip
    closing = _repaired(bay, job)
    return write_document(job_report(case_of(job, closing)), file, paper)


def _repaired(bay: Bay, job: Job) -> Closing:
    """The leading unit repaired, and what the vehicle then shows at the checks."""
    ranking = bay.expert.judge.rank(bay.items)
    unit = ranking.leader[0]
    plan = proof_plan(bay.expert, bay.items, ranking, [unit], bay.here, bay.opened)
    world = bay.world.repair(unit, bay.expert.states)
    answers = {check.id: _shown(world, check) for check in plan.checks}
    title = job.circuit.units[unit].title
    return Closing(
        decided=unit, repaired=(unit,), done=f"The {title} was renewed.", answers=answers
    )


def _shown(world: World, check: Check) -> str:
    if check.instrument in ("sign", "scan tool"):
        return world.sign(check.id, check.setup, check.red).seen
    ask = Reading(
        check.id, check.setup, check.instrument, check.red, check.black, method=check.method
    )
    read = world.reading(ask)
    return value_text(read.instrument, read.value, read.word)
