"""One contract for every part kind and every fault mode, on whatever circuit brings them about."""

from functools import cache
from itertools import islice, permutations

import numpy as np
import pytest

from loomwise.circuit.kinds.tables import kinds
from loomwise.circuit.model import Circuit
from loomwise.edits import canonical, key
from loomwise.faults import Fault, enumerate_faults
from loomwise.faults.tables import modes
from loomwise.shelf import read_shelf, shelf_names
from loomwise.solver.engines import Direct
from loomwise.solver.operate import Plant, operate
from loomwise.solver.result import plant_of, start_state
from loomwise.solver.rows import prepared
from tests.contract.examples import CASES, example
from tests.reference.shelf_cases import faults_of

ORDERS = 720
"""All orders of six edits; a plug of more contacts has more than one can try."""


@cache
def circuits() -> dict[str, tuple[Circuit, tuple[Fault, ...]]]:
    """The shelf, and examples of all kinds."""
    found = {name: (read_shelf(name), faults_of(name)) for name in shelf_names()}
    return found | {n: (example(n), enumerate_faults(example(n), {})) for n in CASES}


def test_every_mode_of_the_table_comes_about() -> None:
    """No row of the modes table is dead: some circuit brings each of them about."""
    table = {(m.mode, m.title) for m in modes()}
    made = {
        (f.mode, f.title.rpartition(": ")[2]) for _, faults in circuits().values() for f in faults
    }
    assert table - made == set()


def test_every_kind_of_part_can_fail() -> None:
    """Each part kind of the kinds table has at least one fault of its own."""
    failing: set[str] = set()
    for circuit, faults in circuits().values():
        owners = {f.where.partition(".")[0] for f in faults}
        failing |= {p.kind for p in circuit.parts.values() if p.id in owners}
    assert set(kinds()) <= failing


@pytest.mark.parametrize("name", [*shelf_names(), *CASES])
def test_every_fault_can_be_made_in_the_network(name: str) -> None:
    """All faults apply to the compiled circuit, which stays as it was."""
    circuit, faults = circuits()[name]
    plant = plant_of(circuit)
    before = plant.net.g_on.copy(), plant.net.emf.copy(), repr(circuit)
    start = start_state(plant.net, {c.name: c.rest for c in circuit.controls.values()})
    _, rows = prepared(plant.net, start, [f.edits for f in faults])
    assert len(rows) == len(faults)
    assert np.isfinite(rows.g_on).all()
    assert (rows.g_on != 0.0).any(axis=1).all()
    assert np.array_equal(plant.net.g_on, before[0])
    assert np.array_equal(plant.net.emf, before[1])
    assert repr(circuit) == before[2]


@pytest.mark.parametrize("name", [*shelf_names(), *CASES])
def test_every_fault_changes_something(name: str) -> None:
    """A fault that leaves every value and every device as drawn would be no fault."""
    circuit, faults = circuits()[name]
    plant = plant_of(circuit)
    start = start_state(plant.net, {c.name: c.rest for c in circuit.controls.values()})
    _, rows = prepared(plant.net, start, [(), *(f.edits for f in faults)])
    limits = rows.limits.reshape(len(rows), -1)
    values = np.concatenate([rows.g_on, rows.emf, rows.scale, rows.held, limits], axis=1)
    same = [f.id for f, row in zip(faults, values[1:], strict=True) if (row == values[0]).all()]
    assert same == []


@pytest.mark.parametrize("name", [*shelf_names(), *CASES])
def test_a_fault_has_one_key_whatever_the_order_of_its_edits(name: str) -> None:
    """The same edits written in another order are the same fault."""
    for fault in circuits()[name][1]:
        orders = [*islice(permutations(fault.edits), ORDERS), fault.edits[::-1]]
        assert {key(order) for order in orders} == {key(fault.edits)}
        assert {canonical(order) for order in orders} == {canonical(fault.edits)}


def test_one_fault_of_every_mode_comes_to_rest() -> None:
    """Each mode can be solved: the voltages are finite, in every control at rest."""
    for circuit, faults in circuits().values():
        some = {(f.mode, f.where.partition(".")[0]): f for f in faults}
        plant = plant_of(circuit)
        start = start_state(plant.net, {c.name: c.rest for c in circuit.controls.values()})
        net, rows = prepared(plant.net, start, [f.edits for f in some.values()])
        assert np.isfinite(operate(Plant(net, plant.brains), rows, Direct()).v).all()
