"""A record of live data from elsewhere, read as signs of a stored job's modules."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from loomwise.circuit.model import Band, Circuit
from loomwise.errors import FileError, InputError, Problem
from loomwise.evidence.items import sign_words
from loomwise.records import Read, Record, read_record, read_words
from loomwise.store import Store
from loomwise.store.where import data_folder
from loomwise.usecases.kept_file import read_kept, write_kept
from loomwise.usecases.stored import enter, stored_job

FILE = "records.json"
FORMAT = 1
MAX_BYTES = 20_000_000
VOLTS = "V"


@dataclass(frozen=True)
class Match:
    """What is remembered for a circuit: the column of times, names matched to pins ("" to leave
    one out), and what values mean, by name."""

    time: str = ""
    names: Mapping[str, str] = field(default_factory=dict)
    values: Mapping[str, Mapping[str, str]] = field(default_factory=dict)


@dataclass(frozen=True)
class Asked:
    """``time`` names a column, ``names`` are "COLUMN=MODULE.PIN", ``values`` "COLUMN:VALUE=WORD";
    ``at_s`` is the moment that counts, in seconds from the start, None for all of it."""

    time: str = ""
    names: tuple[str, ...] = ()
    values: tuple[str, ...] = ()
    at_s: float | None = None
    look: bool = False


@dataclass(frozen=True)
class NameRead:
    """A name of the record: what it is matched to, what it showed, and the sign entered, if any;
    ``why_not`` says why none was."""

    name: str
    what: str
    shown: str
    sign: str
    why_not: str


@dataclass(frozen=True)
class RecordRead:
    """What was read of a file, and what was not: pauses, empty cells, lines left out."""

    file: str
    time: str
    seconds: float
    names: tuple[NameRead, ...]
    gaps: tuple[str, ...]
    empty: int
    unread: tuple[str, ...]


def read_file(store: Store, file: str, number: int, asked: Asked) -> RecordRead:
    """Enter what modules reported as signs of a job, as its vehicle stands; with ``look`` nothing
    is entered. What columns mean is remembered for the circuit.

    Raises
    ------
    FileError : the file cannot be read, or it is not clear which column holds the times.
    InputError : a name, pin or word that there is not.
    """
    circuit = stored_job(store, number).circuit
    match = _matched(circuit, asked)
    record = read_record(_text(Path(file)), file, match.time)
    _known_names(record, asked, file)
    if not asked.look:
        _remember(circuit, match)
    found = [_name(store, number, circuit, record, name, match, asked) for name in record.series]
    gaps = tuple(f"nothing from {a:.1f} s to {b:.1f} s" for a, b in record.gaps)
    unread = tuple(str(p) for p in record.unread)
    return RecordRead(file, record.time, record.seconds, tuple(found), gaps, record.empty, unread)


def _name(
    store: Store, number: int, circuit: Circuit, record: Record, name: str, match: Match,
    asked: Asked,
) -> NameRead:  # fmt: skip
    what = match.names.get(name, "")
    if not what:
        hint = "left out" if name in match.names else f"match it with --name '{name}=MODULE.PIN'"
        return NameRead(name, "", "", "", hint)
    volts = record.units.get(name, "") == VOLTS
    read = read_words(record.series[name], sign_words(circuit, what), _bands(circuit, what),
                      match.values.get(name, {}), volts)  # fmt: skip
    word, why_not = _chosen(read, name, asked.at_s)
    shown = "; ".join(f"{c.word} from {c.seconds:.1f} s" for c in read.changes[:6])
    sign = ""
    if word and not asked.look:
        sign = enter(store, number, "sign", {"what": what, "seen": word})
    return NameRead(name, what, shown, sign, why_not)


def _chosen(read: Read, name: str, at_s: float | None) -> tuple[str, str]:
    """The word that counts, or why there is none."""
    if read.unread and (at_s is None or not read.changes):
        some = ", ".join(f"'{v}'" for v in read.unread[:4])
        hint = f"say what it means, as in --value '{name}:{read.unread[0]}=WORD'"
        return "", f"no word of it: {some}; {hint}"
    word = read.steady if at_s is None else read.at(at_s)
    if word:
        return word, ""
    if at_s is not None:
        return "", f"it has no value at {at_s:.1f} s"
    return "", "it changes: say with --at SECONDS which moment counts"


def _bands(circuit: Circuit, what: str) -> tuple[Band, ...]:
    owner, _, pin = what.partition(".")
    part = circuit.parts.get(owner)
    found = part.module_pins.get(pin) if part is not None else None
    return found.bands if found is not None else ()


def _matched(circuit: Circuit, asked: Asked) -> Match:
    """What is remembered, with what is said now on top of it."""
    kept = _kept().get(circuit.title, Match())
    names = {**kept.names, **dict(_pair(w, "--name", "'COLUMN=MODULE.PIN'") for w in asked.names)}
    for name, what in names.items():
        if what and not sign_words(circuit, what):
            raise InputError(f"'{what[:40]}' reports nothing", f"--name {name}", _pins(circuit))
    values = {name: dict(told) for name, told in kept.values.items()}
    for text in asked.values:
        said, word = _pair(text, "--value", "'COLUMN:VALUE=WORD', 'COLUMN:below 60=cold'")
        name, _, value = said.partition(":")
        allowed = sign_words(circuit, names.get(name.strip(), ""))
        if word not in allowed:
            hint = f"it can be {', '.join(allowed)}" if allowed else "match the name first"
            raise InputError(f"'{word[:40]}' is no word of {name}", "--value", hint)
        values.setdefault(name.strip(), {})[value.strip().casefold()] = word
    return Match(asked.time or kept.time, names, values)


def _pair(text: str, where: str, shape: str) -> tuple[str, str]:
    name, equals, value = text.rpartition("=")
    if not equals or not name.strip():
        raise InputError(f"'{text[:60]}' cannot be read", where, f"write it as {shape}")
    return name.strip(), value.strip()


def _pins(circuit: Circuit) -> str:
    pins = [f"{p.id}.{pin}" for p in circuit.parts_of_kind("module") for pin in p.module_pins]
    known = [p for p in pins if sign_words(circuit, p)]
    return f"there is {', '.join(known)}" if known else "this circuit has no module that reports"


def _known_names(record: Record, asked: Asked, file: str) -> None:
    for text in (*asked.names, *asked.values):
        name = text.rpartition("=")[0].partition(":")[0].strip()
        if name not in record.series:
            hint = f"it has {', '.join([*record.series][:20])}"
            raise FileError([Problem(file, 1, f"nothing is called '{name[:40]}'", hint)])


def _text(path: Path) -> str:
    """The file in whichever Unicode it is written; a byte-order mark is no part of it."""
    try:
        if path.stat().st_size > MAX_BYTES:
            hint = f"the limit is {MAX_BYTES // 1_000_000} MB: cut the record shorter"
            raise FileError([Problem(str(path), 0, "the file is too large", hint)])
        data = path.read_bytes()
    except (OSError, ValueError):
        hint = "check the name and the folder"
        raise FileError([Problem(str(path), 0, "cannot read it", hint)]) from None
    marked = data.startswith((b"\xff\xfe", b"\xfe\xff"))
    try:
        return data.decode("utf-16" if marked else "utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        hint = "export it as UTF-8, or take the odd letters out of the header"
        raise FileError([Problem(str(path), line, "this is no Unicode text", hint)]) from None


def _kept() -> dict[str, Match]:
    path = data_folder() / FILE
    try:
        data = read_kept(path)
        circuits: Mapping[str, Any] = {} if data is None else data["circuits"]  # type: ignore[index]
        return {title: Match(m["time"], m["names"], m["values"]) for title, m in circuits.items()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        hint = "mend the file or take it away: then columns are matched anew"
        raise InputError("what columns mean cannot be read", str(path), hint) from None


def _remember(circuit: Circuit, match: Match) -> None:
    told = {**_kept(), circuit.title: match}
    plain = {t: {"time": m.time, "names": dict(m.names), "values": dict(m.values)}
             for t, m in told.items()}  # fmt: skip
    write_kept(data_folder() / FILE, {"format": FORMAT, "circuits": plain}, "what columns mean")


def names_entered(found: Sequence[NameRead]) -> tuple[str, ...]:
    """The signs that were entered."""
    return tuple(n.sign for n in found if n.sign)
