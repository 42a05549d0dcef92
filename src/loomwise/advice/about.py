"""A large circuit is reasoned about as far as what was seen and measured concerns it."""

from collections.abc import Iterable, Iterator, Sequence

from loomwise.circuit.model import Circuit
from loomwise.edits import Bridge, BridgeLamp, Edit
from loomwise.evidence import Evidence, Sign
from loomwise.faults import Fault
from loomwise.solver.network import Network
from loomwise.ways import Concern, concern

LARGE = 60
"""Parts from which on a circuit counts as large: up to here all of it is reasoned about."""


def about(circuit: Circuit, evidence: Sequence[Evidence]) -> Concern | None:
    """What this evidence concerns; None: everything, as the circuit is not large."""
    if len(circuit.parts) < LARGE:
        return None
    parts, places = set[str](), set[str]()
    for name in _named(circuit, evidence):
        if name in circuit.places:
            places.add(name)
        else:
            parts.add(name)
    return concern(circuit, sorted(parts), sorted(places))


def _named(circuit: Circuit, evidence: Sequence[Evidence]) -> Iterator[str]:
    """Parts and places that the evidence speaks of. A load with two filaments is one part."""
    for e in evidence:
        for name in (e.what,) if isinstance(e, Sign) else (e.red, e.black):
            if name in circuit.segments:
                yield from (circuit.segments[name].a, circuit.segments[name].b)
            elif isinstance(e, Sign) and name.partition(".")[0] in circuit.parts:
                yield name.partition(".")[0]
            elif name in circuit.places or name in circuit.parts:
                yield name


def touching(net: Network, faults: Iterable[Fault], concerned: Concern | None) -> list[Fault]:
    """The faults that change something concerned."""
    if concerned is None:
        return list(faults)
    return [f for f in faults if any(n in concerned for e in f.edits for n in _names(net, e))]


def _names(net: Network, edit: Edit) -> Iterator[str]:
    """Places that an edit changes the conductors of, and the part of a device."""
    if isinstance(edit, Bridge | BridgeLamp):
        yield from (edit.a, edit.b)
    elif (branch := getattr(edit, "branch", None)) is not None:
        yield from _ends(net, net.branch_index[branch])
    elif (device := getattr(edit, "device", None)) is not None:
        yield from (device, device.partition(".")[0])


def _ends(net: Network, branch: int) -> Iterator[str]:
    """The places a branch lies between; a node inside a part stands for the part."""
    for node, coef in zip(net.ends[branch].tolist(), net.coefs[branch].tolist(), strict=True):
        if coef and node < net.n:
            name, inside, _ = net.nodes[node].partition("#")
            yield name.partition(".")[0] if inside else name
