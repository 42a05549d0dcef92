"""The vehicle's number, checked before it is written down."""

import pytest

from loomwise.errors import InputError
from loomwise.job.vin import CHECK_POSITION, VALUES, check_digit, read_vin

ONES = "1" * 17
"""Sixteen ones weigh 89, which leaves 1 over eleven: the number checks itself."""
OURS = "1NV" + "KT4AB" + "_" + "CD123456"


def with_check(vin: str) -> str:
    """The number with its check digit in place of the gap."""
    filled = vin.replace("_", "0")
    return filled[:CHECK_POSITION] + check_digit(filled) + filled[CHECK_POSITION + 1 :]


def test_sum_by_hand() -> None:
    """The check digit is the weighted sum modulo eleven, as one can work it out on paper."""
    assert sum((8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)) % 11 == 1
    assert check_digit(ONES) == "1" and read_vin(ONES) == ONES


def test_letters_have_their_values() -> None:
    """I, O and Q do not occur, and the letters run 1 to 8, 1 to 5, 7, 9 and 2 to 9."""
    letters = "".join(str(VALUES[sign]) for sign in "ABCDEFGHJKLMNPRSTUVWXYZ")
    assert letters == "12345678" + "12345" + "7" + "9" + "23456789"


@pytest.mark.parametrize("where", range(17))
def test_one_wrong_sign_is_found(where: int) -> None:
    """A sign misread anywhere in a North American number is noticed, but for equal values."""
    vin = with_check(OURS)
    other = "2" if vin[where] != "2" else "3"
    wrong = vin[:where] + other + vin[where + 1 :]
    if VALUES[vin[where]] != VALUES[other] or where == CHECK_POSITION:
        with pytest.raises(InputError, match="check digit"):
            read_vin(wrong)


def test_elsewhere_the_ninth_sign_is_free() -> None:
    """A European number has no check digit, and is not refused for it."""
    assert read_vin("ynv kt4ab-9-cd123456") == "YNVKT4AB9CD123456"


@pytest.mark.parametrize(
    ("vin", "said"), [("YNV", "3 signs"), ("YNVKT4ABOCD123456", "'O' does not occur")]
)
def test_what_cannot_be_a_vin(vin: str, said: str) -> None:
    """Too few signs, or one that is never used, are told at once."""
    with pytest.raises(InputError, match=said):
        read_vin(vin)
