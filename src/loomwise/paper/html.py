"""A document as one HTML file: style and pictures inside, no script, fit to print."""

from base64 import b64encode
from functools import cache
from typing import TYPE_CHECKING

from loomwise.paper.plain import plain_document
from loomwise.report.document import Document

if TYPE_CHECKING:
    from jinja2 import Template

TYPES = {"png": "image/png", "jpg": "image/jpeg"}
PAGES = {"A4": "A4", "letter": "letter"}


def to_html(document: Document, paper: str = "A4") -> bytes:
    """The document as the bytes of an HTML file; ``paper`` is what it is printed on."""
    data, files = plain_document(document)
    drawings = {n: d.decode("utf-8") for n, d in files.items() if n.endswith("svg")}
    images = {n: _inline(n, d) for n, d in files.items() if not n.endswith("svg")}
    page = PAGES[paper] + (" landscape" if document.wide else "")
    text = _template().render(doc=data, drawings=drawings, images=images, page=page)
    return text.encode("utf-8")


def _inline(name: str, data: bytes) -> str:
    return f"data:{TYPES[name.rpartition('.')[2]]};base64,{b64encode(data).decode('ascii')}"


@cache
def _template() -> "Template":
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("loomwise.paper"), autoescape=True, undefined=StrictUndefined,
        trim_blocks=True, lstrip_blocks=True,
    )  # fmt: skip
    return environment.get_template("document.html")
