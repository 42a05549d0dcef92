"""Circuits made ready, kept while the program runs."""

from dataclasses import replace

from loomwise.advice.expert import Expert, make_expert
from loomwise.circuit.model import Circuit
from loomwise.diagnosis.judge import Judge
from loomwise.job import Job
from loomwise.usecases.drawings import declared

_READY: dict[str, Expert] = {}


def expert_for(circuit: Circuit) -> Expert:
    """The expert on a circuit; made when first asked for."""
    if circuit.digest not in _READY:
        _READY[circuit.digest] = make_expert(circuit)
    return _READY[circuit.digest]


def expert_on(job: Job) -> Expert:
    """The expert on a job's circuit, who knows of the other drawing if there is one."""
    expert, doubts = expert_for(job.circuit), declared(job)
    if not doubts:
        return expert
    return replace(expert, judge=Judge.of(expert.table, doubts), cache={})
