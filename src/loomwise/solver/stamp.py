"""The arrays of a whole circuit: its parts by the stamps of their kinds, and its conductors."""

from loomwise.circuit.model import BODY, Circuit
from loomwise.solver.network import Branch, Device, Network, assemble
from loomwise.solver.stamps import STAMPS
from loomwise.solver.stamps.common import CONDUCTORS, ohm
from loomwise.solver.stamps.modules import module_pin

__all__ = ["compile_circuit", "module_pin"]


def compile_circuit(circuit: Circuit) -> Network:
    """The arrays of the whole circuit as drawn, nothing undone."""
    stamped: list[Branch | Device] = []
    for part in circuit.parts.values():
        stamped.extend(STAMPS[part.kind](part, circuit))
    for seg in circuit.segments.values():
        stamped.append(ohm(seg.id, seg.a, seg.b, seg.resistance_ohm, scatter=CONDUCTORS))
    branches = tuple(s for s in stamped if isinstance(s, Branch))
    devices = tuple(s for s in stamped if isinstance(s, Device))
    inner = (node for b in branches for node, _ in b.terms if node != BODY)
    nodes = tuple(dict.fromkeys([*circuit.places, *inner]))
    return assemble(nodes, branches, devices)
