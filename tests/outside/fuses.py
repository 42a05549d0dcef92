"""Fuses: how long they last, what drops across them, and the battery they hang on."""

from collections.abc import Iterator
from functools import partial

from loomwise.circuit.fuse_curve import (
    cold_resistance_ohm,
    hot_resistance_ohm,
    opening_time_limit_s,
)
from loomwise.circuit.kinds.tables import kinds
from loomwise.sizing.fuse import smallest_fuse_a
from loomwise.standing_draw import current_of_drop
from tests.contract.examples import example
from tests.outside import sources as s
from tests.outside.check import (
    COMPUTED,
    PRACTICE,
    REMEMBERED,
    Check,
    about,
    between,
    digits,
    share,
)
from tests.solver.bench import solve

OVERLOADS = [(1.35, 1800), (2, 5), (3.5, 0.5), (6, 0.1)]
DROPS = [  # type, A, mV, mA
    ("regular", 10, 1.0, 130, s.MVW_FUSES),
    ("mini", 15, 0.1, 22, s.MACS),
    ("mini", 15, 1.0, 218, s.MACS),
]
RATINGS_A = (1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30)


def checks() -> Iterator[Check]:
    """Every check of this topic."""
    for multiple, seconds in OVERLOADS:
        yield Check(
            f"longest time at {multiple:g} times the rating",
            "s",
            partial(opening_time_limit_s, multiple),  # type: ignore[arg-type]
            share(seconds, 1e-6, "taken from the sheet"),
            s.RELAY_F4,
        )
    yield Check(
        "10 A fuse, cold",
        "mohm",
        lambda: 1000 * cold_resistance_ohm(10),
        share(1 / 0.130, 5e-3, "three printed digits"),
        s.MVW_FUSES,
    )
    for kind, rating, millivolts, milliamps, source in DROPS:
        yield Check(
            f"{millivolts:g} mV over a {kind} {rating} A fuse",
            "mA",
            partial(_milliamps, kind, rating, millivolts),
            share(milliamps, 0.01, "two or three printed digits"),
            source,
        )
    yield Check(
        "109 mV over a regular 10 A fuse",
        "A",
        lambda: _milliamps("regular", 10, 109) / 1000,
        share(10, 0.01, "three digits"),
        REMEMBERED,
    )
    for rating_a in RATINGS_A:
        yield Check(
            f"{rating_a:g} A fuse at its rated current drops",
            "mV",
            partial(_drop_mv, rating_a),
            between(80, 180),
            REMEMBERED,
        )
        yield Check(
            f"{rating_a:g} A fuse, hot over cold",
            "-",
            partial(_hot_share, rating_a),
            between(1.3, 1.5),
            REMEMBERED,
        )
    yield Check(
        "smallest fuse for 7.5 A for good",
        "A",
        lambda: smallest_fuse_a(7.5) or 0.0,
        about(10, 0, "70 to 80 % of the rating"),
        PRACTICE,
    )
    yield from _battery()


def _milliamps(kind: str, rating_a: float, millivolts: float) -> float:
    return 1000 * current_of_drop(kind, rating_a, millivolts / 1000).current_a


def _drop_mv(rating_a: float) -> float:
    return 1000 * hot_resistance_ohm(rating_a) * rating_a


def _hot_share(rating_a: float) -> float:
    return hot_resistance_ohm(rating_a) / cold_resistance_ohm(rating_a)


def _battery() -> Iterator[Check]:
    emf = kinds()["battery"].value("emf_v")
    assert emf is not None
    yield Check(
        "full battery of 12 V at rest",
        "V",
        lambda: emf.default_for(12.0) or 0.0,
        digits("12.65"),
        s.BCI,
        "flooded, 26.7 °C",
    )
    yield Check(
        "full battery of 24 V at rest",
        "V",
        lambda: emf.default_for(24.0) or 0.0,
        digits("25.3"),
        s.BCI,
        "twice 12.65 V",
        mark=COMPUTED,
    )
    yield Check("posts with the engine running", "V", _charging_v, between(13.5, 14.8), PRACTICE)


def _charging_v() -> float:
    point = solve(example("starting and charging"), "engine=running")[0]
    return point.voltages_v["BAT.+"] - point.voltages_v["BAT.-"]
