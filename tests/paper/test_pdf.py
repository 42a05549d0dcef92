"""What the PDF says and looks like."""

import re
import subprocess
from pathlib import Path
from typing import Any

import pytest

from loomwise.errors import PaperError
from loomwise.paper import pdf, to_pdf
from loomwise.report.document import (
    Document,
    Picture,
    Plan,
    PlanStep,
    Section,
    Table,
    Words,
)
from tests.paper.conftest import MARKUP, SVG


def text_of(data: bytes, file: Path) -> str:
    """The words on all pages, blanks and line ends as one blank."""
    file.write_bytes(data)
    out = subprocess.run(["pdftotext", "-layout", file, "-"], capture_output=True, check=True)
    return " ".join(out.stdout.decode("utf-8").split())


@pytest.mark.poppler
def test_every_block_is_on_the_page(poppler: None, everything: Document, tmp_path: Path) -> None:
    """Nothing that was written is missing, and letters of the trade are there."""
    text = text_of(to_pdf(everything), tmp_path / "a.pdf")
    wanted = ("Fjell & Søn <i>", "Quay Road 12", "All of it", "first", "loose", "Cautions", "hot",
              "R1", "1 Ω ≤ 2 µA № ł ü ²", "C1.2 12.4 Ω", "the drawing", "0 V → 2 look at F1",
              "repair F1: 99 % there", "Technician: date", "foot", "page 1 of")  # fmt: skip
    assert [w for w in wanted if w not in text] == []


@pytest.mark.poppler
def test_markup_is_shown_as_text(poppler: None, everything: Document, tmp_path: Path) -> None:
    """A customer's hash, star or bracket stands on the page as it was said."""
    plain = "".join(text_of(to_pdf(everything), tmp_path / "a.pdf").split())
    assert plain.count("".join(MARKUP.split())) >= 4


def test_the_same_document_gives_the_same_bytes(everything: Document) -> None:
    """A report made again is the same file, so that it can be compared and signed."""
    assert to_pdf(everything) == to_pdf(everything)
    assert to_pdf(everything) != to_pdf(everything, "letter")


@pytest.mark.poppler
@pytest.mark.parametrize(("paper", "size"), [("A4", "595.2"), ("letter", "612 x 792")])
def test_paper_sizes(
    poppler: None, everything: Document, tmp_path: Path, paper: str, size: str
) -> None:
    """A4 and US letter have their own measures, and no page is cut off or empty."""
    file = tmp_path / "a.pdf"
    file.write_bytes(to_pdf(everything, paper))
    info = subprocess.run(["pdfinfo", file], capture_output=True, check=True).stdout.decode()
    assert size in info and "Tagged:          yes" in info
    subprocess.run(["pdftoppm", "-r", "20", "-png", file, tmp_path / "p"], check=True)
    from PIL import Image

    for page in sorted(tmp_path.glob("p*.png")):
        grey = Image.open(page).convert("L")
        box = grey.point([255 if v < 200 else 0 for v in range(256)]).getbbox()
        assert box and box[0] >= 8 and box[2] <= grey.width - 8, f"{page} is cut or empty"


@pytest.mark.poppler
def test_a_heading_stays_with_its_table(poppler: None, tmp_path: Path) -> None:
    """A heading, its sentence and a short table are never parted by the end of a page."""
    table = Table(("", "x"), tuple((f"T{n}", "row") for n in range(6)), (0, 1))
    for many in range(30, 46, 3):
        filler = Section("Filler", tuple(Words(f"line {n}") for n in range(many)))
        last = Section("Together", (Words("What leads up to it."), table))
        file = tmp_path / f"{many}.pdf"
        file.write_bytes(to_pdf(Document("D", "", None, (filler, last))))
        out = subprocess.run(["pdftotext", file, "-"], capture_output=True, check=True)
        pages = out.stdout.decode("utf-8").split("\f")
        at = next(n for n, page in enumerate(pages) if "Together" in page)
        assert "What leads up to it." in pages[at] and "T0" in pages[at] and "T5" in pages[at]


