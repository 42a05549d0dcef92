"""Read the text of a job file into a job, or say everything that is wrong with it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Literal, cast

from loomwise.circuit.document import Document, Path, read_document
from loomwise.circuit.model import Circuit
from loomwise.errors import EvidenceError, FileError, InputError, QuantityError
from loomwise.evidence import Evidence, Reading, Sign, checked_reading, checked_sign
from loomwise.evidence.items import INSTRUMENTS, sign_words
from loomwise.job.record import DEFAULT_INSTRUMENTS, Job, Vehicle
from loomwise.setups import Setup, parse_setup
from loomwise.units import parse_quantity

if TYPE_CHECKING:
    from loomwise.job.schema import JobEntry, ReadingEntry, SignEntry, _SetupEntry

FORMAT = "1"
UNITS = {"voltmeter": "V", "clamp": "A", "ohmmeter": "ohm"}


def read_job(text: str, name: str, circuit_of: Callable[[str], Circuit]) -> Job:
    """The job that ``text`` describes; ``circuit_of`` finds the circuit it names.

    Raises
    ------
    FileError : with every problem found, each with its line and what would be right.
    """
    document = read_document(text, name)
    entry = _entry(document)
    try:
        circuit = circuit_of(entry.circuit)
    except FileError:
        raise
    except InputError as error:
        document.add(("circuit",), error.message, error.hint)
        raise FileError(document.problems) from None
    job = _Builder(document, circuit).job(entry)
    if document.problems:
        raise FileError(document.problems)
    return job


def _entry(document: Document) -> JobEntry:
    from pydantic import ValidationError

    from loomwise.job.schema import JobEntry

    try:
        entry = JobEntry.model_validate(document.tree)
    except ValidationError as error:
        for problem in error.errors():
            path = tuple(problem["loc"])
            document.add(path, *_in_words(problem["type"], path, problem["msg"]))
        raise FileError(document.problems) from None
    if entry.format != FORMAT:
        document.add(("format",), f"this is format {entry.format[:20]}", "write format: 1")
    if document.problems:
        raise FileError(document.problems)
    return entry


def _in_words(kind: str, path: Path, message: str) -> tuple[str, str]:
    last = path[-1] if path else "the file"
    if kind == "missing":
        return f"'{last}' is missing", f"write {last}: ..."
    if kind == "extra_forbidden":
        return f"'{last}' is not known here", "see docs/job-file.md for what a job holds"
    return f"'{last}': {message[0].lower()}{message[1:]}", "see docs/job-file.md"


class _Builder:
    def __init__(self, document: Document, circuit: Circuit) -> None:
        self.document, self.circuit = document, circuit

    def job(self, entry: JobEntry) -> Job:
        items = list(self._items(entry))
        self._check_ids(items)
        withdrawn = tuple((item.id, why) for item, why, _ in items if why)
        return Job(
            entry.complaint,
            Vehicle(entry.vehicle.name, self._mileage(entry)),
            entry.circuit,
            self.circuit,
            self._setup(entry.here, ("here",)),
            tuple(item for item, why, _ in items if not why),
            withdrawn,
            self._instruments(entry),
            frozenset(entry.opened),
        )

    def _mileage(self, entry: JobEntry) -> float | None:
        if entry.vehicle.mileage is None:
            return None
        words = entry.vehicle.mileage.replace("km", "").replace(" ", "")
        if not words.isdigit():
            path = ("vehicle", "mileage")
            self.document.add(path, f"mileage '{entry.vehicle.mileage}'", "write it as 184000 km")
            return None
        return float(words)

    def _instruments(self, entry: JobEntry) -> tuple[str, ...]:
        for k, name in enumerate(entry.instruments):
            if name not in INSTRUMENTS:
                hint = f"use {', '.join(INSTRUMENTS)}"
                self.document.add(("instruments", k), f"no instrument '{name}'", hint)
        return tuple(entry.instruments) or DEFAULT_INSTRUMENTS

    def _items(self, entry: JobEntry) -> Iterator[tuple[Evidence, str, Path]]:
        for k, sign in enumerate(entry.signs):
            path: Path = ("signs", k)
            yield self._sign(sign, sign.id or f"S{k + 1}", path), sign.withdrawn or "", path
        for k, reading in enumerate(entry.readings):
            path = ("readings", k)
            name = reading.id or f"R{k + 1}"
            yield self._reading(reading, name, path), reading.withdrawn or "", path

    def _check_ids(self, items: list[tuple[Evidence, str, Path]]) -> None:
        seen: set[str] = set()
        for item, _, path in items:
            if item.id in seen:
                self.document.add(path, f"a second entry is called {item.id}", "give it its own id")
            seen.add(item.id)

    def _setup(self, entry: _SetupEntry, path: Path) -> Setup:
        try:
            return parse_setup(self.circuit, entry.setup, entry.undone, entry.after)
        except InputError as error:
            self.document.add((*path, "setup"), error.message, error.hint)
            return parse_setup(self.circuit)

    def _presence(self, word: str, path: Path) -> Literal["yes", "no", "unknown"]:
        if word not in ("yes", "no", "unknown"):
            self.document.add((*path, "complaint"), f"complaint '{word}'", "write yes, no, unknown")
            return "unknown"
        return cast(Literal["yes", "no", "unknown"], word)

    def _sign(self, entry: SignEntry, name: str, path: Path) -> Sign:
        setup, presence = self._setup(entry, path), self._presence(entry.complaint, path)
        sign = Sign(name, setup, entry.what, entry.seen, presence)
        try:
            return checked_sign(self.circuit, sign, sign_words(self.circuit, entry.what))
        except EvidenceError as error:
            self.document.add((*path, "seen"), error.message, error.hint)
            return sign

    def _reading(self, entry: ReadingEntry, name: str, path: Path) -> Reading:
        two_tips = entry.instrument not in ("look", "clamp")
        black = entry.black or (self._minus() if two_tips else "")
        value, word = self._value(entry, path)
        reading = Reading(
            name, self._setup(entry, path), entry.instrument, entry.red, black, value, word,
            entry.method, self._presence(entry.complaint, path),
        )  # fmt: skip
        if not any(p.line == self.document.line((*path, "value")) for p in self.document.problems):
            try:
                return checked_reading(self.circuit, reading)
            except EvidenceError as error:
                self.document.add(self._where(error, path), error.message, error.hint)
        return reading

    def _where(self, error: EvidenceError, path: Path) -> Path:
        return (*path, "red") if "place" in error.message else path

    def _minus(self) -> str:
        return next(f"{p.id}.-" for p in self.circuit.parts_of_kind("battery"))

    def _value(self, entry: ReadingEntry, path: Path) -> tuple[float | None, str]:
        unit = UNITS.get(entry.instrument)
        if unit is None or entry.value.replace(" ", "").isalpha():
            return None, entry.value
        try:
            return parse_quantity(entry.value, unit), ""
        except QuantityError as error:
            self.document.add((*path, "value"), error.message, error.hint)
            return 0.0, ""
