"""One contract for every part kind: solved soundly, whatever breaks, by either engine."""

import zlib
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from ruamel.yaml import YAML

from loomwise.circuit.kinds.tables import kinds, load_kinds, senses
from loomwise.circuit.schema import PART_MODELS
from loomwise.diagnosis.standing import at_rest
from loomwise.diagnosis.table import Table
from loomwise.faults import enumerate_faults
from loomwise.setups import Setup
from loomwise.solver.engines import Direct, LowRank
from loomwise.solver.operate import Plant, Standstill, operate
from loomwise.solver.result import plant_of, solve_states, start_state
from loomwise.solver.rows import Rows, prepared
from loomwise.solver.stamps import STAMPS
from tests.contract.examples import CASES, example
from tests.reference.shelf_cases import control_setups, drawn_faults
from tests.reference.spice import solve_by_ngspice
from tests.solver.check_laws import assert_laws

WITHIN_V = 1e-3
DRAWN = 30


def _some_setups() -> Iterator[tuple[str, Setup]]:
    """Of every example each setup, or where there are many the first and the last."""
    for name in CASES:
        setups = control_setups(example(name))
        yield from ((name, s) for s in (setups if len(setups) <= 4 else setups[:: len(setups) - 1]))


SETUPS = list(_some_setups())
IDS = [f"{name}: {setup}" for name, setup in SETUPS]


def _at_rest(name: str, controls: dict[str, str], count: int) -> tuple[Plant, Rows, Standstill]:
    """The sound circuit and drawn faults, every mode among them."""
    circuit = example(name)
    plant = plant_of(circuit)
    faults = drawn_faults(enumerate_faults(circuit, {}), count, zlib.crc32(name.encode()))
    start = start_state(plant.net, controls)
    net, rows = prepared(plant.net, start, [(), *(f.edits for f in faults)])
    plant = Plant(net, plant.brains)
    return plant, rows, operate(plant, rows, Direct())


def test_every_kind_has_an_example() -> None:
    """Each kind of the table is written out in a short circuit, and can be solved."""
    shown = {p.kind for name in CASES for p in example(name).parts.values()}
    assert set(kinds()) == set(STAMPS) == shown


@pytest.mark.parametrize("kind", kinds())
def test_the_line_shown_for_a_kind_can_be_read(kind: str) -> None:
    """What `kinds` shows as an example is a part of that kind, whole as it stands."""
    (entry,) = YAML(typ="base").load(kinds()[kind].example).values()
    assert entry["kind"] == kind
    PART_MODELS[kind].model_validate(entry)


def test_whatever_works_can_be_seen_to_work() -> None:
    """Each kind of load has words for what a person sees, hears or feels."""
    assert {k for k, s in senses().items() if s.measure != "click"} == set(load_kinds())


@pytest.mark.parametrize(("name", "setup"), SETUPS, ids=IDS)
def test_sound_circuits_come_to_rest(name: str, setup: Setup) -> None:
    """Nothing chatters in a circuit that is whole, and no fuse blows."""
    point = solve_states(example(name), plant_of(example(name)), dict(setup.controls))[0]
    assert point.chatter == ()
    assert point.fuses == ()


@pytest.mark.parametrize(("name", "setup"), SETUPS, ids=IDS)
def test_both_engines_agree(name: str, setup: Setup) -> None:
    """The quick way is within 1 mV of the direct one, which holds the laws, and the same relays
    pull and trips open by either."""
    plant, rows, at = _at_rest(name, dict(setup.controls), DRAWN)
    direct, quick = (e.solve(plant.net, rows, at.state) for e in (Direct(), LowRank()))
    assert np.abs(quick - direct).max() < WITHIN_V
    assert_laws(plant.net, rows, at.state, direct)
    other = operate(plant, rows, LowRank())
    assert (other.state == at.state).all() and (other.chatter == at.chatter).all()


@pytest.mark.parametrize("name", CASES)
def test_a_table_of_faults_agrees(name: str) -> None:
    """Where the reasoning looks up what a fault does, it finds what solving it alone gives."""
    circuit, setup = example(name), control_setups(example(name))[-1]
    faults = drawn_faults(enumerate_faults(circuit, {}), DRAWN, 5)
    table = Table(circuit, plant_of(circuit), tuple(faults), ())
    rest, rows = table.at(setup), np.arange(len(table))
    near = table.rows_at(setup, rows).starting(table.ready[setup][None, :])
    slow = at_rest(table.plant, near, Direct(), table.start(setup)[None, :])
    steady = ~rest.chatter & ~slow.chatter
    assert np.array_equal(rest.state[rows], slow.state)
    v = slow.solution.at(rows, np.arange(table.net.n + 1))
    assert np.abs(np.asarray(rest.v[rows]) - v)[steady].max() < WITHIN_V


@pytest.mark.ngspice
@pytest.mark.parametrize("name", CASES)
def test_another_program_agrees(name: str, ngspice_path: str, tmp_path: Path) -> None:
    """Device states frozen, ngspice gives the same volts at every place that is not floating."""
    circuit = example(name)
    for setup in (s for n, s in SETUPS if n == name):
        plant, rows, at = _at_rest(name, dict(setup.controls), 6)
        ours = Direct().solve(plant.net, rows, at.state)
        theirs = solve_by_ngspice(ngspice_path, plant.net, rows, at.state, tmp_path)
        places = [plant.net.node_index[p] for p in circuit.places]
        gap = np.abs(ours - theirs)[:, places]
        allowed = np.maximum(WITHIN_V, 1e-4 * np.abs(theirs[:, places]))
        worst = np.unravel_index((gap / allowed).argmax(), gap.shape)
        assert (gap <= allowed).all(), f"{[*circuit.places][worst[1]]}: {gap[worst]} V"
