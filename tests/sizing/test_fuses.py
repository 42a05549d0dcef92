"""Fuse and wire together; published figures are checked in tests/outside."""

from loomwise.sizing.ampacity import Surroundings, conductor_c, stands_a
from loomwise.sizing.fuse import largest_fuse_a, smallest_fuse_a


def test_what_the_fuse_lets_through_for_half_an_hour_the_wire_stands() -> None:
    """1.35 times the rating may last 1800 s (ISO 8820-3 limits quoted in a relay sheet,
    http://www.datasheetandpdf.com/EN/TEC/1/V23134-F4.htm): the insulation must outlive it."""
    around = Surroundings()
    for area_mm2 in (0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 25.0, 50.0):
        fuse_a = largest_fuse_a(stands_a(area_mm2, around))
        assert fuse_a is not None
        assert conductor_c(area_mm2, 1.35 * fuse_a, around) <= around.insulation_c + 1e-9


def test_above_three_quarters_of_a_fuse_the_next_is_taken() -> None:
    """7.6 A for good is too much for a 10 A fuse. 70 to 80 %: common practice, no source."""
    assert smallest_fuse_a(7.6) == 15
