"""Circuits with published answers, by the batch engine, and where the print is wrong.

By the direct engine they are checked in tests/outside. Every printed digit must hold.
"""

from dataclasses import replace

import pytest

from loomwise.solver.engines import LowRank
from tests.outside.check import digits
from tests.reference.printed import (
    LINES,
    RIGHT_IN_PRINT,
    WRONG_IN_PRINT,
    elements_of,
    quantity,
)
from tests.solver.small import parse_element, solve_elements


def _name(row: dict[str, str]) -> str:
    return f"{row['example']} {row['text']}"


@pytest.mark.parametrize("row", RIGHT_IN_PRINT, ids=_name)
def test_printed_digits(row: dict[str, str]) -> None:
    """The batch engine gives every digit the book prints."""
    printed = digits(row["printed"].split()[0])
    ours = quantity(row["text"], solve_elements(elements_of(row["example"]), LowRank()))
    slack = 1e-6 * (printed.high - printed.low)
    assert printed.low - slack <= ours <= printed.high + slack


@pytest.mark.parametrize("row", WRONG_IN_PRINT, ids=_name)
def test_prints_that_are_wrong(row: dict[str, str]) -> None:
    """Where the book's last digit is wrong, the circuit does not give it."""
    printed = digits(row["printed"].split()[0])
    ours = quantity(row["text"], solve_elements(elements_of(row["example"])))
    assert not printed.low <= ours <= printed.high


def test_the_wrong_prints_are_the_known_ones() -> None:
    """Two printed answers are wrong: a resistance of C04 and the terminal voltage of C12a."""
    assert [_name(r) for r in WRONG_IN_PRINT] == ["C04 R seen by B", "C12a V t"]


def test_c08_slip_in_the_sum() -> None:
    """One line of the book puts 10 ohm for R3: that would be 0.24 A, while 0.20 A is printed."""
    slipped = [replace(e, value=10.0) if e.name == "R3" else e for e in elements_of("C08")]
    assert quantity("I from V2", solve_elements(slipped)) == pytest.approx(0.24, abs=5e-7)
    right = quantity("I from V2", solve_elements(elements_of("C08")))
    assert right == pytest.approx(0.20, abs=5e-7)


def test_the_leak_bears_a_meter_but_not_250_megohms() -> None:
    """Our nodes leak 1 Gohm: a 10 Mohm meter feels 1 %, a divider of 250 Mohm is beyond us."""
    as_printed = [parse_element(line) for line in LINES["C26a"]]
    side = 1.0 / (1.0 / 250e6 + 1e-9)
    expected = 24.0 * side / (side + 250e6)
    assert solve_elements(as_printed).voltage_v("b") == pytest.approx(expected, rel=1e-6)
    assert expected < 11.0
