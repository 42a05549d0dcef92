"""What is left alone: airbags and belt tensioners are not probed at all; ignition, injectors and
xenon lamps carry dangerous voltage. Common practice, no source; the maker and licensed practice
decide."""

from loomwise.circuit.model import Circuit

REASONS = {
    "airbag": "airbags and belt tensioners are for licensed people only",
    "ignition": "ignition carries dangerous voltage",
    "injector": "injectors carry dangerous voltage",
    "xenon": "xenon lamps carry dangerous voltage",
    "high voltage": "above 60 V DC is out of scope here",
}
"""The words a unit may be marked with, and why nobody measures there."""


def left_alone(circuit: Circuit, name: str) -> str:
    """Why a part, plug, wire or place is left alone; empty if it is not."""
    if name in circuit.segments and circuit.segments[name].kind == "wire":
        segment = circuit.segments[name]
        return left_alone(circuit, segment.a) or left_alone(circuit, segment.b)
    owner = name.partition(".")[0]
    if owner in circuit.parts:
        units = [circuit.parts[owner].unit]
    else:
        units = list(circuit.connectors[owner].halves) if owner in circuit.connectors else []
    marks = [circuit.units[u].leave_alone for u in units if u in circuit.units]
    return next((REASONS[m] for m in marks if m), "")
