"""Bodies of parts with two pins, after IEC 60617: each between a lead above and a lead below.

A body is drawn about x = 0 from y = 0 to ``BODY`` downwards; the current enters at the top, except
for those that lie (``flipped``).
"""

from collections.abc import Callable, Iterator

from loomwise.drawing.shapes import INK, PAPER, Box, Disc, Line, Shape, Text

BODY = 34.0
MIDDLE = BODY / 2
HALF_WIDTH = 12.0

Body = Callable[[], Iterator[Shape]]


def _line(*points: tuple[float, float], width: float = 1.6) -> Line:
    return Line(points, width)


def _filled(*points: tuple[float, float]) -> Line:
    return Line((*points, points[0]), 1.6, INK, fill=INK)


def _fuse() -> Iterator[Shape]:
    yield Box(-6, 0, 12, BODY)
    yield _line((0, 0), (0, BODY))


def _blown_fuse() -> Iterator[Shape]:
    yield Box(-6, 0, 12, BODY)
    yield _line((0, 0), (0, 9), (-3, 13))
    yield _line((0, BODY), (0, BODY - 9), (3, BODY - 13))


def _link() -> Iterator[Shape]:
    yield from _fuse()
    yield Box(-6, 0, 12, 6, fill=INK)
    yield Box(-6, BODY - 6, 12, 6, fill=INK)


def _resistor() -> Iterator[Shape]:
    yield Box(-6, 0, 12, BODY)


def _heater() -> Iterator[Shape]:
    yield Box(-7, 0, 14, BODY)
    for y in (BODY * 0.25, BODY * 0.5, BODY * 0.75):
        yield _line((-7, y), (7, y))


def _sensor() -> Iterator[Shape]:
    yield Box(-6, 0, 12, BODY)
    yield _line((-12, BODY - 1), (-12, BODY - 8), (12, 5))


def _thermistor() -> Iterator[Shape]:
    yield from _sensor()
    yield Text(-9, 11, "ϑ", 9, "middle")


def _lamp() -> Iterator[Shape]:
    r, d = 12.0, 12.0 * 0.7071
    yield from _leads(r)
    yield Disc(0, MIDDLE, r)
    yield _line((-d, MIDDLE - d), (d, MIDDLE + d))
    yield _line((-d, MIDDLE + d), (d, MIDDLE - d))


def _motor() -> Iterator[Shape]:
    yield from _leads(13)
    yield Disc(0, MIDDLE, 13)
    yield Text(0, MIDDLE + 4.6, "M", 13, "middle")


def _leads(half: float) -> Iterator[Shape]:
    yield _line((0, 0), (0, MIDDLE - half))
    yield _line((0, MIDDLE + half), (0, BODY))


def _horn() -> Iterator[Shape]:
    yield from _leads(9)
    yield Box(-6, MIDDLE - 9, 9, 18)
    mouth = ((3, MIDDLE - 5), (12, MIDDLE - 11), (12, MIDDLE + 11), (3, MIDDLE + 5))
    yield _line(*mouth)


def _diode() -> Iterator[Shape]:
    yield from _leads(8)
    yield _line((-9, MIDDLE + 8), (9, MIDDLE + 8), width=2)
    yield Line(((-8, MIDDLE - 8), (8, MIDDLE - 8), (0, MIDDLE + 7), (-8, MIDDLE - 8)), fill=PAPER)


def _zener() -> Iterator[Shape]:
    yield from _diode()
    yield _line((-9, MIDDLE + 8), (-9, MIDDLE + 4))


def _led() -> Iterator[Shape]:
    yield from _diode()
    for y in (MIDDLE - 5, MIDDLE + 1):
        yield _line((7, y), (13, y - 5))
        yield _filled((13.5, y - 5.5), (10.5, y - 5.2), (12.5, y - 2.4))


def _solenoid() -> Iterator[Shape]:
    yield from _leads(9)
    yield Box(-11, MIDDLE - 9, 22, 18)
    yield _line((-11, MIDDLE + 9), (-3, MIDDLE - 9))


def _capacitor() -> Iterator[Shape]:
    yield from _leads(3)
    for y in (MIDDLE - 3, MIDDLE + 3):
        yield _line((-10, y), (10, y), width=2.2)


def _breaker() -> Iterator[Shape]:
    yield _line((0, 0), (0, 8))
    yield _line((-3, 5), (3, 11))
    yield _line((-3, 11), (3, 5))
    yield _line((-8, 9), (0, BODY - 7), (0, BODY))
    yield Box(4, MIDDLE - 2, 7, 7)


def _ptc() -> Iterator[Shape]:
    yield from _sensor()
    yield Text(-9, 11, "+", 9, "middle")


def _ladder() -> Iterator[Shape]:
    """A resistor with taps, and the arm that picks one."""
    yield Box(-6, 0, 12, BODY)
    for y in (8.0, 17.0, 26.0):
        yield Disc(-9, y, 1.6, fill=PAPER, line=1.1)
    yield _line((-12.5, 11), (-9, 17))


BODIES: dict[str, Body] = {
    **{"fuse": _fuse, "blown fuse": _blown_fuse, "fusible link": _link, "breaker": _breaker},
    **{"PTC": _ptc, "resistor": _resistor, "heater": _heater, "capacitor": _capacitor},
    **{"sensor": _sensor, "NTC": _thermistor, "ladder switch": _ladder},
    **{"diode": _diode, "zener": _zener, "LED": _led, "lamp": _lamp},
    **{"motor": _motor, "horn": _horn, "solenoid": _solenoid},
}
"""Body of a kind by its name in the kinds' table."""
