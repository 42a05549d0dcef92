"""What the modules of a circuit decide, for many rows at once."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomwise.circuit.model import BODY, Circuit, ModulePin, Part
from loomwise.logic import Rule, output_on, parse_rule, rule_order
from loomwise.solver.network import Floats, Network

Holds = NDArray[np.bool_]


@dataclass(frozen=True)
class Brain:
    """One module's logic: its rules in an order in which every output read comes first."""

    part: Part
    rules: tuple[Rule, ...]
    outputs: tuple[str, ...]
    ground: str

    def sensed(self, net: Network, v: Floats) -> dict[str, NDArray[np.int64]]:
        """Band number of every input that has bands (f,)."""
        low = v[:, net.node_index[self.ground]]
        return {
            name: band(pin, v[:, net.node_index[f"{self.part.id}.{name}"]] - low)
            for name, pin in self.part.module_pins.items()
            if pin.role == "input" and pin.bands
        }

    def decide(self, net: Network, v: Floats) -> dict[str, Holds]:
        """Wanted state (f,) of every output that has a rule."""
        bands, wanted = self.sensed(net, v), dict[str, Holds]()

        def holds(name: str, value: str) -> Holds:
            if name in wanted:
                return np.asarray(wanted[name] == (value == "on"))
            names = [b.name for b in self.part.module_pins[name].bands]
            return np.asarray(bands[name] == names.index(value))

        for output in self.outputs:
            wanted[output] = np.broadcast_to(output_on(self.rules, output, holds), (len(v),))
        return wanted


def band(pin: ModulePin, volts: Floats) -> NDArray[np.int64]:
    """Number of the band a voltage lies in."""
    edges = np.array([b.below_v for b in pin.bands[:-1]])
    return np.asarray(np.searchsorted(edges, volts, side="right"))


def brains(circuit: Circuit) -> tuple[Brain, ...]:
    """The logic of every module that has any."""
    found = []
    for part in circuit.parts_of_kind("module"):
        rules = tuple(parse_rule(r.text) for r in circuit.logic if r.module == part.id)
        ground = next((n for n, p in part.module_pins.items() if p.role == "ground"), "")
        outputs = tuple(rule_order(rules))
        found.append(Brain(part, rules, outputs, f"{part.id}.{ground}" if ground else BODY))
    return tuple(found)


def decisions(all_brains: tuple[Brain, ...], net: Network, v: Floats) -> dict[str, Holds]:
    """Wanted state of every ruled output, keyed ``MODULE.PIN``."""
    return {
        f"{brain.part.id}.{name}": on
        for brain in all_brains
        for name, on in brain.decide(net, v).items()
    }
