"""Quantities as a person writes them, to and from plain floats in base units.

Base units: V, A, ohm, W, m, mm2, C (degrees Celsius), min, s, F (farad), percent, and "-" for a
plain ratio. A bare number is in the base unit. Only plain forms are read ("2.2k", not "2k2").
"""

import math
import re
from collections.abc import Mapping
from decimal import Decimal

from loomwise.errors import QuantityError

_PREFIXES = {
    "": Decimal(1),
    "p": Decimal("1e-12"),
    "n": Decimal("1e-9"),
    "µ": Decimal("1e-6"),
    "m": Decimal("1e-3"),
    "k": Decimal("1e3"),
    "M": Decimal("1e6"),
}


def _prefixed(base: str, prefixes: str) -> dict[str, Decimal]:
    return {prefix + base: _PREFIXES[prefix] for prefix in ("", *prefixes)}


# What may follow the number, and how many base units it stands for. Factors are decimal, so that
# "850 mV" is exactly the float 0.85.
_FACTORS: Mapping[str, Mapping[str, Decimal]] = {
    "V": _prefixed("V", "µmk"),
    "A": _prefixed("A", "µmk"),
    "ohm": _prefixed("ohm", "mkM") | {"k": _PREFIXES["k"], "M": _PREFIXES["M"]},
    "W": _prefixed("W", "mk"),
    "m": {"m": Decimal(1), "cm": Decimal("0.01"), "mm": Decimal("0.001"), "km": Decimal(1000)},
    "mm2": {"mm2": Decimal(1)},
    "C": {"C": Decimal(1)},
    "min": {"min": Decimal(1), "s": 1 / Decimal(60), "h": Decimal(60)},
    "s": {"s": Decimal(1), "ms": Decimal("0.001"), "min": Decimal(60), "h": Decimal(3600)},
    "F": _prefixed("F", "pnµm"),
    "percent": {"percent": Decimal(1)},
    "-": {"percent": Decimal("0.01")},
}

# Other spellings, turned into the ones above. Order matters: blanks go first.
_SPELLINGS = tuple(
    (re.compile(pattern), spelling)
    for pattern, spelling in (
        (r"\s+", ""),
        (r"[\u03a9\u2126]|[Oo]hms?|OHMS?", "ohm"),  # Greek omega, and the ohm sign
        (r"^[u\u03bc](?=[VAF]$)", "µ"),  # Greek mu
        (r"^K(?=ohm$|$)", "k"),
        (r"^(mm\^2|mm²|sqmm)$", "mm2"),
        (r"^(°|deg)C$", "C"),
        (r"^%$", "percent"),
        (r"^min(ute)?s?$", "min"),
    )
)

_NUMBER = re.compile(r"([+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?)\s*(.*)")
_AWG = re.compile(r"(?i:(?:awg)?\s*([1-4]/0|[0-9]{1,2})\s*(?:awg)?)")
_LONGEST_SHOWN = 40


def parse_quantity(text: str | float, unit: str) -> float:
    """The number of base units that ``text`` stands for: "850 mV" in "V" is 0.85.

    Parameters
    ----------
    text : what a person wrote, or a bare number in the base unit. Sizes of wire may be in AWG.
    unit : a base unit, see the top of this module.

    Raises
    ------
    QuantityError : not a finite number, a decimal comma, or a unit that is not one of this kind.
        Negative numbers are read; whether they make sense is the caller's to say.
    """
    if not isinstance(text, str):
        return _finite(text, unit)
    plain = text.strip().replace("\u2212", "-")
    if "," in plain:
        raise _comma(plain)
    if unit == "mm2" and "awg" in plain.lower():
        return awg_to_mm2(plain)
    found = _NUMBER.fullmatch(plain)
    if found is None:
        raise QuantityError(f"{_shown(text)} is not a number", hint=_right(unit))
    number, written = found.groups()
    factor = _FACTORS[unit].get(_spelling(written)) if written else Decimal(1)
    if factor is None:
        message = f"{_shown(text)}: unit {_shown(written)} is not known"
        raise QuantityError(message, hint=_right(unit))
    return _finite(float(Decimal(number) * factor), unit)


