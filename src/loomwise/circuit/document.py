"""Read YAML text as a plain tree of text, and remember the line of everything in it.

Every scalar stays the text it was written as. A circuit is full of words that YAML readers like to
turn into something else (relay contact NO, state on, pin 010), and the part that knows what a
value means can read it better.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from loomwise.errors import FileError, Problem

if TYPE_CHECKING:
    from ruamel.yaml.events import Event

MAX_BYTES = 5_000_000
MAX_DEPTH = 12
"""Levels of lists and mappings inside each other; a circuit needs six. Engineering judgement."""

Tree = dict[str, "Tree"] | list["Tree"] | str | None
"""What a file holds. None is a key or list item without a value."""
Path = tuple[str | int, ...]
"""Keys and list positions from the top of the file down."""


@dataclass
class Document:
    """The tree of one file, and the line (from 1) at which each path of it begins.

    ``spans`` tells from where to where in the text each scalar stands, its quotes included.
    """

    file: str
    tree: Tree = None
    lines: dict[Path, int] = field(default_factory=dict)
    spans: dict[Path, tuple[int, int]] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)

    def line(self, path: Path) -> int:
        """Line of the deepest part of ``path`` that the file has; steps it lacks are left out."""
        found: Path = ()
        for step in path:
            if (*found, step) in self.lines:
                found = (*found, step)
        return self.lines.get(found, 0)

    def add(self, path: Path, what: str, hint: str = "") -> None:
        """Note one problem at the line of ``path``."""
        self.add_at(self.line(path), what, hint)

    def add_at(self, line: int, what: str, hint: str = "") -> None:
        """Note one problem at a line."""
        self.problems.append(Problem(self.file, line, what, hint))


def read_document(text: str, file: str) -> Document:
    """The tree of YAML 1.2 ``text``; repeated keys and missing values are in its ``problems``.

    A key at the top without a value counts as absent: an empty section.

    Raises
    ------
    FileError : the text cannot be a file of ours at all: too large, not Unicode, empty, not YAML,
        more than one document, nested too deep, with anchors, aliases or tags, or no mapping.
    """
    document = Document(file)
    _check_size(text, file)
    _Builder(document, _events(text, file)).build()
    if document.tree is None:
        hint = (
            "write at least format, title and parts of a circuit, or complaint and circuit of a job"
        )
        raise _refused(file, 0, "the file is empty", hint)
    if not isinstance(document.tree, dict):
        what = "the file is not a list of 'key: value' entries"
        raise _refused(file, 1, what, "begin with a line such as 'format: 1'")
    document.tree = {key: value for key, value in document.tree.items() if value is not None}
    return document


def _check_size(text: str, file: str) -> None:
    try:
        size = len(text.encode("utf-8"))
    except UnicodeEncodeError:
        hint = "save the file again with the encoding UTF-8"
        raise _refused(file, 0, "the text is not valid Unicode", hint) from None
    if size > MAX_BYTES:
        hint = f"the limit is {MAX_BYTES / 1e6:g} MB; split the circuit"
        raise _refused(file, 0, f"the file has {size / 1e6:.1f} MB", hint)


def _refused(file: str, line: int, what: str, hint: str) -> FileError:
    return FileError([Problem(file, line, what, hint)])


def _events(text: str, file: str) -> "Iterator[Event]":
    from ruamel.yaml import YAML  # read only when a file is: 20 ms
    from ruamel.yaml.error import MarkedYAMLError, YAMLError

    try:
        yield from YAML(typ="safe", pure=True).parse(text)
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        words = " ".join(str(w) for w in (error.context, error.problem) if w)
        hint = "look for a missing bracket, quote or colon, or wrong indentation, here or above"
        raise _refused(file, mark.line + 1 if mark else 0, f"not YAML: {words}", hint) from None
    except YAMLError as error:  # a character YAML does not allow
        words = str(error).splitlines()[0]
        raise _refused(file, 0, f"not YAML: {words}", "take that character out") from None


class _Builder:
    """Builds the tree from parser events, without ever following an alias."""

    def __init__(self, document: Document, events: "Iterator[Event]") -> None:
        self._document = document
        self._events = events

    def build(self) -> None:
        documents = 0
        for event in self._events:
            name = type(event).__name__
            if name == "DocumentStartEvent":
                documents += 1
                if documents > 1:
                    raise self._fail(event, "a second document begins", "keep one circuit a file")
            elif name not in ("StreamStartEvent", "StreamEndEvent", "DocumentEndEvent"):
                self._document.tree = self._node(event, ())

    def _node(self, event: Any, path: Path) -> Tree:
        self._check(event, path)
        self._document.lines.setdefault(path, event.start_mark.line + 1)
        name = type(event).__name__
        if name == "ScalarEvent":
            if event.value == "" and event.style is None:
                return None  # its marks may lie behind remarks and blank lines
            self._document.spans[path] = (event.start_mark.index, event.end_mark.index)
            return str(event.value)
        return self._mapping(path) if name == "MappingStartEvent" else self._list(path)

    def _list(self, path: Path) -> list[Tree]:
        items: list[Tree] = []
        while type(event := next(self._events)).__name__ != "SequenceEndEvent":
            at = (*path, len(items))
            items.append(self._node(event, at))
            if items[-1] is None:
                self._empty(at)
        return items

    def _mapping(self, path: Path) -> dict[str, Tree]:
        entries: dict[str, Tree] = {}
        while type(event := next(self._events)).__name__ != "MappingEndEvent":
            key = self._key(event, path)
            at = (*path, key)
            if key in entries:
                self._repeated(event, at)
            self._document.lines[at] = event.start_mark.line + 1
            entries[key] = self._node(next(self._events), at)
            if entries[key] is None and path:
                self._empty(at)
        return entries

    def _key(self, event: Any, path: Path) -> str:
        self._check(event, path)
        if type(event).__name__ != "ScalarEvent":
            raise self._fail(event, "a key is itself a list or a mapping", "write a plain word")
        return str(event.value)

    def _empty(self, path: Path) -> None:
        name = path[-1] if isinstance(path[-1], str) else "this line"
        hint = 'write one, "" for an empty text, or take the line out'
        self._document.add(path, f"'{name}' has no value", hint)

    def _repeated(self, event: Any, path: Path) -> None:
        what = f"'{path[-1]}' stands here a second time"
        hint = f"the first is in line {self._document.lines[path]}; keep one of them"
        self._document.add_at(event.start_mark.line + 1, what, hint)

    def _check(self, event: Any, path: Path) -> None:
        if getattr(event, "anchor", None) is not None:
            what = "anchors (&name) and aliases (*name) are not read"
            hint = "write the value out, or put it in quotes if it is meant as text"
            raise self._fail(event, what, hint)
        if str(getattr(event, "tag", None) or "!") != "!":
            raise self._fail(event, "tags (!name) are not read", "take the tag out")
        if len(path) > MAX_DEPTH:
            what = f"lists and mappings go deeper than {MAX_DEPTH} levels"
            raise self._fail(event, what, "a circuit needs six")

    def _fail(self, event: Any, what: str, hint: str) -> FileError:
        return _refused(self._document.file, event.start_mark.line + 1, what, hint)
