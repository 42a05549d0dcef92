"""The valid entries of a job file; everything wrong is noted, the rest goes on to be checked."""

from difflib import get_close_matches
from typing import Any

from pydantic import BaseModel, ValidationError

from loomwise.circuit.document import Document, Path, Tree
from loomwise.errors import EvidenceError, FileError
from loomwise.job.one_line import reading_line, sign_line
from loomwise.job.schema import (
    EndingEntry,
    JobEntry,
    ReadingEntry,
    SetupEntry,
    SignEntry,
    VehicleEntry,
)

_LINES = {"signs": (sign_line, SignEntry), "readings": (reading_line, ReadingEntry)}
_MODELS: dict[str, type[BaseModel]] = {
    "vehicle": VehicleEntry, "here": SetupEntry, "signs": SignEntry, "readings": ReadingEntry,
    "ending": EndingEntry,
}  # fmt: skip
_NEEDED = {"format": "1", "complaint": "?", "vehicle": {"name": "?"}}
FORMAT = "1"


def job_entry(document: Document) -> JobEntry:
    """The entries of the file, without those that are wrong.

    Raises
    ------
    FileError : another format, or no circuit: then nothing else can be checked.
    """
    tree = document.tree
    assert isinstance(tree, dict)
    given = tree.get("format", FORMAT)
    if given != FORMAT:
        what = f"this is format {str(given)[:20]}"
        document.add(("format",), what, f"this program reads format {FORMAT}")
        raise FileError(document.problems)
    try:
        return JobEntry.model_validate(_spelled_out(document, tree))
    except ValidationError as error:
        _explain(document, error)
        wrong = {tuple(detail["loc"]) for detail in error.errors()}
    if any(loc[0] == "circuit" for loc in wrong):
        raise FileError(document.problems)
    return JobEntry.model_validate(_without(tree, wrong))


def _spelled_out(document: Document, tree: dict[str, Tree]) -> dict[str, Tree]:
    """Lines of signs and readings as entries; a line that cannot be read is noted and empty."""
    for section, (read, _) in _LINES.items():
        items = tree.get(section)
        if isinstance(items, list):
            for k, item in enumerate(items):
                if isinstance(item, str):
                    items[k] = _read(document, (section, k), read, item)
    return tree


def _read(document: Document, path: Path, read: Any, line: str) -> Tree:
    try:
        fields: Tree = read(line)
    except EvidenceError as error:
        document.add(path, error.message, error.hint)
        return ""
    return fields


def _explain(document: Document, error: ValidationError) -> None:
    seen: set[tuple[Path, str]] = set()
    for detail in error.errors(include_url=False):
        if _is_label(str(detail["loc"][-1])) and isinstance(detail["input"], dict):
            continue  # "not a text": it is an entry, whose own errors are here too
        loc = _plain(tuple(detail["loc"]))
        what, hint = _words(detail, loc)
        if (loc, what) not in seen and detail["input"] is not None:
            document.add(loc, what, hint)
        seen.add((loc, what))


def _plain(loc: Path) -> Path:
    """The path in the file: without the names that pydantic gives to alternatives."""
    return tuple(step for step in loc if not (isinstance(step, str) and _is_label(step)))


def _is_label(step: str) -> bool:
    return step.endswith("Entry") or "[" in step or step in ("str", "constrained-str")


def _words(detail: Any, loc: Path) -> tuple[str, str]:
    kind, context = detail["type"], detail.get("ctx", {})
    key = str(next((s for s in reversed(loc) if isinstance(s, str)), "file"))[:40]
    if kind == "ours":
        return f"'{key}': {context['what']}", context["hint"]
    if kind == "missing":
        return f"'{key}' is missing", "add it"
    if kind == "extra_forbidden":
        known = [f for f in _MODELS.get(str(loc[0]), JobEntry).model_fields]
        near = get_close_matches(key, known, 1)
        first = f"did you mean '{near[0]}'? " if near else ""
        return f"'{key}' is not known here", f"{first}the words here are {', '.join(known)}"
    if kind == "literal_error":
        return f"'{key}' cannot be '{str(detail['input'])[:40]}'", f"write {context['expected']}"
    return f"'{key}' is not what is needed here", "see docs/job-file.md"


def _without(tree: dict[str, Tree], wrong: set[Path]) -> dict[str, Tree]:
    """The tree with wrong items emptied, and stand-ins for what must be there."""
    for loc in wrong:
        section = str(loc[0])
        items = tree.get(section)
        if section in _LINES and len(loc) > 1 and isinstance(items, list):
            items[int(loc[1])] = ""  # the others keep their numbers, and so their lines
        else:
            tree.pop(section, None)
            tree.update({k: v for k, v in _NEEDED.items() if k == section})  # type: ignore[misc]
    return tree
