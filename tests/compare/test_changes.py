"""Changes of the drawing entered by hand, a line each."""

import pytest

from loomwise.compare import ChangeError, parse_change
from loomwise.edits import Bridge, Open
from loomwise.shelf import read_shelf
from loomwise.solver.result import plant_of, solve_states

FANS = read_shelf("radiator-fans")
SLOW = {"key": "run", "AC": "on", "coolant": "cold"}


@pytest.mark.parametrize(
    ("line", "does"),
    [
        ("exchange C1.1 and C1.4", {"M1": "off", "M2": "off"}),
        ("K2.87a leads to M1.+", {"M1": "off", "M2": "off"}),
        ("K1.85 not joined to C2.3", {"M1": "off", "M2": "off"}),
        ("K2.85 joined to SP5.2", {"M1": "normal"}),
        ("SP4.1 not joined to SP4.3", {"M1": "slow", "M2": "slow"}),
    ],
)
def test_a_change_does_what_it_says(line: str, does: dict[str, str]) -> None:
    """The changed drawing is solved, and the fans do what the changed wiring makes them do."""
    change = parse_change(FANS, line)
    point = solve_states(FANS, plant_of(FANS), SLOW, change.edits)[0]
    assert {load: point.loads[load] for load in does} == does


def test_a_motor_with_its_wires_exchanged() -> None:
    """A fan whose two wires are exchanged at its plug turns backwards."""
    change = parse_change(FANS, "exchange C3.1.b and C3.2.b")
    point = solve_states(FANS, plant_of(FANS), SLOW, change.edits)[0]
    assert (point.states["M1"], point.states["M2"]) == ("reverse", "forward")


def test_the_edits_of_an_exchange() -> None:
    """Both wires are parted, and each joined where the other was, with its own resistance."""
    change = parse_change(FANS, " Exchange  K1.85 and K2.85 ")
    one, other = FANS.segments["K1.85-C2.3.a"], FANS.segments["K2.85-SP4.1"]
    assert set(change.edits) == {
        Open(one.id), Open(other.id),
        Bridge("K2.85", "C2.3.a", one.resistance_ohm),
        Bridge("K1.85", "SP4.1", other.resistance_ohm),
    }  # fmt: skip
    assert change.text == "exchange K1.85 and K2.85" and change.kind == "exchanged"


def test_a_leg_of_a_splice_by_its_branch() -> None:
    """Two legs of one splice are parted at the leg named first."""
    assert parse_change(FANS, "SP4.1 not joined to SP4.3").edits == (Open("SP4.1"),)
    assert parse_change(FANS, "K2.85 not joined to SP4.1").edits == (Open("K2.85-SP4.1"),)


def test_an_exchanged_contact_closes_where_it_was_drawn_open() -> None:
    """NO for NC: the drawn contact is parted, the other way round is put in."""
    change = parse_change(FANS, "K1 contact NC")
    assert (change.kind, change.places) == ("contact", ("K1",))
    assert Open("K1.make") in change.edits and len(change.edits) == 2


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("swap everything", "write 'exchange C1.2 and C1.3'"),
        ("exchange C1.2 and C1.9", "did you mean"),
        ("exchange C1.2 and Q7.1", "there is no place Q7.1"),
        ("exchange K1.30 and F1.2", "changes nothing"),
        ("exchange BAT.= and G2.1", "is not understood"),
        ("K1.87 leads to C3.1", "in this drawing too"),
        ("K1.85 not joined to M2.+", "not joined to M2.+ in this drawing either"),
        ("SP1.3 joined to SP1.2", "in this drawing too"),
        ("SP1.3 joined to G1.2", "would short the battery"),
        ("M2.- leads to M2.-", "are one place"),
        ("K1 contact NO", "is NO in this drawing too"),
        ("K2 contact NC", "change-over"),
        ("K9 contact NC", "there is K1, K2, K3"),
    ],
)
def test_a_bad_line_is_answered_with_what_to_write(line: str, message: str) -> None:
    """What cannot be is refused, with what is wrong and what would be right."""
    with pytest.raises(ChangeError) as raised:
        parse_change(FANS, line)
    assert message in str(raised.value)
