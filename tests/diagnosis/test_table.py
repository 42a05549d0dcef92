"""The table's quick way to rest against the slow one, and what it keeps in memory."""

import numpy as np
import pytest

from loomwise.advice.expert import all_setups, distinct
from loomwise.circuit.reader import read_circuit
from loomwise.diagnosis import kept
from loomwise.diagnosis.brinks import with_brinks
from loomwise.diagnosis.standing import at_rest
from loomwise.diagnosis.table import Table, currents_over
from loomwise.faults import enumerate_faults
from loomwise.generate import generate_circuit
from loomwise.setups import Setup, parse_setup
from loomwise.shelf import read_shelf
from loomwise.solver.engines import Direct
from loomwise.solver.result import plant_of
from tests.reference.shelf_cases import control_setups, drawn_faults, faults_of

CASES = [(n, s) for n in ("radiator-fans", "horn") for s in control_setups(read_shelf(n))]


def _table(name: str, every: int) -> Table:
    circuit = read_shelf(name)
    return Table(circuit, plant_of(circuit), tuple(faults_of(name)[::every]), ())


@pytest.mark.parametrize(("name", "setup"), CASES, ids=[f"{n}: {s}" for n, s in CASES])
def test_rows_rest_where_the_slow_way_leaves_them(name: str, setup: Setup) -> None:
    """Every third fault: relays, motors and fuses end as when each circuit is solved by itself."""
    table = _table(name, 3)
    rest, rows = table.at(setup), np.arange(len(table))
    near = table.rows_at(setup, rows).starting(table.ready[setup][None, :])
    slow = at_rest(table.plant, near, Direct(), table.start(setup)[None, :])
    alike = rest.chatter == slow.chatter
    assert alike.mean() > 0.995  # a motor on the brink of moving may do either
    assert np.array_equal(rest.state[rows[alike]], slow.state[alike])
    v = slow.solution.at(rows, np.arange(table.net.n + 1))
    assert np.abs(np.asarray(rest.v[rows]) - v)[alike & ~rest.chatter].max() < 1e-3


def test_what_is_not_asked_is_not_solved() -> None:
    """Ask about two rows in a setup and only these are known; ask again and all are."""
    table = _table("horn", 1)
    setup = parse_setup(table.circuit, "horn=pressed")
    table.at(setup, np.array([0, 5]))
    assert np.flatnonzero(table.rests[setup].done).tolist() == [0, 5]
    assert table.at(setup).done.all()


def test_old_setups_make_room(monkeypatch: pytest.MonkeyPatch) -> None:
    """The setup looked at last stays; older ones go when there is no more room, and come back."""
    monkeypatch.setattr(kept, "KEPT_BYTES", 1)
    monkeypatch.setattr("loomwise.diagnosis.table.KEPT_BYTES", 1)
    table = _table("horn", 1)
    setups = [parse_setup(table.circuit, f"horn={s}") for s in ("pressed", "free")]
    first = np.asarray(table.at(setups[0]).v[np.arange(3)])
    table.at(setups[1])
    assert list(table.rests) == [setups[1]]
    assert np.array_equal(first, np.asarray(table.at(setups[0]).v[np.arange(3)]))


def test_a_large_circuit_agrees_with_the_slow_way() -> None:
    """At 150 parts, faults of every mode: volts within 1 mV of each circuit by itself."""
    circuit = read_circuit(generate_circuit(150, 1), "large.yaml")
    plant = plant_of(circuit)
    faults = enumerate_faults(circuit, {b.id: 1.0 for b in plant.net.branches})
    table = Table(circuit, plant, tuple(drawn_faults(faults, 200, 1)), ())
    setup = all_setups(circuit)[-1]
    rest, rows = table.at(setup), np.flatnonzero(~table.at(setup).chatter)
    slow = Direct().solve(table.net, table.rows_at(setup, rows), rest.state[rows])
    assert np.abs(np.asarray(rest.v[rows]) - slow).max() < 1e-3


def test_places_that_chatter_together_do_not_swing_apart() -> None:
    """A body ground so bad that the relays chatter: the battery's minus wanders against the body,
    and between the two ends of the battery's own cable there is still nothing."""
    circuit = read_shelf("horn")
    bad = [f for f in faults_of("horn") if f.id == "G1.stud resistance 23.7 ohm"]
    table = Table(circuit, plant_of(circuit), tuple(bad), ())
    rest, row = table.at(parse_setup(circuit, "horn=pressed")), np.array([1])
    assert rest.chatter.tolist() == [False, True]
    minus, end, body = (table.net.node_index[p] for p in ("BAT.-", "G1.1", "body"))
    swing = rest.half_swing(row, np.array([[minus, body], [minus, end]]))[0]
    assert swing[0] > 1.0
    assert swing[1] < 0.01


def test_early_and_late_relays_blow_the_same_fuses_when_tried_only_where_they_matter() -> None:
    """A relay that is early or late is tried where it is near its brink: nothing more blows when
    it is tried in every setup."""
    circuit = read_shelf("rear-window-heater")
    plant = plant_of(circuit)
    use = distinct(circuit, plant, all_setups(circuit))
    faults = enumerate_faults(circuit, currents_over(circuit, plant, use))
    table = with_brinks(Table(circuit, plant, faults, use))
    assert any(table.effects[len(faults) + 1 :])
    assert table.effects == Table(circuit, plant, table.faults, use).effects


def test_a_fuse_on_the_brink_is_taken_both_ways() -> None:
    """A main beam bulb partly shorted draws about what blows its fuse: on one vehicle the fuse goes
    in use, on the next it holds and both beams burn."""
    circuit = read_shelf("headlamps")
    plant = plant_of(circuit)
    use = distinct(circuit, plant, all_setups(circuit))
    faults = enumerate_faults(circuit, currents_over(circuit, plant, use))
    bulb = tuple(f for f in faults if f.id == "L2 partly shorted")
    table = with_brinks(Table(circuit, plant, bulb, use))
    blown = {f.id: bool(e) for f, e in zip(table.faults, table.effects[1:], strict=True)}
    assert blown == {"L2 partly shorted": True, "L2 partly shorted, F3 blows late": False}
    assert sum(f.weight for f in table.faults) == pytest.approx(bulb[0].weight)
