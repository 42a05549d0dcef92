"""A document as plain data for a template, its pictures as files beside it."""

from dataclasses import fields, is_dataclass
from typing import Any

from loomwise.report.document import Document, Heading, Photo, Picture

Files = dict[str, bytes]


def plain_document(document: Document) -> tuple[dict[str, Any], Files]:
    """The document as JSON-ready data, and its pictures by the names that stand in it.

    A block says by ``kind`` what it is: the name of its type in small letters.
    """
    files: Files = {}
    data = _plain(document, files)
    return data, files


def _plain(value: object, files: Files) -> Any:
    if isinstance(value, tuple):
        return [_plain(v, files) for v in value]
    if not is_dataclass(value) or isinstance(value, type):
        return value
    found = {f.name: _plain(getattr(value, f.name), files) for f in fields(value)}
    match value:
        case Picture():
            found["svg"] = _kept(files, value.svg.encode("utf-8"), "svg")
        case Photo():
            found["data"] = _kept(files, value.data, "jpg")
        case Heading():
            found["logo"] = _kept(files, value.logo, "png") if value.logo else ""
    return {"kind": type(value).__name__.lower(), **found}


def _kept(files: Files, data: bytes, suffix: str) -> str:
    name = f"picture-{len(files) + 1}.{suffix}"
    files[name] = data
    return name
