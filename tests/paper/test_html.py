"""What the HTML file is: one file, no script, markup as text."""

import re
from html.parser import HTMLParser

from loomwise.paper import to_html
from loomwise.report.document import Document
from tests.paper.conftest import MARKUP


class Reader(HTMLParser):
    """Gathers text, and the names of elements and where they lead to."""

    def __init__(self) -> None:
        super().__init__()
        self.text: list[str] = []
        self.tags: set[str] = set()
        self.links: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note an element."""
        self.tags.add(tag)
        self.links += [str(v) for k, v in attrs if k in ("src", "href")]

    def handle_data(self, data: str) -> None:
        """Note text."""
        self.text.append(data)


def read(document: Document, paper: str = "A4") -> tuple[Reader, str]:
    """The file as a reader sees it, and its source."""
    source = to_html(document, paper).decode("utf-8")
    reader = Reader()
    reader.feed(source)
    return reader, source


def test_nothing_is_missing_and_markup_is_text(everything: Document) -> None:
    """A customer's bracket is text, in every block."""
    reader, source = read(everything)
    text = " ".join("".join(reader.text).split())
    assert text.count(" ".join(MARKUP.split())) >= 5
    assert "Fjell & Søn <i>" in text and "<i>" not in source.split("</style>")[1].replace(
        "&lt;", ""
    )
    for word in ("first", "loose", "hot", "1 Ω ≤ 2 µA", "C1.2 12.4 Ω", "Technician", "foot"):
        assert word in text, word


def test_one_file_without_script(everything: Document) -> None:
    """The file needs no network and runs nothing: it can be mailed and kept."""
    reader, source = read(everything)
    assert "script" not in reader.tags and "link" not in reader.tags
    assert all(link.startswith(("data:image/", "#")) for link in reader.links)
    assert "@import" not in source and not re.search(r"url\(", source)


def test_the_same_bytes_and_the_paper(everything: Document) -> None:
    """Made again it is the same file; it is printed on the paper that was asked for."""
    assert to_html(everything) == to_html(everything)
    assert "size: letter;" in read(everything, "letter")[1]
