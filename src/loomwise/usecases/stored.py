"""Jobs of the store: read as any other job, and added to entry by entry.

Whatever is added is first read by the reader of job files, so that nothing wrong is ever stored.
"""

import json
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Any

from loomwise.advice.costs import zone
from loomwise.circuit.document import read_document
from loomwise.circuit.model import Circuit
from loomwise.circuit.reader import read_circuit
from loomwise.errors import FileError, InputError, NotFoundError, Problem
from loomwise.job import Job, read_job
from loomwise.job.entries import job_entry
from loomwise.job.log import ITEMS, Folded, LogEntry, fold, next_name
from loomwise.shelf import read_shelf, shelf_names, shelf_text
from loomwise.store import Store
from loomwise.store.photo import make_photo
from loomwise.store.store import new_entry
from loomwise.usecases.check_files import refuse_unsolvable

Fields = Mapping[str, Any]


def stored_job(store: Store, number: int) -> Job:
    """A job of the store.

    Raises
    ------
    NotFoundError : no such job.
    InputError : it has no circuit yet.
    """
    return job_of(store, number, fold(store.log(number)))


def job_of(store: Store, number: int, folded: Folded) -> Job:
    """The job that a log amounts to.

    Raises
    ------
    FileError : with everything that cannot be so.
    """
    where = f"job {number}"
    if not folded.circuit:
        raise without_circuit(number)
    text = json.dumps(folded.tree, ensure_ascii=False)  # JSON is YAML
    try:
        job = read_job(text, where, lambda name: circuit_named(store, name))
    except FileError as error:
        raise _without_lines(error, where) from None
    if not folded.moves:
        return job
    moved = folded.moved(job.circuit.positions)
    known = {part: spot for part, spot in moved.items() if part in job.circuit.parts}
    return replace(job, circuit=replace(job.circuit, positions=known))


def without_circuit(number: int) -> InputError:
    """A job that cannot be reasoned about yet."""
    hint = "choose one from the shelf or from a file"
    return InputError("the job has no circuit yet", f"job {number}", hint)


def _without_lines(error: FileError, where: str) -> FileError:
    """The problems of an entry: it stands in no line of a file."""
    return FileError(Problem(where, 0, p.what, p.hint) for p in error.problems)


def circuit_named(store: Store, name: str) -> Circuit:
    """A circuit of the shelf, or one kept in the store by its digest."""
    if name in shelf_names():
        return read_shelf(name)
    title, text = store.circuit(name)
    return _read(title, text)


@lru_cache(maxsize=64)
def _read(title: str, text: str) -> Circuit:
    return read_circuit(text, title)


def new_job(store: Store, intake: Fields, uid: str = "") -> int:
    """Open a job: ``complaint``, ``vehicle``, and what else is known; its number.

    Raises
    ------
    FileError : no complaint or vehicle, a VIN that cannot be right, a number out of range.
    """
    entry = new_entry("intake", _said(intake), uid)
    _check_intake(fold([entry]), "new job")
    return store.create([entry], uid)


def change_intake(store: Store, number: int, intake: Fields, uid: str = "") -> int:
    """Say something else of complaint or vehicle; what was said stays in the record."""
    entry = new_entry("intake", _said(intake), uid)
    _check_intake(fold([*store.log(number), entry]), f"job {number}")
    return store.append(number, entry)


def _said(fields: Fields) -> dict[str, Any]:
    return {k: v.strip() if isinstance(v, str) else v for k, v in fields.items() if v is not None}


def _check_intake(folded: Folded, where: str) -> None:
    tree = {"circuit": "none yet", **folded.tree}
    document = read_document(json.dumps(tree, ensure_ascii=False), where)
    try:
        job_entry(document)
    except FileError as error:
        raise _without_lines(error, where) from None
    if document.problems:
        raise _without_lines(FileError(document.problems), where)


def choose_circuit(store: Store, number: int, word: str = "", text: str = "", uid: str = "") -> int:
    """Give the job a circuit from the shelf, or from the ``text`` of a file called ``word``.

    The file is kept with the job as it is now.

    Raises
    ------
    FileError : with everything wrong in the file, or what no longer fits to it in the job.
    """
    if not text:
        text = shelf_text(word)
    else:
        refuse_unsolvable(read_circuit(text, word), word)
    circuit = _read(word, text)
    body = {"name": word, "title": circuit.title, "digest": store.keep_circuit(word, text)}
    entry = new_entry("circuit", body, uid)
    log = store.log(number)
    job_of(store, number, fold([*log, entry]))
    return store.append(number, entry)


def stand(store: Store, number: int, changes: Fields, uid: str = "") -> int:
    """Say how the vehicle stands now: ``setup``, ``undone``, ``opened`` and the like.

    Raises
    ------
    FileError : a control, state or undoing that the circuit does not have.
    """
    log = store.log(number)
    folded = fold(log)
    still_open(folded, number)
    entry = new_entry("standing", {**folded.standing, **changes}, uid)
    job_of(store, number, fold([*log, entry]))
    return store.append(number, entry)


