"""One file for a job or for the whole shop: a zip of logs, circuits, photographs and files.

Entries keep their own names, so that reading a file twice adds nothing, and two copies of a job
that went on apart are joined with nothing lost.
"""

import json
import os
import zipfile
from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from typing import Any

from loomwise.errors import FileError, InputError, Problem
from loomwise.job.log import LogEntry, fold
from loomwise.store.kept import digest_of
from loomwise.store.photo import Photo
from loomwise.store.store import JobRow, Store

FORMAT = 1
DRAWN = ("circuit", "other")
"""Entries that name a circuit: the job's own, and another drawing of it."""
LIST, SHOP = "contents.json", "shop.json"
MAX_BYTES = 4_000_000_000
"""All members together, unpacked; a file that claims more is refused."""


@dataclass(frozen=True)
class Archive:
    """What was read or written: jobs by number, and how many entries were new."""

    file: str
    jobs: tuple[int, ...]
    entries: int


def write_archive(store: Store, path: str, numbers: Iterable[int] | None = None) -> Archive:
    """Write jobs (all of them if none are named) with what belongs to them; whole or not at all.

    Raises
    ------
    InputError : no such job, the file is there already, or it cannot be written.
    """
    if Path(path).exists():
        raise InputError("the file is there already", path, "choose another name")
    everything = numbers is None
    rows = _all_jobs(store)
    named = [store.job(n) for n in numbers] if numbers is not None else rows
    members: dict[str, bytes] = {}
    count = 0
    for row in named:
        log = store.log(row.number)
        count += len(log)
        told = {"uid": row.uid, "number": row.number, "entries": [_told(e) for e in log]}
        members[f"jobs/{row.uid}.json"] = json.dumps(told, ensure_ascii=False).encode()
        _belongings(store, log, members)
    if everything:
        members[SHOP] = json.dumps(store.settings(), ensure_ascii=False).encode()
    _write(Path(path), members, "shop" if everything else "job")
    return Archive(path, tuple(sorted(row.number for row in named)), count)


def _all_jobs(store: Store) -> tuple[JobRow, ...]:
    every = 1_000_000
    practised = store.jobs(most=every, practice=True)
    return (*store.jobs(most=every), *store.jobs(removed=True, most=every), *practised)


def _told(entry: LogEntry) -> dict[str, Any]:
    return {**asdict(entry), "at": entry.at.isoformat()}


def _belongings(store: Store, log: tuple[LogEntry, ...], members: dict[str, bytes]) -> None:
    for entry in log:
        digest = str(entry.body.get("digest", ""))
        if entry.kind in DRAWN and digest:
            name, text = store.circuit(digest)
            told = {"name": name, "text": text}
            members[f"circuits/{digest}.json"] = json.dumps(told, ensure_ascii=False).encode()
        elif entry.kind == "photo":
            members[f"photos/{digest}.jpg"] = store.photo(digest).data
        elif entry.kind == "live":
            name, data = store.file(digest)
            members[f"files/{digest}/{name}"] = data


def _write(path: Path, members: dict[str, bytes], holds: str) -> None:
    sums = {name: sha256(data).hexdigest() for name, data in members.items()}
    told = {"loomwise": FORMAT, "holds": holds, "sha256": sums}
    part = path.with_name(f".{path.name}.part")
    try:
        with zipfile.ZipFile(part, "w", zipfile.ZIP_DEFLATED) as out:
            out.writestr(LIST, json.dumps(told, indent=1))
            for name, data in members.items():
                out.writestr(name, data)
        with part.open("rb") as done:
            os.fsync(done.fileno())
        part.rename(path)
    except OSError as error:
        part.unlink(missing_ok=True)
        words = (error.strerror or "no reason given").lower()
        raise InputError(f"cannot write it: {words}", str(path), "choose another folder") from None


def read_archive(store: Store, path: str) -> Archive:
    """Add what the file holds to the store; everything is checked before anything is added.

    Raises
    ------
    FileError : not ours, cut short, changed, or of a newer program.
    """
    members = _checked(path)
    _check_circuits(path, members)
    count, numbers = 0, []
    for name, data in members.items():
        _keep(store, path, name, data)
    for name, data in members.items():
        if name.startswith("jobs/"):
            job = _read(path, data)
            log = [_entry(path, e) for e in job["entries"]]
            before = {e.uid for e in _known(store, job["uid"])}
            numbers.append(store.create(log, job["uid"], int(job["number"])))
            count += len({e.uid for e in log} - before)
    return Archive(path, tuple(sorted(numbers)), count)


