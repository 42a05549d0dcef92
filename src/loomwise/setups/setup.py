"""The setup itself: frozen, complete, with one canonical form."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches

from loomwise.circuit.model import OUTPUTS, Circuit
from loomwise.errors import SetupError
from loomwise.logic import Rule, free_outputs, parse_rule


@dataclass(frozen=True, order=True)
class Undoing:
    """One thing undone or added. ``what``: out, apart, off, new, swapped, cut or unplugged;
    jumper or lamp (with ``places``)."""

    what: str
    target: str
    places: tuple[str, ...] = ()

    def __str__(self) -> str:
        if self.places:
            return f"{self.what} {self.places[0]} to {self.places[1]}"
        return f"{self.target} {self.what}"


@dataclass(frozen=True, order=True)
class Setup:
    """Every control's state, what is undone, and the control states gone through before.

    ``settled`` gives the state of module outputs whose logic is unknown, where it is known
    (commanded by scan tool, or read from live data). ``held`` is of use to the reasoning alone:
    every relay that can hold itself in has been pulled before, whatever did it.
    """

    controls: tuple[tuple[str, str], ...]
    undone: tuple[Undoing, ...] = ()
    settled: tuple[tuple[str, str], ...] = ()
    after: tuple[tuple[tuple[str, str], ...], ...] = ()
    held: bool = False

    def state_of(self, control: str) -> str:
        """The state of a control, or of an output settled by command."""
        return dict(self.controls + self.settled).get(control, "")

    def with_undone(self, *more: Undoing) -> "Setup":
        """The same controls with more undone."""
        return replace(self, undone=tuple(sorted({*self.undone, *more})))

    @property
    def before(self) -> "Setup":
        """The last setup gone through before this one; what is undone was so then too."""
        return replace(self, controls=self.after[-1], after=self.after[:-1])

    def asked(self, rest: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
        """The controls that are not at rest."""
        return tuple((c, s) for c, s in self.controls if rest.get(c) != s)

    def __str__(self) -> str:
        words = [f"{c} {s}" for c, s in self.controls + self.settled]
        words += [str(u) for u in self.undone]
        before = " then ".join(", ".join(f"{c} {s}" for c, s in step) for step in self.after)
        return ", ".join(words) + (f" (after {before})" if before else "")


def make_setup(
    circuit: Circuit,
    controls: Mapping[str, str] | None = None,
    undone: Iterable[Undoing] = (),
    after: Iterable[Mapping[str, str]] = (),
) -> Setup:
    """A complete setup: controls not named stand at rest.

    Raises
    ------
    SetupError : a control or state the circuit does not have.
    """
    full, settled = _complete(circuit, controls or {})
    steps = tuple(_complete(circuit, step)[0] for step in after)
    return Setup(full, tuple(sorted(set(undone))), settled, steps)


Pairs = tuple[tuple[str, str], ...]


def _complete(circuit: Circuit, controls: Mapping[str, str]) -> tuple[Pairs, Pairs]:
    outputs = output_names(circuit)
    for name, state in controls.items():
        known = circuit.controls[name].states if name in circuit.controls else ("off", "on")
        if name not in circuit.controls and name not in outputs:
            _refuse("control", name, [*circuit.controls, *outputs])
        if state not in known:
            _refuse(f"state of {name}", state, known)
    full = tuple((c.name, controls.get(c.name, c.rest)) for c in circuit.controls.values())
    return full, tuple(sorted((n, s) for n, s in controls.items() if n in outputs))


def output_names(circuit: Circuit) -> tuple[str, ...]:
    """All module outputs, as ``MODULE.PIN``."""
    return tuple(
        f"{part.id}.{name}"
        for part in circuit.parts_of_kind("module")
        for name, pin in part.module_pins.items()
        if pin.role in OUTPUTS
    )


def unruled_outputs(circuit: Circuit) -> tuple[str, ...]:
    """Outputs whose logic nobody has given, as ``MODULE.PIN``: they may be on or off."""
    rules = {part.id: list[Rule]() for part in circuit.parts_of_kind("module")}
    for line in circuit.logic:
        rules[line.module].append(parse_rule(line.text))
    return tuple(
        name
        for name in output_names(circuit)
        if free_outputs(rules[name.partition(".")[0]], [name.partition(".")[2]])
    )


def _refuse(what: str, name: str, known: Iterable[str]) -> None:
    have = list(known)
    near = get_close_matches(name, have, 1)
    hint = f"did you mean {near[0]}?" if near else f"there is {', '.join(have) or 'none'}"
    raise SetupError(f"no {what} {name}", "setup", hint)
