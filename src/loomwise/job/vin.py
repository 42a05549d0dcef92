"""The vehicle's number: seventeen signs, and a check digit where the market uses one.

ISO 3779 gives the seventeen signs (no I, O or Q), 49 CFR 565.15 the check digit with the values
of the letters and the weights of the positions; ISO 3780 gives the first sign by region. All of
them written from memory.
"""

from loomwise.errors import InputError

LENGTH, CHECK_POSITION = 17, 8
CHECKED_REGIONS = "12345L"
"""First sign where the ninth must be right: North America (49 CFR 565.15) and China (GB 16735,
from memory). Elsewhere the ninth sign is free."""
WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
VALUES = {str(n): n for n in range(10)} | dict(
    zip("ABCDEFGHJKLMNPRSTUVWXYZ", (*range(1, 9), *range(1, 6), 7, 9, *range(2, 10)), strict=True)
)


def check_digit(vin: str) -> str:
    """The ninth sign that the other sixteen ask for: 0 to 9, or X for ten (49 CFR 565.15)."""
    total = sum(w * VALUES[sign] for w, sign in zip(WEIGHTS, vin, strict=True))
    return "X" if total % 11 == 10 else str(total % 11)


def read_vin(text: str) -> str:
    """The number in capitals without blanks and hyphens; nothing for nothing.

    Raises
    ------
    InputError : wrong length, a sign that does not occur, or a wrong check digit.
    """
    vin = text.upper().replace(" ", "").replace("-", "")
    if not vin:
        return ""
    wrong = [sign for sign in vin if sign not in VALUES]
    if wrong:
        hint = "I, O and Q do not occur; look whether it is 1 or 0"
        raise InputError(f"'{wrong[0]}' does not occur in a VIN", "vin", hint)
    if len(vin) != LENGTH:
        hint = f"it has {LENGTH} signs; leave it empty if nobody knows it"
        raise InputError(f"the VIN has {len(vin)} signs", "vin", hint)
    if vin[0] in CHECKED_REGIONS and vin[CHECK_POSITION] != check_digit(vin):
        hint = "read it again from the vehicle: one sign is wrong, or two are exchanged"
        raise InputError("the VIN does not agree with its check digit", "vin", hint)
    return vin
