"""Read one wire line: "F1.2 to C1.1 to M1.+, RDWH 4 mm2, 1.1 m, in front loom"."""

import re
from collections.abc import Callable
from dataclasses import dataclass

from loomwise.errors import InputError, QuantityError
from loomwise.units import parse_quantity

COLOURS = ("BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "GD", "TQ", "SR")
"""Codes of IEC 60757, from memory; several in a row make a two- or three-coloured wire."""

DEFAULT_AREA_MM2, DEFAULT_LENGTH_M = 1.0, 1.0
MAX_AREA_MM2, MAX_LENGTH_M = 300.0, 100.0
"""Beyond these a slip of the pen is likelier than a wire. Engineering judgement."""

End = tuple[str, str]
"""A part or connector, and its pin or cavity."""

_END = re.compile(r"(\w+)\.([\w+\-]+)")
_NUMBER = r"[-+]?[0-9.]+(?:[eE][-+]?[0-9]+)?"
_TOKEN = re.compile(
    r"(?P<awg>(?i:awg)\s*[0-9/]+|[0-9/]+\s*(?i:awg))(?![\w.])"
    rf"|(?P<area>{_NUMBER}\s*(?:mm2|mm²|mm\^2|sqmm))(?![\w.])"
    rf"|(?P<length>{_NUMBER}\s*(?:mm|cm|km|m))(?![\w.])"
    r"|(?P<colour>[A-Za-z]+)(?![\w.])"
    r"|(?P<other>\S+)"
)
_MANNER = "write for example: F1.2 to M1.+, RD 2.5 mm2, 1.4 m, in front loom"


@dataclass(frozen=True)
class WireLine:
    """One wire from end to end, through the connectors between; ``ends`` has two or more."""

    ends: tuple[End, ...]
    colour: str = ""
    area_mm2: float = DEFAULT_AREA_MM2
    length_m: float = DEFAULT_LENGTH_M
    loom: str = ""


def parse_wire(text: str) -> WireLine:
    """Read one wire line. The ends must be given; colour, size, length and loom may be, in any
    order: "A to B [to C ...][, COLOUR SIZE][, LENGTH][, in LOOM]".

    Raises
    ------
    InputError : not a wire line, an unknown colour, a size or length that is no positive number.
    """
    pieces = [piece.strip() for piece in text.split(",")]
    chain = next((p for p in pieces if re.search(r"\sto\s", p) and not _loom(p)), None)
    if chain is None:
        raise InputError(f"'{_short(text)}' does not say from where to where", hint=_MANNER)
    pieces.remove(chain)
    *first, last = re.split(r"\s+to\s+", chain)
    last, _, rest = last.partition(" ")
    ends = tuple(_end(name) for name in (*first, last))
    found: dict[str, str | float] = {}
    for piece in (rest.strip(), *pieces):
        _read_piece(piece, found)
    return WireLine(ends, **found)  # type: ignore[arg-type]  # keys and types: _READ


def _end(text: str) -> End:
    found = _END.fullmatch(text)
    if found is None:
        hint = "write PART.PIN or CONNECTOR.CAVITY, such as F1.2"
        raise InputError(f"'{_short(text)}' is not an end of a wire", hint=hint)
    return found[1], found[2]


def _loom(piece: str) -> str:
    found = re.fullmatch(r"in\s+(.+)", piece)
    return " ".join(found[1].split()) if found else ""


def _read_piece(piece: str, found: dict[str, str | float]) -> None:
    before, _, after = f" {piece}".partition(" in ")
    if after:
        _put(found, "loom", " ".join(after.split()))
    for token in _TOKEN.finditer(before):
        kind, word = str(token.lastgroup), token.group()
        if kind not in _READ:
            raise InputError(f"'{_short(word)}' in a wire line is not understood", hint=_hint(word))
        name, read = _READ[kind]
        _put(found, name, read(word))


def _put(found: dict[str, str | float], name: str, value: str | float) -> None:
    if name in found:
        words = {"area_mm2": "size", "length_m": "length"}.get(name, name)
        raise InputError(f"the wire has a second {words}: {value}", hint="keep one of them")
    found[name] = value


def _colour(word: str) -> str:
    codes = re.findall("..?", word.upper())
    if not set(codes) <= set(COLOURS):
        hint = f"the codes are {', '.join(COLOURS)}, and combinations such as RDWH"
        raise InputError(f"wire colour '{_short(word)}' is not known", hint=hint)
    return "".join(codes)


def _area(word: str) -> float:
    return _positive(parse_quantity(word, "mm2"), word, "size", MAX_AREA_MM2, "mm2")


def _length(word: str) -> float:
    return _positive(parse_quantity(word, "m"), word, "length", MAX_LENGTH_M, "m")


def _positive(value: float, word: str, what: str, most: float, unit: str) -> float:
    if not 0 < value <= most:
        hint = f"write a number above 0, at most {most:g} {unit}"
        raise QuantityError(f"wire {what} is {word}", hint=hint)
    return value


def _hint(word: str) -> str:
    if re.fullmatch(_NUMBER, word):
        return "a number needs its unit (mm2, AWG or m), and a point, not a comma, for decimals"
    return _MANNER


def _short(text: str) -> str:
    return text if len(text) <= 60 else text[:60] + "..."


_READ: dict[str, tuple[str, Callable[[str], str | float]]] = {
    "awg": ("area_mm2", _area),
    "area": ("area_mm2", _area),
    "length": ("length_m", _length),
    "colour": ("colour", _colour),
}
