"""The workshop's own heading: kept in the store, or from a small YAML file with its logo beside
it."""

import json
from base64 import b64decode, b64encode
from collections.abc import Mapping
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

from loomwise.circuit.document import Document, Tree, read_document
from loomwise.circuit.explain import nearest
from loomwise.errors import FileError, InputError, Problem, QuantityError
from loomwise.report.document import Heading
from loomwise.report.shop import NO_SHOP, ROLES, Shop
from loomwise.units import parse_quantity
from loomwise.usecases.files import read_text

if TYPE_CHECKING:
    from loomwise.store import Store

KEYS = ("name", "lines", "logo", "sign", "currency", "labour per hour", "tax")
MOST_LINES, LONGEST = 8, 120
LOGO_BYTES, LOGO_SIDE, LOGO_PIXELS = 5_000_000, 900, 20_000_000
SETTING, WHERE = "heading", "heading"
HOUSE_FILE = "heading.yaml"
"""The shop's heading in the folder of the store, used where none is named."""


def find_shop(file: str = "") -> Shop:
    """The heading in a file; by default the one kept in the store, or that in the store's folder,
    if there is one.

    Raises
    ------
    FileError : with everything wrong in it.
    InputError : a logo that cannot be read.
    """
    from loomwise.store.where import FILE, data_folder, open_store

    if file:
        return read_shop(Path(file))
    if (data_folder() / FILE).is_file() and (kept := shop_in(open_store())):
        return kept
    house = data_folder() / HOUSE_FILE
    return read_shop(house) if house.is_file() else NO_SHOP


def read_shop(path: Path) -> Shop:
    """The heading in a file: name, lines of address, logo, who signs, and how it charges."""
    document = read_document(read_text(path), str(path))
    shop, logo = _shop_of(document)
    return replace(shop, heading=_with_logo(shop, read_logo(path.parent / logo))) if logo else shop


def _shop_of(document: Document) -> tuple[Shop, str]:
    """What a document says, and the name of the logo's file.

    Raises
    ------
    FileError : with everything wrong in it.
    """
    tree = document.tree
    assert isinstance(tree, dict)
    for key in tree:
        if key not in KEYS:
            hint = nearest(key, KEYS, "words here")
            document.add((key,), f"'{key[:40]}' is not known here", hint)
    name = _text(document, tree, "name")
    if not name:
        document.add((), "'name' is missing", "write the workshop's name")
    lines, roles = _texts(document, tree, "lines"), _texts(document, tree, "sign")
    currency, logo = _text(document, tree, "currency"), _text(document, tree, "logo")
    labour = _number(document, tree, "labour per hour", 10_000.0)
    tax = _number(document, tree, "tax", 1.0)
    if document.problems:
        raise FileError(document.problems)
    return Shop(Heading(name, lines), roles or ROLES, currency, labour, tax), logo


def _with_logo(shop: Shop, logo: bytes) -> Heading:
    assert shop.heading is not None
    return replace(shop.heading, logo=logo)


def shop_in(store: "Store") -> Shop | None:
    """The heading kept in the store, if there is one."""
    kept = store.setting(SETTING)
    if kept is None:
        return None
    shop, _ = _shop_of(_written(kept["told"]))
    return replace(shop, heading=_with_logo(shop, b64decode(kept["logo"])))


def told_in(store: "Store") -> dict[str, Any]:
    """The heading kept in the store as it was told, with whether it has a logo."""
    kept = store.setting(SETTING)
    return {**kept["told"], "logo": bool(kept["logo"])} if kept else {}


