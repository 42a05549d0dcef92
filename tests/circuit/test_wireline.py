import pytest

from loomwise.circuit.wireline import COLOURS, WireLine, parse_wire
from loomwise.errors import InputError

ENDS = (("F1", "2"), ("C1", "1"), ("M1", "+"))
FULL = WireLine(ENDS, "RDWH", 4.0, 1.1, "front loom")


@pytest.mark.parametrize(
    "text",
    [
        "F1.2 to C1.1 to M1.+, RDWH 4 mm2, 1.1 m, in front loom",
        "F1.2 to C1.1 to M1.+, in front loom, 1.1 m, 4 mm2, RDWH",
        "in front loom, 110 cm, RDWH 4mm², F1.2 to C1.1 to M1.+",
        "F1.2  to C1.1 to M1.+ RDWH 4 mm2 1.1 m in front  loom",
        "F1.2 to C1.1 to M1.+, rdwh, 4 mm^2 1.1m, in front loom",
    ],
)
def test_what_follows_the_ends_may_stand_in_any_order(text: str) -> None:
    """People write colour, size, length and loom as the diagram gives them."""
    assert parse_wire(text) == FULL


def test_only_the_ends_are_needed() -> None:
    """A wire nobody measured is taken as 1 mm2 and 1 m, of no known colour or loom."""
    assert parse_wire("F1.2 to K1.30") == WireLine((("F1", "2"), ("K1", "30")), "", 1.0, 1.0, "")


@pytest.mark.parametrize("size", ["AWG 12", "12 AWG", "12AWG", "awg12"])
def test_american_gauge(size: str) -> None:
    """12 AWG is 3.31 mm2 (ASTM B258, from memory)."""
    assert parse_wire(f"A.1 to B.2, RD {size}, 2 m").area_mm2 == pytest.approx(3.31, abs=0.005)


@pytest.mark.parametrize("colour", [*COLOURS, "GNYE", "RDWH", "BKBURD"])
def test_colours_and_their_combinations(colour: str) -> None:
    """One code is a plain wire, two or three are a striped one."""
    assert parse_wire(f"A.1 to B.2, {colour}").colour == colour


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("F1.2", "does not say from where to where"),
        ("", "does not say from where to where"),
        ("F1.2 to K1", "'K1' is not an end of a wire"),
        ("F1.2 to K1.30.5", "'K1.30.5' is not an end of a wire"),
        ("A.1 to B.2, RED 4 mm2", "wire colour 'RED' is not known; the codes are BK, BN"),
        ("A.1 to B.2, XY", "wire colour 'XY' is not known"),
        ("A.1 to B.2, RD 1,5 mm2", "'1' in a wire line is not understood; a number needs its unit"),
        ("A.1 to B.2, RD 0 mm2", "wire size is 0 mm2"),
        ("A.1 to B.2, -2 m", "wire length is -2 m"),
        ("A.1 to B.2, 4000 m", "wire length is 4000 m"),
        ("A.1 to B.2, RD GN", "the wire has a second colour"),
        ("A.1 to B.2, 1 m, 2 m", "the wire has a second length"),
        ("A.1 to B.2, 3 V", "'3' in a wire line is not understood"),
        ("A.1 to B.2, in a, in b", "the wire has a second loom"),
    ],
)
def test_slips_of_the_pen(text: str, says: str) -> None:
    """What is not understood is named, not guessed."""
    with pytest.raises(InputError) as caught:
        parse_wire(text)
    assert says in str(caught.value)
    assert caught.value.hint
