"""A document that has one of everything."""

from io import BytesIO

import pytest
from PIL import Image

from loomwise.report.document import (
    Cautions,
    Document,
    Facts,
    Heading,
    Photo,
    Photos,
    Picture,
    Plan,
    PlanStep,
    Points,
    Section,
    Signatures,
    Table,
    Words,
)

MARKUP = 'a <b>bold</b> #strong[x] $y$ @z \\ *w* "q" & {{ 7 * 7 }}'
SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 100" width="200" height="100">'
    '<text x="10" y="50" font-family="DejaVu Sans Mono" font-size="12">C1.2 12.4 Ω</text></svg>'
)


def picture_bytes(kind: str) -> bytes:
    """A small picture."""
    out = BytesIO()
    Image.new("RGB", (40, 30), "#22577a").save(out, kind)
    return out.getvalue()


@pytest.fixture(scope="session")
def everything() -> Document:
    """One block of every kind, with markup wherever a person may write."""
    photo = Photo(picture_bytes("JPEG"), 40, 30, f"photo {MARKUP}")
    step = PlanStep(1, f"volts {MARKUP}", "key run", "2 min", (("0 V", "go on with test 2", 2),))
    end = PlanStep(2, "look at F1", "", "1 min", (("blown", "repair F1: 99 % there", 0),))
    rows = (("R1", MARKUP, ""), ("R2", "1 Ω ≤ 2 µA № ł ü ²", ""))
    blocks = (
        Facts((("Vehicle", f"Norvik {MARKUP}"),)),
        Words(f"quoted {MARKUP}", "quote"),
        Words("lead", "lead"),
        Points(("first", MARKUP), numbered=True),
        Points(("loose",)),
        Cautions(("hot", "moving")),
        Table(("", "read", "found"), rows, (0, 1, 1), (0,), (2,), (1,)),
        Picture(SVG, 200, 100, "a wire", "the drawing"),
        Photos((photo,)),
        Plan((step, end)),
        Signatures(("Technician", "Customer")),
    )  # fmt: skip
    shop = Heading("Fjell & Søn <i>", ("Quay Road 12",), picture_bytes("PNG"))
    return Document("Report", "Norvik", shop, (Section("All of it", blocks),), "foot")
