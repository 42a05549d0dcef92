"""What a healthy circuit does in many setups, for the tests of generated circuits."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from loomwise.circuit.model import Circuit
from loomwise.setups.setup import unruled_outputs
from loomwise.solver.engines import Direct
from loomwise.solver.operate import Plant, operate
from loomwise.solver.result import behaviour, loads, start_state
from loomwise.solver.rows import prepared

States = Mapping[str, str]


@dataclass(frozen=True)
class Seen:
    """What each load does, the fuses that blew and what chatters."""

    loads: dict[str, str]
    blown: tuple[str, ...]
    chatter: bool


def rest_of(circuit: Circuit) -> dict[str, str]:
    """Every control at rest, every output without a rule off."""
    rest = {name: control.rest for name, control in circuit.controls.items()}
    return rest | dict.fromkeys(unruled_outputs(circuit), "off")


def moves_of(circuit: Circuit) -> dict[str, tuple[str, ...]]:
    """For each control and each output without a rule, its states other than the rest."""
    found = {
        name: tuple(s for s in control.states if s != control.rest)
        for name, control in circuit.controls.items()
    }
    return found | {name: ("on",) for name in unruled_outputs(circuit)}


def everything_on(circuit: Circuit) -> dict[str, str]:
    """Every control in its last state: the heaviest load there is."""
    return rest_of(circuit) | {name: states[-1] for name, states in moves_of(circuit).items()}


def telling_setups(circuit: Circuit) -> Iterator[States]:
    """Rest and all on; one control moved from rest, with the key off, on, and on with all come
    about that does so by itself (a flasher lit, an engine hot); from all on, one control back. One
    of them shows each control's effect, since rules only ask for what is on."""
    rest, full, moves = rest_of(circuit), everything_on(circuit), moves_of(circuit)
    live = rest | ({"key": "run"} if "key" in rest else {})
    come = {c.name: moves[c.name][-1] for c in circuit.controls.values() if c.nobody}
    yield from (rest, live, live | come, full)
    for name, states in moves.items():
        yield from (s | {name: state} for s in (rest, live, live | come) for state in states)
        yield full | {name: rest[name]}


def look(circuit: Circuit, plant: Plant, states: States) -> Seen:
    """The healthy circuit in one setup."""
    net, rows = prepared(plant.net, start_state(plant.net, states), [()])
    at = operate(Plant(net, plant.brains), rows, Direct())
    v, x = at.v[0], net.drop(at.v)[0]
    fuses = [(d, device.id) for d, device in enumerate(net.devices) if device.kind == "fuse"]
    return Seen(
        {p.id: behaviour(net, p, v, x, 1.0, circuit) for p in loads(circuit)},
        tuple(name for d, name in fuses if at.state[0, d] or at.moving[0, d]),
        bool(at.chatter[0]),
    )