def enter(store: Store, number: int, kind: str, fields: Fields, uid: str = "") -> str:
    """Enter a sign or reading; its name. What is not said is taken from how the vehicle stands.

    A setup of its own (``setup`` and ``undone``) is where the vehicle stands from now on.

    Raises
    ------
    FileError : with everything that cannot be so; then nothing is stored.
    """
    log = store.log(number)
    folded = fold(log)
    sent = folded.item(uid)
    if sent:
        return sent.id  # it has come before
    still_open(folded, number)
    told = _said(fields)
    name = next_name((i.id for i in folded.items), ITEMS[kind])
    stood = {} if "corrects" in told else _as_stands(folded)
    body = {k: v for k, v in {"id": name, **stood, **told}.items() if v not in ("", [])}
    entry = new_entry(kind, body, uid)
    job = job_of(store, number, fold([*log, entry]))
    after = _standing_after(folded, job.circuit, body, told)
    moved = after != {"opened": [], **folded.standing}
    store.append(number, entry, *([new_entry("standing", after)] if moved else []))
    return str(body["id"])


def _standing_after(folded: Folded, circuit: Circuit, body: Fields, told: Fields) -> dict[str, Any]:
    """How the vehicle stands after an item was taken; a correction moves nothing."""
    after = dict(folded.standing)
    if "corrects" not in told:
        after |= {k: told[k] for k in ("setup", "undone", "after") if k in told}
    opened = {*(after.get("opened") or ()), *_laid_open(circuit, body)}
    return {**after, "opened": sorted(opened)}


def _as_stands(folded: Folded) -> dict[str, Any]:
    standing = folded.standing
    keys = ("setup", "undone", "after", "complaint", "condition")
    stands = {k: standing[k] for k in keys if standing.get(k)}
    return stands | ({"repaired": sorted({*folded.repaired})} if folded.repairs else {})


def still_open(folded: Folded, number: int) -> None:
    """Refuse to add to a job that is closed.

    Raises
    ------
    InputError : it is closed.
    """
    if folded.closing:
        hint = f"open it again first: loomwise reopen {number} REASON"
        raise InputError("the job is closed", f"job {number}", hint)


def _laid_open(circuit: Circuit, body: Fields) -> set[str]:
    """What had to be opened to get at the places, and stays open."""
    places = [circuit.places.get(str(body.get(k, ""))) for k in ("red", "black")]
    return {zone(p.id) for p in places if p and circuit.units[p.unit].access_minutes > 0}


def correct(store: Store, number: int, item: str, changes: Fields, uid: str = "") -> str:
    """Enter a sign or reading again as it should have been; the old one stays in the record.

    Raises
    ------
    NotFoundError : the job has no such item.
    """
    old = named_item(store, number, item)
    kept = {k: v for k, v in old.body.items() if k not in ("id", "corrects", "minutes")}
    return enter(store, number, old.kind, {**kept, **changes, "corrects": old.uid}, uid)


def withdraw(store: Store, number: int, item: str, reason: str = "", uid: str = "") -> int:
    """Say that a sign or reading no longer counts."""
    still_open(fold(store.log(number)), number)
    body = {"entry": named_item(store, number, item).uid, "reason": reason.strip() or "withdrawn"}
    return store.append(number, new_entry("withdraw", body, uid))


def reinstate(store: Store, number: int, item: str, uid: str = "") -> int:
    """Let a withdrawn sign or reading count again."""
    still_open(fold(store.log(number)), number)
    body = {"entry": named_item(store, number, item).uid}
    return store.append(number, new_entry("reinstate", body, uid))


def named_item(store: Store, number: int, name: str) -> Any:
    """A sign or reading of a job by its name.

    Raises
    ------
    NotFoundError : the job has none of that name.
    """
    items = fold(store.log(number)).items
    for item in items:
        if item.id == name:
            return item
    have = ", ".join(i.id for i in items) or "nothing yet"
    raise NotFoundError(f"there is no {name[:20]}", f"job {number}", f"it has {have}")


def rule_out(store: Store, number: int, name: str, can: bool = False, uid: str = "") -> int:
    """Say that an instrument, part, plug or place cannot or will not be used, or that it can."""
    log = store.log(number)
    entry = new_entry("cannot", {"name": name, "can": can}, uid)
    job_of(store, number, fold([*log, entry]))
    return store.append(number, entry)


def decide_on(store: Store, number: int, unit: str, words: str = "", uid: str = "") -> int:
    """Decide what to repair; an empty unit takes the decision back."""
    folded = fold(store.log(number))
    still_open(folded, number)
    job = job_of(store, number, folded)
    if unit and unit not in job.circuit.units:
        hint = f"there is {', '.join(job.circuit.units)}"
        raise InputError(f"there is no unit '{unit[:40]}'", f"job {number}", hint)
    body = {"unit": unit, "words": words.strip()} if unit else {"open": True}
    return store.append(number, new_entry("decision", body, uid))


def note(store: Store, number: int, words: str, uid: str = "") -> int:
    """Write something down that is neither sign nor reading."""
    if not words.strip():
        raise InputError("the note is empty", f"job {number}", "write a word or two")
    return store.append(number, new_entry("note", {"words": words.strip()[:5000]}, uid))


def take_photo(store: Store, number: int, data: bytes, caption: str = "", uid: str = "") -> str:
    """Keep a photograph with the job; its digest."""
    store.job(number)
    digest = store.keep_photo(make_photo(data))
    body = {"digest": digest, "caption": caption.strip()[:200]}
    store.append(number, new_entry("photo", body, uid))
    return digest


def remove(store: Store, number: int, back: bool = False, uid: str = "") -> int:
    """Take a job off the list, or put it back; nothing of it is lost."""
    return store.append(number, new_entry("return" if back else "remove", {}, uid))


def record_of(store: Store, number: int) -> tuple[LogEntry, ...]:
    """Every entry of a job as it was made."""
    return store.log(number)