def awg_to_mm2(awg: int | str) -> float:
    """Conductor area of an American wire gauge, 4/0 to 40. [mm²]

    d = 0.127 mm × 92^((36 - n)/39), with n = 0 for 1/0 and n = -3 for 4/0 (ASTM B258, as quoted at
    http://gyan.iitg.ernet.in/handle/123456789/1917).

    Raises
    ------
    QuantityError : not a gauge between 4/0 and 40.
    """
    found = _AWG.fullmatch(str(awg).strip())
    if found is None or (number := _awg_number(found[1])) > 40:
        raise QuantityError(f"{_shown(str(awg))} is not a wire gauge", hint="write 4/0 to 40 AWG")
    diameter_mm = 0.127 * math.pow(92, (36 - number) / 39)
    return math.pi / 4 * diameter_mm**2


def _awg_number(text: str) -> int:
    return 1 - int(text[0]) if text.endswith("/0") else int(text)


def _finite(value: float, unit: str) -> float:
    # A YAML "yes" or an empty value arrives as a bool or None: neither is a quantity.
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise QuantityError(f"{_shown(str(value))} is not a number", hint=_right(unit))
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise QuantityError(f"{number} is not a finite number", hint=_right(unit))
    return number


def _spelling(written: str) -> str:
    for pattern, spelling in _SPELLINGS:
        written = pattern.sub(spelling, written)
    return written


def _comma(text: str) -> QuantityError:
    single = re.fullmatch(r"([+-]?[0-9]+),([0-9]+)(?![0-9.,]).*", text)
    right = f"{single[1]}.{single[2]} with a point" if single else "a point, and no commas"
    return QuantityError(f"{_shown(text)} has a comma", hint=f"write {right}")


def _shown(text: str) -> str:
    short = text if len(text) <= _LONGEST_SHOWN else text[:_LONGEST_SHOWN] + "..."
    return f'"{short}"'


def _right(unit: str) -> str:
    """What would be right, for the hint of an error."""
    known = list(_FACTORS[unit]) + (["AWG"] if unit == "mm2" else [])
    if unit == "-":
        return "write a number such as 0.5, or a percentage such as 50 %"
    return f"write a number such as 12.4 and its unit: {', '.join(known)}"


# Symbol on screen, and the prefixes a meter or a catalogue would use, smallest first.
_SHOWN: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "V": ("V", ("m", "", "k")),
    "A": ("A", ("µ", "m", "")),
    "ohm": ("Ω", ("m", "", "k", "M")),
    "W": ("W", ("m", "", "k")),
    "m": ("m", ("",)),
    "mm2": ("mm²", ("",)),
    "C": ("°C", ("",)),
    "min": ("min", ("",)),
    "s": ("s", ("m", "")),
    "F": ("F", ("p", "n", "µ", "m", "")),
    "percent": ("%", ("",)),
    "-": ("", ("",)),
}


def format_quantity(value: float, unit: str) -> str:
    """``value`` in base units as text, three significant digits: "12.4 V", "850 mV", "4.7 kΩ".

    Less than a thousandth of the smallest step shown for the unit reads as 0.
    """
    symbol, prefixes = _SHOWN[unit]
    if not math.isfinite(value):
        number = str(value).replace("inf", "∞")
        return f"{number} {symbol}".rstrip()
    value = _three_digits(value)
    smallest = float(_PREFIXES[prefixes[0]])
    if abs(value) < smallest / 1000:
        return f"0 {symbol}".rstrip()
    fitting = [p for p in prefixes if abs(value) >= float(_PREFIXES[p])]
    prefix = fitting[-1] if fitting else prefixes[0]
    scaled = Decimal(repr(value)) / _PREFIXES[prefix]
    return f"{scaled.normalize():f} {prefix}{symbol}".rstrip()


def _three_digits(value: float) -> float:
    return float(f"{value:.2e}")
