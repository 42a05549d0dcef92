import json
from pathlib import Path

from loomwise.study.figures import Beside, figures
from loomwise.study.page import study_page
from loomwise.study.small import SmallProblem
from loomwise.usecases.shape import to_json
from loomwise.usecases.study import Studied
from tests.study.ends import RIGHT, WRONG

DOCS = Path(__file__).parents[2] / "docs"


def test_the_page_sets_figures_beside_aims() -> None:
    """An aim of a scenario that was played has its figure, another says that it was not."""
    one = figures("horn", "plain", [RIGHT, WRONG], Beside(1.0, (1.02,), [WRONG, WRONG]))
    small = SmallProblem("horn", 3, 6, 10, 5.0, 5.1)
    page = study_page(to_json(Studied(2, 1, (one,), (one,), (small,))))
    assert "| to half-splitting | at most 0.9 | 0.75 | plain |" in page
    assert "| exchanged found | at least 95 % | not played | exchanged |" in page
    assert "| horn | 3 | 6 | 10 | 5.0 | 5.1 | 1.020 |" in page


def test_the_published_page_is_that_of_the_published_figures() -> None:
    """docs/study.md is made from docs/study.json, which the study command printed."""
    data = json.loads((DOCS / "study.json").read_text(encoding="utf-8"))
    assert (DOCS / "study.md").read_text(encoding="utf-8").endswith(study_page(data))
