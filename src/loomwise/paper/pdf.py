"""A document as PDF. Typst gets it as data, so that no text in it is read as markup.

Its pages are tagged for screen readers (PDF/UA-1) and hold the letters they are set in. Nothing
of the machine goes in: no system font, no clock.
"""

import json
from base64 import b64encode
from functools import cache
from pathlib import Path
from typing import Any

from loomwise.errors import PaperError
from loomwise.paper.plain import plain_document
from loomwise.report.document import Document

PAPERS = {"A4": "a4", "letter": "us-letter"}
HERE = Path(__file__).parent
LETTERS = HERE / "vendor"
FACES = ("Regular", "Semibold", "It")
_MENDING = "'./run check' in the clone fetches it, and so does 'python hatch_build.py'"


def to_pdf(document: Document, paper: str = "A4") -> bytes:
    """The document as a PDF file, on A4 or US letter.

    Raises
    ------
    PaperError : typst or its letters are not there, or it cannot set this document.
    """
    data, files = plain_document(document)
    content = json.dumps({**data, "paper": PAPERS[paper]}, ensure_ascii=False)
    template = (HERE / "templates" / "document.typ").read_bytes()
    images = {
        name: data if name.endswith("svg") else _wrapped(data) for name, data in files.items()
    }
    return _compiled({"main": template, "content.json": content.encode("utf-8"), **images})


def _wrapped(image: bytes) -> bytes:
    """A photograph or logo inside an SVG: typst takes nothing but text from memory. Its format is
    told by its content, whatever the name."""
    from io import BytesIO

    from PIL import Image

    with Image.open(BytesIO(image)) as opened:
        (width, height), kind = opened.size, str(opened.format).lower()
    data = f"data:image/{kind};base64,{b64encode(image).decode('ascii')}"
    size = f'width="{width}" height="{height}"'
    head = f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="0 0 {width} {height}">'
    return f'{head}<image {size} href="{data}"/></svg>'.encode()


def _compiled(project: dict[str, bytes]) -> bytes:
    try:
        import typst
    except (ImportError, OSError) as error:
        message = f"the typesetter typst does not run here: {error}"
        raise PaperError(message, hint="'./run check' in the clone installs it") from None
    try:
        made = typst.compile(
            project, font_paths=_fonts(), ignore_system_fonts=True, timestamp=0,
            pdf_standards="ua-1",
        )  # fmt: skip
    except typst.TypstError as error:
        raise PaperError(f"typst cannot set this: {error.message}") from None
    return bytes(made)


@cache
def _fonts() -> Any:
    """The letters, read once: ours and those inside typst."""
    import typst

    for face in FACES:
        file = LETTERS / f"SourceSans3-{face}.ttf"
        if not file.is_file():
            raise PaperError("the letters Source Sans 3 are not there", str(file), _MENDING)
    return typst.Fonts(include_system_fonts=False, font_paths=[str(LETTERS)])
