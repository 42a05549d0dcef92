"""All single faults of a circuit, with weights that sum to one.

A class of faults ("contact resistive") keeps its share of what jobs turn out to be; the share is
divided among the places of this circuit where it can happen, wires by their length.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from loomwise.circuit.model import Circuit
from loomwise.faults.causes import cause_faults
from loomwise.faults.conductors import conductor_faults
from loomwise.faults.draft import Draft
from loomwise.faults.fault import Fault
from loomwise.faults.parts import part_faults
from loomwise.faults.tables import class_percents


def enumerate_faults(
    circuit: Circuit, currents_a: Mapping[str, float], percents: Mapping[str, float] | None = None
) -> tuple[Fault, ...]:
    """Every single fault of the circuit.

    Parameters
    ----------
    currents_a : largest current [A] of each branch over the healthy circuit's setups; it scales
        the grids of series resistance.
    percents : what each class of faults has of all jobs [%], as learned from finished ones, every
        class named; None for the table's own. The modes of a class keep their proportions.
    """
    drafts = [
        *conductor_faults(circuit, currents_a),
        *part_faults(circuit, currents_a),
        *cause_faults(circuit),
    ]
    total: dict[str, float] = defaultdict(float)
    for d in drafts:
        total[f"{d.mode.applies}/{d.mode.mode}"] += d.size
    table = class_percents()
    scale = {name: (percents or table)[name] / percent for name, percent in table.items()}
    return _normalised(
        f
        for d in drafts
        for f in _faults(d, total[f"{d.mode.applies}/{d.mode.mode}"] / scale[d.mode.share_class])
    )


def _faults(draft: Draft, size_of_all: float) -> Iterator[Fault]:
    share = draft.mode.percent * draft.size / size_of_all / len(draft.variants)
    group = f"{draft.where} {draft.mode.mode}"
    for edits, spread, word in draft.variants:
        yield Fault(
            id=f"{group} {word}".strip(),
            group=group,
            mode=draft.mode.mode,
            where=draft.where,
            unit=draft.unit,
            title=f"{draft.title}: {draft.mode.title}",
            edits=edits,
            weight=share,
            spread=spread,
            looks=draft.mode.looks,
            share_class=draft.mode.share_class,
        )


def _normalised(faults: Iterable[Fault]) -> tuple[Fault, ...]:
    found = tuple(faults)
    total = sum(f.weight for f in found)
    return tuple(replace(f, weight=f.weight / total) for f in found)
