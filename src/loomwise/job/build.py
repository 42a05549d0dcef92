"""Signs and readings from their entries, each checked against the circuit."""

from collections.abc import Mapping
from dataclasses import dataclass

from loomwise.circuit.document import Document, Path
from loomwise.circuit.explain import nearest
from loomwise.circuit.model import Circuit
from loomwise.errors import EvidenceError, InputError, QuantityError
from loomwise.evidence import Evidence, Reading, Sign, checked_reading, checked_sign
from loomwise.evidence.items import (
    AT_HAND,
    OPEN_OHM,
    TWO_TIPS,
    UNITS,
    check_ohmmeter,
    sign_words,
)
from loomwise.job.record import Ending
from loomwise.job.schema import (
    Controls,
    EndingEntry,
    ItemEntry,
    JobEntry,
    ReadingEntry,
    SetupEntry,
    SignEntry,
)
from loomwise.setups import Setup, Undoing, make_setup, parse_undoing
from loomwise.setups.words import parse_controls
from loomwise.units import parse_quantity

OPEN_WORDS = ("ol", "open")
NOT_WORDS = ("nan", "inf", "infinity")


@dataclass
class Builder:
    """Builds the evidence of one job and notes what is wrong at its line."""

    document: Document
    circuit: Circuit
    setups: Mapping[str, Controls]

    def items(self, entry: JobEntry) -> list[tuple[Evidence, str]]:
        """All items in the order of the file, each with the reason it was withdrawn, or none."""
        for name, controls in self.setups.items():
            self._setup(SetupEntry.model_validate({"setup": controls}), ("setups", name))
        found: list[tuple[Evidence, str]] = []
        for k, sign in enumerate(entry.signs):
            if isinstance(sign, SignEntry):
                item: Evidence | None = self._sign(sign, sign.id or f"S{k + 1}", ("signs", k))
                self._enter(found, item, sign, ("signs", k))
        for k, reading in enumerate(entry.readings):
            if isinstance(reading, ReadingEntry):
                item = self._reading(reading, reading.id or f"R{k + 1}", ("readings", k))
                self._enter(found, item, reading, ("readings", k))
        return found

    def _enter(
        self, found: list[tuple[Evidence, str]], item: Evidence | None, entry: ItemEntry, path: Path
    ) -> None:
        if item is None:
            return
        if item.id in {other.id for other, _ in found}:
            what = f"a second entry is called {item.id}"
            self.document.add((*path, "id"), what, "give it an id of its own")
        found.append((item, entry.withdrawn or ""))

    def here(self, entry: str | SetupEntry) -> Setup:
        """How the vehicle stands; at rest if that cannot be understood."""
        if not isinstance(entry, SetupEntry):
            entry = SetupEntry.model_validate({"setup": entry})
        return self._setup(entry, ("here",)) or make_setup(self.circuit)

    def opened(self, names: list[str]) -> frozenset[str]:
        """Parts and connectors laid open."""
        known = [*self.circuit.parts, *self.circuit.connectors]
        for k, name in enumerate(names):
            if name not in known:
                hint = nearest(name, known, "parts and connectors")
                self.document.add(("opened", k), f"there is no {name[:40]}", hint)
        return frozenset(names)

    def cannot(self, names: list[str]) -> frozenset[str]:
        """What cannot or will not be used in a test."""
        known = [*AT_HAND, *self.circuit.parts, *self.circuit.connectors, *self.circuit.places]
        for k, name in enumerate(names):
            if name not in known:
                hint = nearest(name, known, "instruments, parts, connectors and places")
                self.document.add(("cannot", k), f"there is no {name[:40]}", hint)
        return frozenset(names)

    def ending(self, entry: EndingEntry | None) -> Ending | None:
        """How it ended."""
        if entry is None:
            return None
        units = self._units(entry.units, ("ending", "units"))
        return Ending(entry.verdict, units, entry.found)

    def _units(self, names: list[str], path: Path) -> tuple[str, ...]:
        for k, name in enumerate(names):
            if name not in self.circuit.units:
                hint = nearest(name, list(self.circuit.units), "units")
                self.document.add((*path, k), f"there is no unit {name[:40]}", hint)
        return tuple(sorted(set(names)))

    def _setup(self, entry: SetupEntry, path: Path) -> Setup | None:
        controls = self._controls(entry.setup, (*path, "setup"))
        steps = [self._controls(s, (*path, "after", k)) for k, s in enumerate(entry.after)]
        undone = [self._undoing(u, (*path, "undone", k)) for k, u in enumerate(entry.undone)]
        if controls is None:
            return None
        try:
            return make_setup(
                self.circuit, controls, [u for u in undone if u], [s for s in steps if s]
            )
        except InputError as error:
            self.document.add((*path, "setup"), error.message, error.hint)
            return None

    def _controls(self, words: Controls, path: Path) -> Mapping[str, str] | None:
        if isinstance(words, Mapping):
            return words
        name, _, more = words.partition(",")
        named = self.setups.get(name.strip())
        try:
            if named is None:
                return parse_controls(words)
            first = named if isinstance(named, Mapping) else parse_controls(named)
            return {**first, **parse_controls(more)}
        except InputError as error:
            names = f", or a name from 'setups': {', '.join(self.setups)}" if self.setups else ""
            self.document.add(path, error.message, f"{error.hint}{names}")
            return None

    def _undoing(self, words: str, path: Path) -> Undoing | None:
        try:
            return parse_undoing(self.circuit, words)
        except InputError as error:
            self.document.add(path, error.message, error.hint)
            return None

    def _sign(self, entry: SignEntry, name: str, path: Path) -> Sign | None:
        setup = self._setup(entry, path)
        sign = Sign(name, setup or make_setup(self.circuit), entry.what, entry.seen,
                    entry.complaint, entry.condition,
                    self._units(entry.repaired, (*path, "repaired")))  # fmt: skip
        try:
            return checked_sign(self.circuit, sign, sign_words(self.circuit, entry.what))
        except EvidenceError as error:
            key = "seen" if sign_words(self.circuit, entry.what) else "what"
            self.document.add((*path, key), error.message, error.hint)
            return None

    def _reading(self, entry: ReadingEntry, name: str, path: Path) -> Reading | None:
        setup = self._setup(entry, path)
        understood = self._value(entry, path)
        if understood is None:
            return None
        value, word = understood
        black = entry.black or (self._minus() if entry.instrument in TWO_TIPS else "")
        reading = Reading(
            name, setup or make_setup(self.circuit), entry.instrument, entry.red, black, value,
            word, entry.method, entry.complaint, entry.condition,
            self._units(entry.repaired, (*path, "repaired")),
        )  # fmt: skip
        try:
            return self._checked(reading, setup)
        except EvidenceError as error:
            self.document.add((*path, _key_of(reading, error)), error.message, error.hint)
            return None

    def _checked(self, reading: Reading, setup: Setup | None) -> Reading:
        if setup is not None and reading.instrument == "ohmmeter":
            check_ohmmeter(self.circuit, setup, reading.red, reading.black, reading.id)
        return checked_reading(self.circuit, reading)

    def _minus(self) -> str:
        return next(f"{p.id}.-" for p in self.circuit.parts_of_kind("battery"))

    def _value(self, entry: ReadingEntry, path: Path) -> tuple[float | None, str] | None:
        unit, plain = UNITS.get(entry.instrument), entry.value.replace(" ", "")
        if entry.instrument == "ohmmeter" and plain.lower() in OPEN_WORDS:
            return OPEN_OHM, ""
        if unit is None or (plain.isalpha() and plain.lower() not in NOT_WORDS):
            return None, entry.value
        try:
            return parse_quantity(entry.value, unit), ""
        except QuantityError as error:
            self.document.add((*path, "value"), error.message, error.hint)
            return None


def _key_of(reading: Reading, error: EvidenceError) -> str:
    """The word of the entry that an error is about."""
    if f"'{reading.black}'" in error.message:
        return "black"
    if error.message.startswith(("no place", "no conductor", "nothing to look", "both tips")):
        return "red"
    return "undone" if "live circuit" in error.message else "value"
