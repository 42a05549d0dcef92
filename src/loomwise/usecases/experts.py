"""Circuits made ready, kept while the program runs."""

from loomwise.advice.expert import Expert, make_expert
from loomwise.circuit.model import Circuit

_READY: dict[str, Expert] = {}


def expert_for(circuit: Circuit) -> Expert:
    """The expert on a circuit; made when first asked for."""
    if circuit.digest not in _READY:
        _READY[circuit.digest] = make_expert(circuit)
    return _READY[circuit.digest]
