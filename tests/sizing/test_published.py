"""The calculator beside published figures, the source with each."""

import pytest

from loomwise.sizing.ampacity import Surroundings, bundle_share, conductor_c, stands_a
from loomwise.sizing.drop import drop_v, resistance_ohm
from loomwise.sizing.fuse import largest_fuse_a, smallest_fuse_a
from loomwise.sizing.size import Question, size
from loomwise.units import awg_to_mm2

FT_M = 0.3048


@pytest.mark.parametrize(
    ("area_mm2", "published_a"),
    [(0.5, 11), (0.75, 14), (1, 16.5), (1.5, 21), (2.5, 29), (4, 39), (6, 50), (10, 70)],
)
def test_a_thin_wall_wire_stands_what_its_sheet_says(area_mm2: float, published_a: float) -> None:
    """Nominal currents of thin-wall automotive cable, alone:
    https://cdn.shopify.com/s/files/1/0663/5103/8714/files/Automotive_Cables.pdf"""
    assert stands_a(area_mm2, Surroundings()) == pytest.approx(published_a)


@pytest.mark.parametrize(
    ("gauge", "published_a"), [("6", 80), ("4", 105), ("2", 140), ("1/0", 195), ("4/0", 300)]
)
def test_large_wires_lie_near_the_building_wire_table(gauge: str, published_a: float) -> None:
    """Beyond the sheet's 10 mm²: free air of 30 °C, Lessons in Electric Circuits vol. I, ch. 12.
    Another insulation, so 7 % are allowed."""
    assert stands_a(awg_to_mm2(gauge), Surroundings()) == pytest.approx(published_a, rel=0.07)


def test_air_of_an_engine_space_takes_off_what_the_table_takes_off() -> None:
    """6 AWG, insulation for 105 °C: 120 A at 30 °C, 102 A at 50 °C, a share of 0.85 (ABYC E-11 as
    at https://explorist.life/max-amps-a-wire-can-handle). Values of two digits: 1 %."""
    area = awg_to_mm2("6")
    cool, warm = (stands_a(area, Surroundings(t, 1, 105.0)) for t in (30.0, 50.0))
    assert warm / cool == pytest.approx(102 / 120, rel=0.01)


@pytest.mark.parametrize(
    ("wires", "share"), [(9, 0.5), (11, 0.5), (12, 0.45), (16, 0.41), (20, 0.38)]
)
def test_wires_in_a_bundle(wires: int, share: float) -> None:
    """Bunched, 9 on 0.5, 12 on 0.45, 16 on 0.41, 20 on 0.38:
    https://engx.theiet.org/f/wiring-and-regulations/29686/table-4c1/134157"""
    assert bundle_share(wires) == share


@pytest.mark.parametrize(
    ("area_mm2", "published_mohm_per_m"),
    [
        (0.5, 39.0),
        (0.75, 26.0),
        (1, 19.5),
        (1.5, 13.3),
        (2.5, 7.98),
        (4, 4.95),
        (6, 3.30),
        (10, 1.91),
    ],
)
def test_no_good_flexible_cable_has_more(area_mm2: float, published_mohm_per_m: float) -> None:
    """IEC 60228 class 5 maxima at 20 °C lie at or below ours, by no more than 5 %:
    https://mycableengineering.com/knowledge-base/iec-60228-dc-resistance"""
    ours = 1000 * resistance_ohm(area_mm2, 1.0)
    assert published_mohm_per_m <= ours * 1.001
    assert ours == pytest.approx(published_mohm_per_m, rel=0.05)


def test_drop_is_near_the_boat_builders_formula() -> None:
    """cmil = K I L / E with K = 10.75, lengths in feet (ABYC E-11 as quoted at
    https://www.cruisersforum.com/forums/f55/different-wire-sizes-in-bilge-pump-circuit-75294-3.html).
    K is for copper alone; ours is the worst flexible cable: between the same and 16 % more."""
    cmil, amps, feet = 4107.0, 10.0, 20.0  # 14 AWG
    published = 10.75 * amps * feet / cmil
    ours = drop_v(awg_to_mm2("14"), feet * FT_M, amps)
    assert published * 0.96 <= ours <= published * 1.16


@pytest.mark.parametrize(("percent", "published"), [(3, "10 AWG"), (10, "16 AWG")])
def test_a_bilge_pump_gets_the_tables_wire(percent: float, published: str) -> None:
    """12 V, 10 A, 11 ft out and 10 ft back: 10 AWG for 3 %, 16 AWG for 10 %:
    https://hollandmarine.com/hmp-flipbook-2021/flipbook/inc/html/52.html and 53.html"""
    q = Question(10.0, 21 * FT_M, 12.0, 12.0 * percent / 100)
    assert size(q, awg=True).for_drop == published


@pytest.mark.parametrize(("area_mm2", "usual_a"), [(0.75, 10), (1.0, 10), (1.5, 15), (2.5, 20)])
def test_usual_fuses_are_allowed_on_usual_wires(area_mm2: float, usual_a: float) -> None:
    """0.75 mm² with 10 A, 1.5 with 15 A, 2.5 with 20 A: common practice, no source."""
    assert largest_fuse_a(stands_a(area_mm2, Surroundings())) == usual_a


def test_what_the_fuse_lets_through_for_half_an_hour_the_wire_stands() -> None:
    """1.35 times the rating may last 1800 s (ISO 8820-3 limits quoted in a relay sheet,
    http://www.datasheetandpdf.com/EN/TEC/1/V23134-F4.htm): the insulation must outlive it."""
    around = Surroundings()
    for area_mm2 in (0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 25.0, 50.0):
        fuse_a = largest_fuse_a(stands_a(area_mm2, around))
        assert fuse_a is not None
        assert conductor_c(area_mm2, 1.35 * fuse_a, around) <= around.insulation_c + 1e-9


def test_a_fuse_carries_three_quarters_of_its_rating_for_good() -> None:
    """70 to 80 %: common practice, no source."""
    assert smallest_fuse_a(7.5) == 10 and smallest_fuse_a(7.6) == 15
