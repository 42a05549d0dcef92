import pytest

from loomwise.circuit.model import Circuit
from loomwise.errors import InputError
from loomwise.shelf import is_shelf_job, read_shelf, shelf_jobs, shelf_names, shelf_text


def test_what_is_at_hand() -> None:
    """At least fourteen circuits ship with the program, in the order of the alphabet."""
    assert set(shelf_names()) >= {"headlamps", "horn", "radiator-fans"}
    assert len(shelf_names()) >= 14
    assert list(shelf_names()) == sorted(shelf_names())


@pytest.mark.parametrize("name", shelf_names())
def test_every_circuit_is_ready_for_work(name: str) -> None:
    """A circuit at hand says where it is from, how it works and what to beware of."""
    circuit = read_shelf(name)
    assert circuit.sources and circuit.note and circuit.cautions
    assert circuit.supply_v in (12, 24) and circuit.labour_per_hour > 0
    assert circuit.text == shelf_text(name)


def test_a_circuit_is_read_once() -> None:
    """Asking again costs nothing."""
    assert read_shelf("horn") is read_shelf("horn")


@pytest.mark.parametrize("name", ["hron", "../horn", "horn.yaml", ""])
def test_an_unknown_name(name: str) -> None:
    """A name that is not on the shelf is told together with those that are."""
    with pytest.raises(InputError, match=r"the shelf has .*headlamps, horn"):
        read_shelf(name)


def test_a_misspelt_name_finds_the_nearest() -> None:
    """One letter off is answered with the right one."""
    with pytest.raises(InputError, match="did you mean 'radiator-fans'"):
        read_shelf("radiator-fan")


def _ways(circuit: Circuit, start: str) -> set[str]:
    """Places joined to ``start`` by wires, contacts, splices and grounds, devices left out."""
    joints = [{s.a, s.b} for s in circuit.segments.values()]
    joints += [
        {f"{p.id}.{pin}" for pin in p.pins} for p in circuit.parts_of_kind("splice", "ground")
    ]
    reached, before = {start}, set[str]()
    while reached != before:
        before = set(reached)
        for joint in joints:
            if joint & reached:
                reached |= joint
    return reached


def test_all_four_headlamps_hang_on_one_ground() -> None:
    """When that ground goes bad, both sides suffer."""
    circuit = read_shelf("headlamps")
    assert len(circuit.parts_of_kind("lamp")) == 4
    for lamp in circuit.parts_of_kind("lamp"):
        grounds = {p for p in _ways(circuit, f"{lamp.id}.2") if p.startswith("G")}
        assert grounds == {"G2.1"}
    watts = sorted(p.values["power_w"] for p in circuit.parts_of_kind("lamp"))
    assert watts == [55, 55, 60, 60]


def test_every_headlamp_has_a_fuse_of_its_own() -> None:
    """One blown fuse darkens one lamp."""
    circuit = read_shelf("headlamps")
    fuses = [
        {p for p in _ways(circuit, f"{lamp.id}.1") if p.startswith("F")}
        for lamp in circuit.parts_of_kind("lamp")
    ]
    assert all(len(found) == 1 for found in fuses) and len(set.union(*fuses)) == 4


def test_the_horn_relay_is_switched_to_ground() -> None:
    """The coil is always fed; the wheel grounds it through the clock spring."""
    circuit = read_shelf("horn")
    feed = _ways(circuit, "F4.2")
    assert {"K1.86", "K1.30"} <= feed
    low_side = _ways(circuit, "K1.85")
    assert {"C4.1.a", "C5.1.b", "S1.1"} <= low_side
    assert "G3.1" in _ways(circuit, "S1.2") and "H1.1" in _ways(circuit, "K1.87")


def test_soldered_and_plugged_in_relays() -> None:
    """The fan relays cannot be bought alone, the horn relay can."""
    assert {p.unit for p in read_shelf("radiator-fans").parts_of_kind("relay")} == {"fuse box"}
    assert read_shelf("horn").parts["K1"].unit == "K1"


def test_worked_jobs_stand_beside_their_circuit() -> None:
    """The worked jobs of a circuit are named after it, and their text is the job file itself."""
    assert "wipers/crawling" in shelf_jobs("wipers") and is_shelf_job("wipers/crawling")
    assert "circuit: wipers\n" in shelf_text("wipers/crawling")
    assert not is_shelf_job("wipers") and not is_shelf_job("nothing/crawling")


def test_a_worked_job_that_is_not_there() -> None:
    """A slip in a job's name is answered with the nearest one."""
    with pytest.raises(InputError, match="did you mean 'wipers/crawling'"):
        shelf_text("wipers/crawlin")
    with pytest.raises(InputError, match="there is no circuit 'wiper/crawling'"):
        shelf_text("wiper/crawling")
