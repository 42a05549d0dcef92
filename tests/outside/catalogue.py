"""All checks against the outside, by topic."""

from collections.abc import Callable, Iterator
from functools import cache

from tests.outside import (
    circuits,
    fuses,
    lamps,
    meters,
    motors,
    names,
    networks,
    orders,
    relays,
    trade,
    wires,
)
from tests.outside.check import Check

TOPICS: dict[str, Callable[[], Iterator[Check]]] = {
    "Wires": wires.checks,
    "Fuses, battery and supply": fuses.checks,
    "Relays": relays.checks,
    "Motors": motors.checks,
    "Lamps": lamps.checks,
    "Meters": meters.checks,
    "Buses and sensors": networks.checks,
    "Names of wires, terminals and contacts": names.checks,
    "Trade facts": trade.checks,
    "Diagnosis and order of tests": orders.checks,
    "Circuits of textbooks": circuits.checks,
}


@cache
def catalogue() -> tuple[tuple[str, Check], ...]:
    """Every check with its topic."""
    return tuple((topic, check) for topic, checks in TOPICS.items() for check in checks())
