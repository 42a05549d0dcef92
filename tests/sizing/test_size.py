"""Choosing and judging wires."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwise.errors import QuantityError
from loomwise.sizing import Question, Surroundings, allowed_drop_v, judge, size


@given(
    st.floats(0.1, 100), st.floats(0.1, 30), st.sampled_from([12.0, 24.0, 48.0]),
    st.floats(0.01, 0.1), st.integers(1, 30), st.floats(-20, 90), st.booleans(),
)  # fmt: skip
def test_never_a_larger_fuse_than_the_wire_stands(
    amps: float, metres: float, volts: float, share: float, bundle: int, air_c: float, awg: bool
) -> None:
    """Whatever is asked: the fuse fits the wire, the load fits the fuse, the drop is kept."""
    q = Question(amps, metres, volts, share * volts, Surroundings(air_c, bundle))
    found = size(q, awg)
    if found.wire is None:
        assert not found.ok and found.fuse_a is None
        return
    assert found.fuse_a is not None and found.wire.largest_fuse_a is not None
    assert found.fuse_a <= found.wire.largest_fuse_a
    assert 1.35 * found.fuse_a <= found.wire.stands_a * (1 + 1e-9)
    assert amps <= 0.75 * found.fuse_a and found.wire.drop_v <= q.drop_v
    assert judge(q, found.wire.size, found.wire.area_mm2, found.fuse_a).ok


def test_heat_drop_and_bundle_only_ever_ask_for_more() -> None:
    """A longer, hotter or fuller way never gets a thinner wire."""
    plain = size(Question(10, 3, 12, 0.36)).wire
    harder = [
        Question(10, 9, 12, 0.36),
        Question(10, 3, 12, 0.36, Surroundings(85.0)),
        Question(10, 3, 12, 0.36, Surroundings(30.0, 9)),
    ]
    assert plain is not None
    for q in harder:
        wire = size(q).wire
        assert wire is not None and wire.area_mm2 > plain.area_mm2


def test_the_same_power_at_24_v_needs_less_copper() -> None:
    """Half the current and twice the volts to lose."""
    at_12, at_24 = size(Question(20, 6, 12, 0.36)).wire, size(Question(10, 6, 24, 0.72)).wire
    assert at_12 is not None and at_24 is not None and at_24.area_mm2 < at_12.area_mm2


def test_a_fuse_too_large_for_the_wire_is_refused() -> None:
    """25 A on 1.5 mm² is told no, with the largest that it stands."""
    found = judge(Question(10, 1, 12, 0.36), "1.5 mm²", 1.5, 25)
    assert not found.ok and "at most 15 A" in found.why[0]


def test_blade_fuses_are_not_for_48_v() -> None:
    """They are made for 32 V; at 48 V that is said, at 24 V it is not."""
    assert any("32 V" in c for c in size(Question(5, 2, 48, 1.4)).cautions)
    assert not any("32 V" in c for c in size(Question(5, 2, 24, 0.7)).cautions)


def test_high_voltage_is_refused() -> None:
    """Above 60 V DC the calculator ends, with the reason."""
    with pytest.raises(QuantityError, match="high voltage"):
        Question(5, 2, 400, 12)


def test_drop_is_a_share_or_volts() -> None:
    """3 % of 24 V, or 0.3 V as it stands; nothing or all of it makes no sense."""
    assert allowed_drop_v("3 %", 24) == pytest.approx(0.72)
    assert allowed_drop_v("300 mV", 24) == pytest.approx(0.3)
    for bad in ("0 V", "100 %", "-1 %", "13 V"):
        with pytest.raises(QuantityError):
            allowed_drop_v(bad, 12)
