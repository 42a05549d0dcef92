"""What the stamps share: straight branches, junctions, ideal ratios, control states."""

from collections.abc import Iterator

from loomwise.circuit.model import Circuit, Part
from loomwise.solver.network import Branch, Device

CONDUCTORS = "conductors"
DIODE_OFF_S = 1e-8

Stamped = Iterator[Branch | Device]


def ohm(
    name: str, a: str, b: str, ohms: float, device: str = "", states: tuple[int, ...] = (),
    scatter: str = "", emf_v: float = 0.0, off_s: float = 1e-12,
) -> Branch:  # fmt: skip
    """A resistance from ``a`` to ``b``, with an EMF that lifts ``a``; see ``Branch``."""
    return Branch(
        name, ((a, 1.0), (b, -1.0)), 1.0 / ohms, emf_v,
        device=device, states=states, off_s=off_s, scatter=scatter,
    )  # fmt: skip


def junction(
    name: str, anode: str, cathode: str, forward_v: float, on_ohm: float, back_a: float = 0.0
) -> Stamped:
    """A diode of two straight pieces, which blocks once ``back_a`` flows backwards."""
    yield Device(name, "diode", ("blocking", "conducting"), (name,), (forward_v, back_a))
    yield ohm(name, anode, cathode, on_ohm, name, (1,), emf_v=forward_v, off_s=DIODE_OFF_S)


def ratio(
    name: str, out: str, high: str, low: str, share: float, ohms: float,
    device: str = "", states: tuple[int, ...] = (), off_s: float = 1e-12,
) -> Branch:  # fmt: skip
    """An ideal DC transformer: ``out`` at ``share`` of the way from ``low`` to ``high``.

    What flows out is drawn at ``high`` and ``low`` by the same shares, so that power is kept.
    """
    terms = ((out, 1.0), (high, -share), (low, share - 1.0))
    return Branch(name, terms, 1.0 / ohms, device=device, states=states, off_s=off_s, scatter=name)


def control_switch(p: Part, name: str) -> tuple[Device, tuple[int, ...]]:
    """A device that stands where the part's control does, and its states in which ``while``
    holds."""
    device = Device(name, "switch", tuple(p.active), control=p.control)
    return device, tuple(i for i, on in enumerate(p.active.values()) if on)


def resistance(p: Part, ohms: float) -> Stamped:
    """A part that is one resistance between its two pins."""
    name, (a, b) = f"{p.id}.element", p.pins
    yield ohm(name, f"{p.id}.{a}", f"{p.id}.{b}", ohms, scatter=name)


def count_with_role(circuit: Circuit, role: str) -> int:
    """How many modules have a pin of this role."""
    modules = circuit.parts_of_kind("module")
    return sum(any(pin.role == role for pin in m.module_pins.values()) for m in modules)
