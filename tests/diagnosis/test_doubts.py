from dataclasses import replace

import pytest

from loomwise.diagnosis.doubts import exchanges, neighbour_places
from loomwise.diagnosis.ranking import Ranking
from loomwise.evidence import Evidence, Reading
from loomwise.shelf import read_shelf
from tests.diagnosis.experts import (
    fans_complaint,
    fans_expert,
    fans_low,
    heater_loop,
    rank,
    vehicle,
    volts,
)

PLACES = ("BAT.+", "C1.1.a", "C1.2.a", "C1.3.a", "C3.2.b")


@pytest.mark.parametrize("missed", ["C1.1.a", "C1.2.a"])
def test_a_missed_contact_is_recognised(missed: str) -> None:
    """0.00 V where all else says 12 V is a probe that did not bite: take it again; the suspect
    stays."""
    live = {"BAT.+": 12.55, "C1.1.a": 12.5, "C1.2.a": 12.5, "C3.2.b": 12.48, "C1.3.a": 0.01}
    readings = [
        volts(
            place, fans_low(), place, 0.0 if place == missed else value,
            method="post" if place == "BAT.+" else "back-probe",
        )
        for place, value in live.items()
    ]  # fmt: skip
    ranking = rank(fans_expert(), *fans_complaint(), *readings)
    assert ranking.bad[missed] > 0.5
    assert all(bad < 0.1 for place, bad in ranking.bad.items() if place != missed)
    assert ranking.leader[0] == "fuse box"
    assert ranking.leader[1] > 0.8


def through(label: str, places: tuple[str, ...]) -> Ranking:
    """Readings on a vehicle with K2's break contact open, whose labels are exchanged as in
    ``label``, or not if it is empty."""
    exchange = {e.id: e for e in fans_expert().judge.drawing}.get(label)
    real = exchange.real if exchange else (lambda place: place)
    world = vehicle(fans_expert(), "K2 break contact open", real)
    taken: list[Evidence] = [
        world.reading(Reading(f"r{k}", fans_low(), "voltmeter", place, "BAT.-"))
        for k, place in enumerate(places)
    ]
    return rank(fans_expert(), *fans_complaint(), *taken)


def test_an_exchanged_pair_leads_and_the_unit_is_still_right() -> None:
    """Live where the drawing says the far side, dead where it says the near one: the labels of
    cavities 2 and 3 are exchanged, and the fuse box is still the one."""
    ranking = through("C1.2/C1.3", PLACES)
    assert next(iter(ranking.doubted)) == "C1.2/C1.3"
    assert ranking.doubted["C1.2/C1.3"] > 0.5
    assert ranking.leader[0] == "fuse box"
    assert ranking.leader[1] > 0.8
    surer = through("C1.2/C1.3", (*PLACES, "C1.2.b", "C1.3.b"))
    assert surer.doubted["C1.2/C1.3"] > ranking.doubted["C1.2/C1.3"]


def test_a_right_drawing_is_not_doubted() -> None:
    """Where the drawing is right no exchanged pair reaches one per cent."""
    ranking = through("", PLACES)
    assert ranking.leader[0] == "fuse box"
    assert max(ranking.doubted.values()) < 0.01


def test_exchanging_twice_is_not_exchanging() -> None:
    """A pair of labels is a swap: done twice, every label is back where the drawing has it."""
    circuit = read_shelf("radiator-fans")
    for exchange in exchanges(circuit):
        assert all(exchange.real(exchange.real(p)) == p for p in circuit.places)
        assert any(exchange.real(p) != p for p in circuit.places)


def test_both_sides_of_a_cavity_go_together() -> None:
    """Exchanged cavities carry their fuse-box side and their loom side with them."""
    pair = {e.id: e for e in exchanges(read_shelf("radiator-fans"))}["C1.2/C1.3"]
    assert (pair.real("C1.2.a"), pair.real("C1.2.b")) == ("C1.3.a", "C1.3.b")
    assert pair.real("C1.1.a") == "C1.1.a"


@pytest.mark.parametrize(("drawn", "doubt"), [("by the maker", 0.02), ("from memory", 0.15)])
def test_a_drawing_from_memory_is_doubted_more(drawn: str, doubt: float) -> None:
    """All pairs of a drawing together weigh what its source deserves."""
    text = read_shelf("horn")
    assert sum(e.weight for e in exchanges(text)) == pytest.approx(0.06)
    (source,) = text.sources
    other = replace(text, sources=(replace(source, drawn=drawn),))
    assert sum(e.weight for e in exchanges(other)) == pytest.approx(doubt)


def test_soldered_relays_and_single_cavities_have_no_pair() -> None:
    """What cannot be wired wrongly is not suspected of it."""
    names = [e.id for e in exchanges(read_shelf("radiator-fans"))]
    assert not [n for n in names if n.startswith("K")]
    assert exchanges(heater_loop()) == ()


def test_a_probe_slips_to_the_cavity_beside_it() -> None:
    """In a plug of two rows of three a probe meant for 2 may be in 1, 3 or the one below; empty
    cavities and the other side of the plug do not count."""
    circuit = read_shelf("radiator-fans")
    assert set(neighbour_places(circuit, "C1.2.a")) == {"C1.1.a", "C1.3.a"}
    assert set(neighbour_places(circuit, "C1.1.b")) == {"C1.2.b", "C1.4.b"}
    assert set(neighbour_places(circuit, "F1.1")) == {"F1.2"}
    assert neighbour_places(circuit, "body") == ()
