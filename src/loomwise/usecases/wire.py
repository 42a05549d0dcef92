"""The wire calculator: words as a person writes them, to sizes and fuses."""

from collections.abc import Callable
from dataclasses import dataclass

from loomwise.errors import QuantityError
from loomwise.sizing import Judged, Surroundings, WireFacts, allowed_drop_v, judge, size
from loomwise.sizing.size import Question
from loomwise.units import format_quantity, parse_quantity

__all__ = ["Asked", "Judged", "Wanted", "WireAnswer", "WireFacts", "wire"]


@dataclass(frozen=True)
class Wanted:
    """The question in words. Without ``size`` one is chosen."""

    current: str
    length: str
    supply: str = "12 V"
    drop: str = "3 %"
    bundle: int = 1
    temperature: str = "30 C"
    insulation: str = "100 C"
    size: str = ""
    fuse: str = ""
    awg: bool = False


@dataclass(frozen=True)
class Asked:
    """The question as it was understood."""

    current_a: float
    length_m: float
    supply_v: float
    drop_v: float
    bundle: int
    temperature_c: float
    insulation_c: float
    area_mm2: float | None
    fuse_a: float | None


@dataclass(frozen=True)
class WireAnswer:
    """A wire chosen, or the given one judged. Resistances are those of the warm conductor, the
    most that a good flexible copper cable has."""

    asked: Asked
    answer: Judged


def wire(wanted: Wanted) -> WireAnswer:
    """Choose a wire, or judge the given one.

    Raises
    ------
    QuantityError : a word that is no such quantity, or a value that makes no sense.
    """
    supply_v = _number("supply", wanted.supply, "V")
    drop_v = _named("drop", lambda: allowed_drop_v(wanted.drop, supply_v))
    around = Surroundings(
        _number("temperature", wanted.temperature, "C"), wanted.bundle,
        _number("insulation", wanted.insulation, "C"),
    )  # fmt: skip
    current_a, length_m = (
        _number("current", wanted.current, "A"), _number("length", wanted.length, "m")
    )  # fmt: skip
    q = Question(current_a, length_m, supply_v, drop_v, around)
    area = _number("size", wanted.size, "mm2") if wanted.size else None
    fuse_a = _number("fuse", wanted.fuse, "A") if wanted.fuse else None
    if fuse_a is not None and area is None:
        hint = "give the size of the wire too, such as 2.5 mm2"
        raise QuantityError("a fuse is judged with its wire", "fuse", hint)
    if fuse_a is not None and not fuse_a > 0:
        raise QuantityError(f"a fuse of {fuse_a:g} A", "fuse", "write a rating such as 15 A")
    answer = size(q, wanted.awg) if area is None else judge(q, _name(wanted.size), area, fuse_a)
    asked = Asked(
        current_a, length_m, supply_v, drop_v, around.bundle, around.temperature_c,
        around.insulation_c, area, fuse_a,
    )  # fmt: skip
    return WireAnswer(asked, answer)


def _number(where: str, text: str, unit: str) -> float:
    return _named(where, lambda: parse_quantity(text, unit))


def _named(where: str, read: Callable[[], float]) -> float:
    """A number, or an error that says which word it is about."""
    try:
        return read()
    except QuantityError as error:
        raise QuantityError(error.message, where, error.hint) from None


def _name(text: str) -> str:
    """A given size as it is called: gauges keep their number."""
    if "awg" in text.lower():
        return f"{text.lower().replace('awg', '').strip()} AWG"
    return format_quantity(parse_quantity(text, "mm2"), "mm2")
