"""Names: wire colours, terminals, trailer sockets."""

from collections.abc import Iterator
from functools import partial

from loomwise.circuit.kinds.tables import kinds, sockets
from loomwise.circuit.wireline import COLOURS
from loomwise.drawing.colours import NAMES
from tests.outside import sources as s
from tests.outside.check import REMEMBERED, Check, Source

COLOUR_LIST = {
    **{"BK": "black", "BN": "brown", "RD": "red", "OG": "orange", "YE": "yellow"},
    **{"GN": "green", "BU": "blue", "VT": "violet", "GY": "grey", "WH": "white"},
    **{"PK": "pink", "GD": "gold", "TQ": "turquoise", "SR": "silver"},
}
TERMINALS: list[tuple[str, str, str, Source]] = [  # terminal, what DIN 72552 has it for, our kind
    ("B+", "battery plus at the generator", "charging source", s.DIN_K),
    ("B-", "battery minus at the generator", "charging source", s.DIN_K),
    ("D+", "charge lamp at the generator", "charging source", s.DIN_K),
    ("49", "flasher input", "flasher", s.DIN_K),
    ("49a", "flasher output", "flasher", s.DIN_K),
    ("50", "starter control", "starter solenoid", s.DIN_K),
    ("30", "battery plus, direct", "starter solenoid", s.DIN_K),
    ("45", "starter relay output", "starter solenoid", s.DIN_I),
    ("31", "ground, direct", "two-speed motor", s.DIN_K),
    ("53", "wiper motor, plus in", "two-speed motor", s.DIN_K),
    ("53i", "wiper motor with third brush, high speed", "two-speed motor", s.DIN_K),
    ("53a", "wiper plus by the park switch", "park switch", s.DIN_K),
    ("53e", "wiper brake winding", "park switch", s.DIN_K),
    ("85", "relay coil, ground end", "relay", s.DIN_K),
    ("86", "relay coil, plus end", "relay", s.DIN_K),
    ("30", "common contact of an ISO relay", "relay", s.MICRO_RELAY),
    ("87", "make contact of an ISO relay", "relay", s.MICRO_RELAY),
    ("87a", "break contact of an ISO relay", "relay", s.MICRO_RELAY),
]
PINS: list[tuple[str, str, str, Source]] = [
    ("ISO 11446", "1", "left turn", s.SOCKETS_13),
    ("ISO 11446", "4", "right turn", s.SOCKETS_13),
    ("ISO 11446", "6", "stop lamps", s.SOCKETS_13),
    ("ISO 11446", "8", "reversing lamp", s.SOCKETS_13),
    ("ISO 11446", "9", "permanent feed", s.SOCKETS_13),
    ("ISO 11446", "13", "ground of 9", s.SOCKETS_13),
    ("ISO 12098", "4", "ground", s.SOCKETS_15),
    ("ISO 12098", "7", "stop lamps", s.SOCKETS_15),
    ("ISO 12098", "14", "CAN_H", s.SOCKETS_15),
    ("ISO 12098", "15", "CAN_L", s.SOCKETS_15),
    ("ISO 1724", "3", "ground", REMEMBERED),
    ("ISO 1185", "1", "ground", REMEMBERED),
]


def checks() -> Iterator[Check]:
    """Every check of this topic."""
    for code, colour in COLOUR_LIST.items():
        yield Check(f"wire colour {code}", "", partial(_colour, code), colour, s.COLOURS)
    for terminal, use, kind, source in TERMINALS:
        yield Check(
            f"terminal {terminal}, {use}", "", partial(_pin_of, kind, terminal), kind, source
        )
    for standard, pin, use, source in PINS:
        yield Check(f"{standard}, contact {pin}", "", partial(_use, standard, pin), use, source)


def _colour(code: str) -> str:
    return NAMES[code] if code in COLOURS else "not read"


def _pin_of(kind: str, terminal: str) -> str:
    """The kind, if it has a pin of that name."""
    return kind if terminal in kinds()[kind].pins else "no such pin"


def _use(standard: str, pin: str) -> str:
    return next(p.function for p in sockets()[standard] if p.pin == pin)
