"""Bus pins of modules: CAN, low-speed fault-tolerant CAN and LIN by their levels.

A bus is in traffic unless a control says recessive or dominant. In traffic a slow meter shows
means: every driver is given the resistance at which the nominal load sees its share of the
dominant level. Exact at the nominal load; with one terminator missing the mean differential reads
0.2 V too far, within what live traffic makes a meter do anyway. All modules of a bus drive alike,
each by its share.
"""

from collections.abc import Callable, Iterator

from loomwise.circuit.model import BUS_STATES, Circuit, Part
from loomwise.solver.network import Branch, Device
from loomwise.solver.stamps.common import Stamped, count_with_role, junction, ohm

LOGIC_V = 5.0
CAN_DRIVER_OHM, CAN_LOAD_OHM = 45.0, 60.0
"""From 5 V through 45 ohm, 60 ohm, 45 ohm to 0 V: CAN_H 3.5 V, CAN_L 1.5 V dominant. Levels:
https://studylib.net/doc/18449396/emi-esd-protection-solutions-for-the-can-bus"""
CAN_BIAS_OHM = 25e3
"""Each line to 2.5 V inside every transceiver: from memory (15 to 40 kohm)."""
SLOW_DRIVER_OHM, SLOW_LOAD_OHM = 39.0, 100.0
"""ISO 11898-3: CAN_H 3.6 V and CAN_L 1.4 V dominant, the network's terminations in parallel about
100 ohm: from memory."""
LIN_DRIVER_OHM, LIN_LOAD_OHM, LIN_DIODE_V = 35.0, 1000.0, 0.6
"""Commander pull-up 1 kohm behind a diode: TI SLLA383A,
https://ti.com/document-viewer/lit/html/SLLA383A/GUID-563027C7-39B3-4A3E-B6FC-351F4956BED9 ;
driver dominant below a fifth of the supply: from memory."""
LIN_RECEIVER_OHM = 1e6
"""What a receiver draws, some microamps: engineering judgement."""
DOMINANT_SHARE = 0.25
"""Of the time on a busy bus: engineering judgement. [-]"""


def traffic_ohm(driver_ohm: float, load_ohm: float, share: float = DOMINANT_SHARE) -> float:
    """Resistance of a driver that gives the nominal load ``share`` of its dominant level. [Ω]"""
    return (driver_ohm + load_ohm) / share - load_ohm


def pairs(p: Part, high: str, low: str) -> Iterator[tuple[str, str]]:
    """The pins of each bus of two wires, in the order of the file."""
    highs = [name for name, pin in p.module_pins.items() if pin.role == high]
    lows = [name for name, pin in p.module_pins.items() if pin.role == low]
    yield from zip(highs, lows, strict=False)


def _rails(p: Part, bus: str, ground: str) -> Iterator[Branch]:
    """5 V and 0 V that are there only while the module is awake."""
    yield ohm(f"{p.id}.{bus} rail", f"{p.id}.{bus}#vcc", ground, 0.1, p.id, (1,), emf_v=LOGIC_V)
    yield ohm(f"{p.id}.{bus} return", f"{p.id}.{bus}#vee", ground, 0.1, p.id, (1,))


def _driver(
    name: str, a: str, b: str, bus: str, count: int, driver_ohm: float, load_ohm: float
) -> Iterator[Branch]:
    """One side of a transceiver; ``load_ohm`` is its share of the bus's load."""
    traffic = count * traffic_ohm(driver_ohm, load_ohm)
    yield ohm(f"{name}.traffic", a, b, traffic, bus, (0,))
    yield ohm(f"{name}.dominant", a, b, count * driver_ohm, bus, (2,))


def _bus(p: Part, pin: str) -> Device:
    name, control = f"{p.id}.{pin}.bus", p.module_pins[pin].set_by
    return Device(name, "switch", BUS_STATES, control=control)


def can(p: Part, circuit: Circuit, _: str, ground: str) -> Stamped:
    """ISO 11898-2: both lines biased to 2.5 V, dominant 3.5 and 1.5 V at 60 ohm."""
    count = count_with_role(circuit, "can-h")
    for high, low in pairs(p, "can-h", "can-l"):
        bus = _bus(p, high)
        yield bus
        yield from _rails(p, high, ground)
        places = f"{p.id}.{high}", f"{p.id}.{low}"
        for place, rail in zip(places, ("vcc", "vee"), strict=True):
            bias_v = LOGIC_V / 2.0
            yield ohm(f"{place}.bias", place, ground, CAN_BIAS_OHM, p.id, (1,), emf_v=bias_v)
            ends = place, f"{p.id}.{high}#{rail}"
            load = CAN_LOAD_OHM / 2.0
            yield from _driver(f"{place}.driver", *ends, bus.id, count, CAN_DRIVER_OHM, load)
        if p.module_pins[high].terminator_ohm:
            terminator = p.module_pins[high].terminator_ohm
            name = f"{p.id}.{high}.terminator"
            yield ohm(name, *places, terminator, scatter=name)


def slow_can(p: Part, circuit: Circuit, _: str, ground: str) -> Stamped:
    """ISO 11898-3: CAN_H rests at 0 V, CAN_L at 5 V, each through this module's termination."""
    count = count_with_role(circuit, "slow can-h")
    for high, low in pairs(p, "slow can-h", "slow can-l"):
        bus = _bus(p, high)
        yield bus
        yield from _rails(p, high, ground)
        yield from _rails(p, f"{high} rest", ground)  # apart, so that a dead module joins nothing
        for pin, rest, far in ((high, "vee", "vcc"), (low, "vcc", "vee")):
            place, own = f"{p.id}.{pin}", p.module_pins[high].terminator_ohm
            rails = f"{p.id}.{high} rest#{rest}", f"{p.id}.{high}#{far}"
            name = f"{place}.terminator"
            yield ohm(name, place, rails[0], own or count * SLOW_LOAD_OHM, scatter=name)
            yield from _driver(
                f"{place}.driver", place, rails[1], bus.id, count, SLOW_DRIVER_OHM, SLOW_LOAD_OHM
            )


def lin(p: Part, circuit: Circuit, supply: str, ground: str) -> Stamped:
    """Pulled up to the supply behind a diode by commander and responders; drivers pull it down."""
    count = count_with_role(circuit, "lin")
    for name, pin in p.module_pins.items():
        if pin.role == "lin":
            place, bus, inner = f"{p.id}.{name}", _bus(p, name), f"{p.id}.{name}#diode"
            yield bus
            yield from junction(f"{place}.diode", supply, inner, LIN_DIODE_V, 10.0)
            yield ohm(f"{place}.receiver", place, ground, LIN_RECEIVER_OHM)
            yield ohm(f"{place}.pull", inner, place, pin.ohm, scatter=place)
            yield ohm(f"{place}#return", f"{place}#vee", ground, 0.1, p.id, (1,))
            ends = place, f"{place}#vee"
            yield from _driver(
                f"{place}.driver", *ends, bus.id, count, LIN_DRIVER_OHM, LIN_LOAD_OHM
            )


BUS_STAMPS: dict[str, Callable[[Part, Circuit, str, str], Stamped]] = {
    "can-h": can, "slow can-h": slow_can, "lin": lin,
}  # fmt: skip