def keep_shop(store: "Store", told: Mapping[str, Any], logo: bytes | None = None) -> None:
    """Keep a heading, told by the same words as in a file; none at all if nothing is told.

    ``logo`` is a picture, empty for none, or None for the one that is kept already.

    Raises
    ------
    FileError : with everything wrong in it; then the heading stays as it was.
    InputError : a logo that cannot be read.
    """
    said = {k: v for k, v in told.items() if v not in ("", [])}
    if not said and not logo:
        store.set_up(SETTING, None)
        return
    try:
        _shop_of(_written(said))
    except FileError as error:
        raise FileError(Problem(WHERE, 0, p.what, p.hint) for p in error.problems) from None
    kept = store.setting(SETTING) or {"logo": ""}
    image = kept["logo"] if logo is None else b64encode(make_logo(logo, WHERE)).decode("ascii")
    store.set_up(SETTING, {"told": said, "logo": image})


def _written(told: Mapping[str, Any]) -> Document:
    return read_document(json.dumps(told, ensure_ascii=False), WHERE)  # JSON is YAML


def _text(document: Document, tree: dict[str, Tree], key: str) -> str:
    value = tree.get(key, "")
    if isinstance(value, str) and len(value) <= LONGEST:
        return value.strip()
    document.add((key,), f"'{key}' is not what is needed here", f"write at most {LONGEST} signs")
    return ""


def _texts(document: Document, tree: dict[str, Tree], key: str) -> tuple[str, ...]:
    value = tree.get(key, [])
    some = value if isinstance(value, list) else [value]
    good = [v for v in some if isinstance(v, str) and len(v) <= LONGEST]
    if len(good) < len(some) or len(some) > MOST_LINES:
        hint = f"write at most {MOST_LINES} lines of {LONGEST} signs, each after '- '"
        document.add((key,), f"'{key}' is not what is needed here", hint)
    return tuple(v.strip() for v in good[:MOST_LINES])


def _number(document: Document, tree: dict[str, Tree], key: str, most: float) -> float | None:
    """A price, or a share such as "19 %"."""
    if key not in tree:
        return None
    try:
        value = parse_quantity(str(tree[key]), "-")
    except QuantityError as error:
        document.add((key,), error.message, error.hint)
        return None
    if not 0.0 <= value <= most:
        document.add((key,), f"'{key}' is out of range", f"write 0 to {most:g}")
    return value


def read_logo(path: Path) -> bytes:
    """A logo from a file, as ``make_logo``.

    Raises
    ------
    InputError : not there, too large, or no PNG, JPEG or WebP.
    """
    return make_logo(read_bytes(path, LOGO_BYTES, "the logo"), str(path))


def make_logo(data: bytes, where: str) -> bytes:
    """A logo as PNG, made small, what is see-through kept so; nothing stays nothing.

    Raises
    ------
    InputError : too large, or no PNG, JPEG or WebP.
    """
    from PIL import Image

    if not data:
        return b""
    if len(data) > LOGO_BYTES:
        raise InputError("the logo is too large", where, f"the limit is {LOGO_BYTES / 1e6:.0f} MB")
    try:
        with Image.open(BytesIO(data), formats=("PNG", "JPEG", "WEBP")) as image:
            if image.width * image.height > LOGO_PIXELS:
                raise InputError("the logo has too many pixels", where, "make it smaller")
            made = image.convert("RGBA")
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        hint = "take PNG, JPEG or WebP"
        raise InputError("the logo cannot be read", where, hint) from None
    made.thumbnail((LOGO_SIDE, LOGO_SIDE))
    out = BytesIO()
    made.save(out, "PNG", optimize=True)
    return out.getvalue()


def read_bytes(path: Path, most: int, what: str) -> bytes:
    """The bytes of a picture's file.

    Raises
    ------
    InputError : not there, not readable, or too large.
    """
    try:
        if path.stat().st_size > most:
            hint = f"the limit is {most / 1e6:.0f} MB"
            raise InputError(f"{what} has {path.stat().st_size / 1e6:.0f} MB", str(path), hint)
        return path.read_bytes()
    except OSError as error:
        words = (error.strerror or "no reason given").lower()
        raise InputError(f"cannot read {what}: {words}", str(path), "check its name") from None
