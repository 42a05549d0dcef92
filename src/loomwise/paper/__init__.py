"""Sets a document as PDF (typst) or as one HTML file: the same document, the same bytes."""

from loomwise.paper.html import to_html
from loomwise.paper.pdf import PAPERS, to_pdf

__all__ = ["PAPERS", "to_html", "to_pdf"]