def _check_circuits(path: str, members: dict[str, bytes]) -> None:
    """Every circuit and other drawing that a job names is in the file, under its own digest."""
    there = set()
    for name, data in members.items():
        if name.startswith("circuits/"):
            digest = digest_of(str(_read(path, data).get("text")))
            if name != f"circuits/{digest}.json":
                raise _refused(path, f"{name} holds another circuit", "take another copy")
            there.add(digest)
    for name, data in members.items():
        for told in _read(path, data)["entries"] if name.startswith("jobs/") else ():
            entry = _entry(path, told)
            if entry.kind in DRAWN and str(entry.body.get("digest") or "") not in {"", *there}:
                what = "other drawing" if entry.kind == "other" else "circuit"
                title = str(entry.body.get("title") or "")[:60]
                hint = "write the file again where the job is"
                raise _refused(path, f"the {what} '{title}' of a job is not in it", hint)


def _keep(store: Store, path: str, name: str, data: bytes) -> None:
    """What jobs refer to, and of the shop's own what is not set here."""
    if name.startswith("circuits/"):
        told = _read(path, data)
        store.keep_circuit(told["name"], told["text"])
    elif name.startswith("photos/"):
        store.keep_photo(_photo(data))
    elif name.startswith("files/"):
        store.keep_file(name.split("/", 2)[2], data)
    elif name == SHOP:
        here = store.settings()
        for key, body in _read(path, data).items():
            if key not in here:
                store.set_up(key, body)


def _known(store: Store, uid: str) -> tuple[LogEntry, ...]:
    for row in _all_jobs(store):
        if row.uid == uid:
            return store.log(row.number)
    return ()


def _photo(data: bytes) -> Photo:
    from io import BytesIO

    from PIL import Image

    with Image.open(BytesIO(data), formats=("JPEG",)) as image:
        return Photo(sha256(data).hexdigest(), image.width, image.height, data)


def _read(path: str, data: bytes) -> dict[str, Any]:
    try:
        told: dict[str, Any] = json.loads(data)
    except ValueError:
        raise _refused(path, "a part of it cannot be read", "take another copy") from None
    return told


def _entry(path: str, told: dict[str, Any]) -> LogEntry:
    try:
        when = datetime.fromisoformat(told["at"])
        entry = LogEntry(str(told["uid"]), when, str(told["kind"]), dict(told["body"]))
        fold([entry])
    except (KeyError, TypeError, ValueError, AttributeError):
        raise _refused(path, "an entry in it cannot be read", "take another copy") from None
    return entry


def _checked(path: str) -> dict[str, bytes]:
    """All members of a sound file of ours."""
    try:
        with zipfile.ZipFile(path) as archive:
            if sum(i.file_size for i in archive.infolist()) > MAX_BYTES:
                raise _refused(path, "the file unpacks to too much", "is it the right file?")
            told = _read(path, archive.read(LIST))
            _check_format(path, told)
            return {name: _sound(path, archive.read, name, digest)
                    for name, digest in told["sha256"].items()}  # fmt: skip
    except (zipfile.BadZipFile, KeyError, EOFError, NotImplementedError):
        hint = "it may be cut short: copy it again, or take another copy"
        raise _refused(path, "this is not a whole file of ours", hint) from None
    except OSError as error:
        words = (error.strerror or "no reason given").lower()
        raise _refused(path, f"cannot read it: {words}", "check the name") from None


def _check_format(path: str, told: dict[str, Any]) -> None:
    number = told.get("loomwise")
    if not isinstance(number, int) or not isinstance(told.get("sha256"), dict):
        raise _refused(path, "this is not a file of ours", "name a file of export or backup")
    if number > FORMAT:
        hint = f"this program reads format {FORMAT}: use the newer Loomwise here too"
        raise _refused(path, f"it was written by a newer Loomwise (format {number})", hint)


def _sound(path: str, read: Callable[[str], bytes], name: str, digest: str) -> bytes:
    data = read(name)
    if sha256(data).hexdigest() != digest:
        hint = "nothing was read; take another copy"
        raise _refused(path, f"{name} was changed or is damaged", hint)
    return data


def _refused(path: str, what: str, hint: str) -> FileError:
    return FileError([Problem(path, 0, what, hint)])
