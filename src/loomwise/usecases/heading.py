"""The workshop's own heading from a small YAML file, its logo beside it."""

from io import BytesIO
from pathlib import Path
from typing import Any

from loomwise.circuit.document import Document, Tree, read_document
from loomwise.circuit.explain import nearest
from loomwise.errors import FileError, InputError, QuantityError
from loomwise.report.document import Heading
from loomwise.report.shop import NO_SHOP, ROLES, Shop
from loomwise.units import parse_quantity
from loomwise.usecases.files import read_text

KEYS = ("name", "lines", "logo", "sign", "currency", "labour per hour", "tax")
MOST_LINES, LONGEST = 8, 120
LOGO_BYTES, LOGO_SIDE = 5_000_000, 900
HOUSE_FILE = "heading.yaml"
"""The shop's heading in the folder of the store, used where none is named."""


def find_shop(file: str = "") -> Shop:
    """The heading in a file; by default that in the store's folder, if there is one.

    Raises
    ------
    FileError : with everything wrong in it.
    InputError : a logo that cannot be read.
    """
    from loomwise.store.where import data_folder

    house = data_folder() / HOUSE_FILE
    if not file and not house.is_file():
        return NO_SHOP
    return read_shop(Path(file) if file else house)


def read_shop(path: Path) -> Shop:
    """The heading in a file: name, lines of address, logo, who signs, and how it charges."""
    document = read_document(read_text(path), str(path))
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
    image = read_logo(path.parent / logo) if logo else b""
    return Shop(Heading(name, lines, image), roles or ROLES, currency, labour, tax)


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
    """A logo as PNG, made small, what is see-through kept so.

    Raises
    ------
    InputError : not there, too large, or no PNG, JPEG or WebP.
    """
    from PIL import Image

    def small(image: Any) -> bytes:
        made = image.convert("RGBA")
        made.thumbnail((LOGO_SIDE, LOGO_SIDE))
        out = BytesIO()
        made.save(out, "PNG", optimize=True)
        return out.getvalue()

    data = read_bytes(path, LOGO_BYTES, "the logo")
    try:
        with Image.open(BytesIO(data), formats=("PNG", "JPEG", "WEBP")) as image:
            if image.width * image.height > 20_000_000:
                raise InputError("the logo has too many pixels", str(path), "make it smaller")
            return small(image)
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        hint = "take PNG, JPEG or WebP"
        raise InputError("the logo cannot be read", str(path), hint) from None


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
