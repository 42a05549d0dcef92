from itertools import permutations

import pytest

from loomwise.edits import AddOhm, Bridge, Edit, Hold, Open
from loomwise.errors import SetupError
from loomwise.setups import (
    Undoing,
    make_setup,
    parse_setup,
    parse_undoing,
    undoings,
    undone_edits,
    with_new_fuses,
)
from loomwise.shelf import read_shelf

HORN, FANS = read_shelf("horn"), read_shelf("radiator-fans")


@pytest.mark.parametrize("words", ["F4 out", "K1 out", "C2 apart", "BAT off", "F4 new"])
def test_an_undoing_reads_back_as_written(words: str) -> None:
    """What is undone is said in the same words that were typed."""
    assert str(parse_undoing(HORN, words)) == words


def test_jumper_between_two_places() -> None:
    """A jumper joins the two places it names, with next to no resistance."""
    undoing = parse_undoing(HORN, "  jumper  K1.30 to  K1.87 ")
    assert str(undoing) == "jumper K1.30 to K1.87"
    (edit,) = undone_edits(HORN, undoing)
    assert isinstance(edit, Bridge)
    assert {edit.a, edit.b} == {"K1.30", "K1.87"}
    assert 0.0 < edit.ohm < 0.1


def test_controls_not_named_stand_at_rest() -> None:
    """A setup says how every control stands, also those nobody mentioned."""
    setup = parse_setup(FANS, "AC=on, key = run")
    assert dict(setup.controls) == {"key": "run", "AC": "on", "coolant": "cold"}
    assert setup.state_of("coolant") == "cold"
    assert setup.asked({"key": "off", "AC": "off", "coolant": "cold"}) == (
        ("key", "run"), ("AC", "on"),
    )  # fmt: skip


def test_commanded_output_is_part_of_the_setup() -> None:
    """An output commanded by scan tool is settled: it belongs to how the vehicle stands."""
    setup = make_setup(FANS, {"A1.OUT2": "on"})
    assert setup.state_of("A1.OUT2") == "on"
    assert setup != make_setup(FANS)


def test_order_of_undoings_does_not_matter() -> None:
    """Fuse out then plug apart is the same vehicle as plug apart then fuse out."""
    words = ["F4 out", "C2 apart", "K1 out"]
    setups = {parse_setup(HORN, "horn=pressed", order) for order in permutations(words)}
    assert len(setups) == 1
    one = parse_setup(HORN, "horn=pressed").with_undone(*(parse_undoing(HORN, w) for w in words))
    assert {one} == setups
    assert parse_setup(HORN, "horn=pressed", ["F4 out", "F4 out"]) == parse_setup(
        HORN, "horn=pressed", ["F4 out"]
    )


def test_what_went_before_is_part_of_the_setup() -> None:
    """A latching circuit depends on what was done first, so that is kept and told apart."""
    after = parse_setup(FANS, "key=run", after=["key=run, AC=on"])
    assert after != parse_setup(FANS, "key=run")
    assert "(after key run, AC on, coolant cold)" in str(after)


@pytest.mark.parametrize(
    ("controls", "says"),
    [
        ("kay=run", "no control kay; did you mean key?"),
        ("key=runn", "no state of key runn; did you mean run?"),
        ("AC=xyz", "no state of AC xyz; there is off, on"),
        ("key", "'key' is not a control and its state; write key=run"),
        ("=run", "not a control and its state"),
        ("key=run, key=off", "key cannot be run and off at once"),
        ("A1.OUT1=maybe", "no state of A1.OUT1 maybe; there is off, on"),
    ],
)
def test_a_setup_that_cannot_be_is_refused(controls: str, says: str) -> None:
    """A control or state the vehicle does not have is refused, with what it has."""
    with pytest.raises(SetupError, match="setup: ") as caught:
        parse_setup(FANS, controls)
    assert says in str(caught.value)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("K1 out", "K1 is soldered in and cannot be taken out; it belongs to the fuse box"),
        (
            "M1 out",
            "M1 is a motor and does not come out; fuses, breakers and plug-in relays come out, "
            "connectors apart, batteries and grounds off, modules and loads unplugged, wires cut",
        ),
        ("F9 out", "no part F9 to take out; there is F1, "),
        ("C9 apart", "no connector C9 to part; there is C1, C2"),
        ("F1 off", "F1 cannot be put off"),
        ("K1 new", "K1 cannot be put new"),
        ("F1 sideways", "'F1 sideways' is not something undone; write 'F1 out'"),
        ("jumper F1.1 to F9.1", "no place F9.1 for a jumper"),
    ],
)
def test_an_undoing_that_cannot_be_is_refused(words: str, says: str) -> None:
    """A soldered relay does not come out, and the message says why and what does."""
    with pytest.raises(SetupError) as caught:
        parse_undoing(FANS, words)
    assert says in str(caught.value)


def test_everything_on_offer_can_be_undone() -> None:
    """Each undoing the program offers has its edits; soldered relays are not among them."""
    offered = undoings(FANS)
    assert all(undone_edits(FANS, u) for u in offered)
    assert Undoing("out", "F1") in offered
    assert Undoing("apart", "C1") in offered
    assert not [u for u in offered if u.target in ("K1", "K2", "K3")]
    assert Undoing("out", "K1") in undoings(HORN)


def test_a_plug_apart_opens_all_its_contacts() -> None:
    """Parting a plug opens every contact in it and nothing else."""
    edits = undone_edits(HORN, Undoing("apart", "C4"))
    assert set(edits) == {Open("C4.1"), Open("C4.2")}


def test_a_relay_out_opens_coil_suppression_and_contact() -> None:
    """A relay pulled takes coil, suppression resistor and contact with it."""
    edits = undone_edits(HORN, Undoing("out", "K1"))
    drawn = {Open("K1.coil"), Open("K1.suppressor"), Open("K1.make")}
    assert set(edits) == drawn | {Open("K1.make reversed")}


@pytest.mark.parametrize(
    ("edit", "stays"),
    [
        (Hold("F4", "blown"), False),
        (Open("F4.link"), False),
        (AddOhm("F4.link", 2.0), True),  # the holder, not the fuse
        (Open("F4.2-SP1.1"), True),  # the wire behind it
        (Hold("F5", "blown"), True),
        (Open("K1.coil"), True),
    ],
)
def test_a_new_fuse_takes_away_the_old_one_only(edit: Edit, stays: bool) -> None:
    """A new fuse cures blown and missing; a burnt holder and all else stay as they are."""
    assert with_new_fuses([edit], {"F4"}) == ((edit,) if stays else ())
    assert with_new_fuses([edit], ()) == (edit,)


@pytest.mark.parametrize("other", ["BAT.-", "body", "G1.1"])
def test_no_jumper_across_the_battery(other: str) -> None:
    """A jumper from battery plus to minus, ground or body is a fire: it is refused."""
    with pytest.raises(SetupError, match="shorts the battery"):
        parse_undoing(read_shelf("radiator-fans"), f"jumper BAT.+ to {other}")
