"""Circuits made ready, kept while the program runs."""

from collections import OrderedDict
from dataclasses import replace

from loomwise.advice.about import about
from loomwise.advice.expert import NOTHING_ADDED, Expert, make_expert
from loomwise.circuit.model import Circuit
from loomwise.diagnosis.judge import Judge
from loomwise.errors import EvidenceError
from loomwise.faults import Added, added_work
from loomwise.faults.tables import class_percents
from loomwise.job import Job
from loomwise.usecases.drawings import declared
from loomwise.usecases.learned import read_learned
from loomwise.ways import Concern
from loomwise.weights import Learned

LARGE_KEPT = 6
"""Parts of large circuits that are kept ready; the longest unused go first. [-]"""
Key = tuple[str, tuple[tuple[str, str], ...], Added, Concern | None]
_READY: OrderedDict[Key, Expert] = OrderedDict()


def expert_for(circuit: Circuit) -> Expert:
    """The expert on a circuit, with the weights as the shop's finished jobs have moved them; made
    when first asked for."""
    return _expert(circuit, read_learned())


def expert_unlearned(circuit: Circuit) -> Expert:
    """The same with the table's own weights: what is measured must not depend on the shop."""
    return _expert(circuit, Learned())


def _expert(
    circuit: Circuit, learned: Learned, added: Added = NOTHING_ADDED,
    concerned: Concern | None = None,
) -> Expert:  # fmt: skip
    key = circuit.digest, tuple(learned.jobs.items()), added, concerned
    if key not in _READY:
        percents = learned.percents(class_percents()) if learned.jobs else None
        _READY[key] = make_expert(circuit, percents, added, concerned)
    _READY.move_to_end(key)
    large = [k for k in _READY if k[-1] is not None]
    for old in large[:-LARGE_KEPT]:
        del _READY[old]
    return _READY[key]


def expert_on(job: Job) -> Expert:
    """The expert on a job's circuit, on what the evidence concerns if the circuit is large; who
    knows of the other drawing if there is one, and of what was declared as added to the wiring.

    Raises
    ------
    EvidenceError : nothing has been seen yet, and the circuit is large.
    """
    added = added_work(job.circuit, job.added)
    concerned = about(job.circuit, job.evidence)
    if concerned is not None and not job.evidence:
        raise _nothing_seen(len(job.circuit.parts))
    expert, doubts = _expert(job.circuit, read_learned(), added, concerned), declared(job)
    if not doubts:
        return expert
    every = (*expert.judge.redrawn.table.faults, *doubts)
    return replace(expert, judge=Judge.of(expert.table, every), cache={})


def _nothing_seen(parts: int) -> EvidenceError:
    hint = (
        "enter first what a load does, such as a lamp that stays dark and the setup it does so in"
    )
    what = f"of {parts} parts only those are reasoned about that concern what was seen: nothing yet"
    return EvidenceError(what, "signs", hint)
