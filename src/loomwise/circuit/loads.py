"""The loads of a circuit: what a person sees, hears or feels work."""

from collections.abc import Iterator
from dataclasses import replace

from loomwise.circuit.kinds.tables import load_kinds
from loomwise.circuit.model import FILAMENTS, Circuit, Part


def loads(circuit: Circuit) -> tuple[Part, ...]:
    """Every load, in file order; a lamp of two filaments is two, named by their pins (E1.1)."""
    return tuple(each for part in circuit.parts_of_kind(*load_kinds()) for each in _of(part))


def load_named(circuit: Circuit, name: str) -> Part | None:
    """The load of that name, if there is one."""
    part = circuit.parts.get(name.partition(".")[0])
    if part is None or part.kind not in load_kinds():
        return None
    return next((each for each in _of(part) if each.id == name), None)


def _of(part: Part) -> Iterator[Part]:
    if part.kind != "two-filament lamp":
        yield part
        return
    for pin, power in FILAMENTS.items():
        values = {**part.values, "power_w": part.values[power]}
        yield replace(part, id=f"{part.id}.{pin}", pins=(pin, "31"), values=values)
