"""Circuits made ready, kept while the program runs."""

from dataclasses import replace

from loomwise.advice.expert import NOTHING_ADDED, Expert, make_expert
from loomwise.circuit.model import Circuit
from loomwise.diagnosis.judge import Judge
from loomwise.faults import Added, added_work
from loomwise.faults.tables import class_percents
from loomwise.job import Job
from loomwise.usecases.drawings import declared
from loomwise.usecases.learned import read_learned
from loomwise.weights import Learned

_READY: dict[tuple[str, tuple[tuple[str, str], ...], Added], Expert] = {}


def expert_for(circuit: Circuit) -> Expert:
    """The expert on a circuit, with the weights as the shop's finished jobs have moved them; made
    when first asked for."""
    return _expert(circuit, read_learned())


def expert_unlearned(circuit: Circuit) -> Expert:
    """The same with the table's own weights: what is measured must not depend on the shop."""
    return _expert(circuit, Learned())


def _expert(circuit: Circuit, learned: Learned, added: Added = NOTHING_ADDED) -> Expert:
    key = circuit.digest, tuple(learned.jobs.items()), added
    if key not in _READY:
        percents = learned.percents(class_percents()) if learned.jobs else None
        _READY[key] = make_expert(circuit, percents, added)
    return _READY[key]


def expert_on(job: Job) -> Expert:
    """The expert on a job's circuit, who knows of the other drawing if there is one, and of what
    was declared as added to the wiring."""
    added = added_work(job.circuit, job.added)
    expert, doubts = _expert(job.circuit, read_learned(), added), declared(job)
    if not doubts:
        return expert
    return replace(expert, judge=Judge.of(expert.table, doubts), cache={})
