"""A record of live data from elsewhere, read as signs of a stored job's modules."""

from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from loomwise.circuit.model import Band, Circuit
from loomwise.errors import FileError, NotFoundError, Problem
from loomwise.evidence.items import sign_words
from loomwise.job.log import fold
from loomwise.records import Read, Record, read_record, read_words
from loomwise.records.table import column, read_head, read_sheet
from loomwise.store import Store
from loomwise.store.store import new_entry
from loomwise.usecases.record_match import Asked, Match, matched, remember
from loomwise.usecases.stored import enter, stored_job

MAX_BYTES = 8_000_000
"""An hour and a half of thirty names ten times in a second; read in 4 s, with 450 MB at most."""
VOLTS = "V"
MOST_CHANGES, MOST_VALUES = 6, 8


@dataclass(frozen=True)
class NameRead:
    """A name of the record: what it is matched to, what it showed, the ``word`` that counts, and
    the sign entered, if any; ``why_not`` says why there is none, and ``hint`` what to do.

    ``words`` are those it can have, ``unread`` values that are none of them.
    """

    name: str
    what: str
    shown: str
    word: str
    sign: str
    why_not: str
    hint: str
    words: tuple[str, ...]
    unread: tuple[str, ...]


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
    """Enter what modules reported as signs of a job, as ``read_live``; from a file.

    Raises
    ------
    FileError : the file cannot be read, or it is not clear which column holds the times.
    InputError : a name, pin or word that there is not.
    """
    path = Path(file)
    try:
        check_size(path.stat().st_size, file)
        data = path.read_bytes()
    except (OSError, ValueError):
        hint = "check the name and the folder"
        raise FileError([Problem(file, 0, "cannot read it", hint)]) from None
    return read_live(store, number, file, text_of(data, file), asked)


def check_size(size_bytes: int, name: str) -> None:
    """Refuse a file that is too large.

    Raises
    ------
    FileError : it is.
    """
    if size_bytes > MAX_BYTES:
        hint = f"the limit is {MAX_BYTES // 1_000_000} MB: cut the record shorter"
        raise FileError([Problem(name, 0, "the file is too large", hint)])


def read_live(store: Store, number: int, name: str, text: str, asked: Asked) -> RecordRead:
    """Enter what modules reported as signs of a job, as its vehicle stands; with ``look`` nothing
    is entered. What columns mean is remembered for the circuit.

    Raises
    ------
    FileError, InputError : as ``read_file``.
    """
    circuit = stored_job(store, number).circuit
    match = matched(store, circuit, asked)
    known = asked.time or column(columns_of(text, name), match.time) is not None
    record = read_record(text, name, match.time if known else "")
    _known_names(record, asked, name)
    if not asked.look:
        remember(store, circuit, match)
    found = [_name(store, number, circuit, record, n, match, asked) for n in record.series]
    gaps = tuple(f"nothing from {a:.1f} s to {b:.1f} s" for a, b in record.gaps)
    unread = tuple(str(p) for p in record.unread)
    return RecordRead(name, record.time, record.seconds, tuple(found), gaps, record.empty, unread)


def match_live(store: Store, number: int, asked: Asked) -> None:
    """Remember what columns mean, and enter nothing.

    Raises
    ------
    InputError : a pin or word that there is not.
    """
    circuit = stored_job(store, number).circuit
    remember(store, circuit, matched(store, circuit, asked))


def keep_live(store: Store, number: int, name: str, data: bytes, uid: str = "") -> str:
    """Keep a record with the job as it was sent; its digest. One that is no table is refused.

    Raises
    ------
    FileError : too large, not text, or no table.
    """
    check_size(len(data), name)
    read_sheet(text_of(data, name), name)
    stored_job(store, number)
    digest = store.keep_file(name, data)
    store.append(number, new_entry("live", {"digest": digest, "name": name}, uid))
    return digest


def live_of(store: Store, number: int, digest: str) -> tuple[str, str]:
    """A record kept with a job: its name and its text.

    Raises
    ------
    NotFoundError : the job has none of that digest.
    """
    kept = fold(store.log(number)).live
    name = next((str(r["name"]) for r in kept if r["digest"] == digest), None)
    if name is None:
        hint = "send the file again"
        raise NotFoundError("the job has no such record", f"job {number}", hint)
    return name, text_of(store.file(digest)[1], name)


def columns_of(text: str, name: str) -> tuple[str, ...]:
    """The columns of a record, to say which of them holds the times."""
    return read_head(text, name)


def _name(
    store: Store, number: int, circuit: Circuit, record: Record, name: str, match: Match,
    asked: Asked,
) -> NameRead:  # fmt: skip
    what, words = match.names.get(name, ""), tuple[str, ...]()
    if not what:
        out = name in match.names
        hint = "" if out else f"match it with --name '{name}=MODULE.PIN'"
        why = "left out" if out else "not matched yet"
        return NameRead(name, "", "", "", "", why, hint, (), ())
    words, volts = sign_words(circuit, what), record.units.get(name, "") == VOLTS
    read = read_words(record.series[name], words, _bands(circuit, what),
                      match.values.get(name, {}), volts)  # fmt: skip
    word, why_not, hint = _chosen(read, name, asked.at_s)
    shown = "; ".join(f"{c.word} from {c.seconds:.1f} s" for c in read.changes[:MOST_CHANGES])
    more = len(read.changes) - MOST_CHANGES
    shown += f"; {more} more changes" if more > 0 else ""
    sign = ""
    if word and not asked.look:
        uid = sha256(f"{asked.uid} {name}".encode()).hexdigest()[:32] if asked.uid else ""
        sign = enter(store, number, "sign", {"what": what, "seen": word}, uid)
    unread = read.unread[:MOST_VALUES]
    return NameRead(name, what, shown, word, sign, why_not, hint, words, unread)


def _chosen(read: Read, name: str, at_s: float | None) -> tuple[str, str, str]:
    """The word that counts; or why there is none, and what to do."""
    if read.unread and (at_s is None or not read.changes):
        some = ", ".join(f"'{v}'" for v in read.unread[:4])
        hint = f"say what it means, as in --value '{name}:{read.unread[0]}=WORD'"
        return "", f"no word of it: {some}", hint
    word = read.steady if at_s is None else read.at(at_s)
    if word:
        return word, "", ""
    if at_s is not None:
        return "", f"it has no value at {at_s:.1f} s", ""
    return "", "it changes", "say with --at SECONDS which moment counts"


def _bands(circuit: Circuit, what: str) -> tuple[Band, ...]:
    owner, _, pin = what.partition(".")
    part = circuit.parts.get(owner)
    found = part.module_pins.get(pin) if part is not None else None
    return found.bands if found is not None else ()


def _known_names(record: Record, asked: Asked, file: str) -> None:
    for name in (*asked.names, *asked.values):
        if name not in record.series:
            hint = f"it has {', '.join([*record.series][:20])}"
            raise FileError([Problem(file, 1, f"nothing is called '{name[:40]}'", hint)])


def text_of(data: bytes, name: str) -> str:
    """The text of a file in whichever Unicode it is written; a byte-order mark is no part of it.

    Raises
    ------
    FileError : it is in none.
    """
    marked = data.startswith((b"\xff\xfe", b"\xfe\xff"))
    try:
        return data.decode("utf-16" if marked else "utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        hint = "export it as UTF-8, or take the odd letters out of the header"
        raise FileError([Problem(name, line, "this is no Unicode text", hint)]) from None


def names_entered(found: Sequence[NameRead]) -> tuple[str, ...]:
    """The signs that were entered."""
    return tuple(n.sign for n in found if n.sign)