def test_letters_that_are_missing_are_told(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, everything: Document
) -> None:
    """Without its letters nothing is set in others silently; it is said how to get them."""
    monkeypatch.setattr(pdf, "LETTERS", tmp_path)
    pdf._fonts.cache_clear()
    with pytest.raises(PaperError, match=r"Source Sans 3 are not there.*fetches"):
        to_pdf(everything)
    pdf._fonts.cache_clear()


@pytest.mark.poppler
@pytest.mark.parametrize("width", [1500, 600])
def test_a_drawing_is_on_the_page_of_its_heading(poppler: None, tmp_path: Path, width: int) -> None:
    """A wide drawing lies on its side and keeps its heading; a high one goes on with it too."""
    svg = SVG.replace('"200"', f'"{width}"').replace('"100"', '"900"').replace("200 100", "200 90")
    picture = Picture(svg, width, 900, "a wire", "the drawing")
    text, drawing = Section("Text", (Words("before"),)), Section("Its heading", (picture,))
    file = tmp_path / "a.pdf"
    file.write_bytes(to_pdf(Document("D", "", None, (text, drawing, text))))
    out = subprocess.run(["pdftotext", file, "-"], capture_output=True, check=True)
    pages = out.stdout.decode("utf-8").split("\f")
    at = next(page for page in pages if "Its heading" in page)
    assert "C1.2 12.4" in at and "the drawing" in at


def _chain(tests: int) -> Document:
    """A plan in which each test but the last has another behind its first result."""
    steps = tuple(
        PlanStep(n, f"test{n}", "key run", "2 min, 5 %", (
            (f"low{n}", f"go on with test {n + 1}", n + 1) if n < tests else ("low", "end", 0),
            (f"high{n}", f"repair F{n}: 99 % there", 0),
        )) for n in range(1, tests + 1)
    )  # fmt: skip
    return Document("Test plan", "", None, (Section("Tests", (Plan(steps),)),), "foot")


@pytest.mark.poppler
@pytest.mark.parametrize("paper", ["A4", "letter"])
def test_a_plan_is_a_tree(poppler: None, tmp_path: Path, paper: str) -> None:
    """Each test stands further in than the one before it, its results one below the other, and the
    deepest is still on the page."""
    tests = 14
    file = tmp_path / "plan.pdf"
    file.write_bytes(to_pdf(_chain(tests), paper))
    out = subprocess.run(["pdftotext", "-bbox", file, "-"], capture_output=True, check=True).stdout
    found = re.findall(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)".*?>(\w+)<',
                       out.decode("utf-8"))  # fmt: skip
    at = {word: (float(x), float(y), float(right)) for x, y, right, word in found}
    for n in range(1, tests):
        assert at[f"test{n + 1}"][0] > at[f"test{n}"][0] + 8
        assert at[f"low{n}"][0] == pytest.approx(at[f"high{n}"][0], abs=0.1)
    width = {"A4": 595, "letter": 612}[paper]
    assert max(right for word, (_, _, right) in at.items() if word[:3] in ("tes", "hig", "low")) < (
        width - 50
    )
    subprocess.run(["pdftoppm", "-gray", "-r", "50", "-png", file, tmp_path / "p"], check=True)
    from PIL import Image

    (first, *_) = sorted(tmp_path.glob("p*.png"))
    page = Image.open(first).convert("L")
    x = int((at["low1"][0] - 17) * 50 / 72)
    stem = max(_run(page, x + k) for k in (-2, -1, 0, 1, 2))
    assert stem > 200, "a stem leads from the first test down to its last result, in grey too"


def _run(page: Any, x: int) -> int:
    """The longest dark run down a column of pixels."""
    best = run = 0
    for y in range(page.height):
        run = run + 1 if page.getpixel((x, y)) < 215 else 0
        best = max(best, run)
    return best
