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
    """docs/study.md is made from docs/study*.json, which the study command printed."""
    files = sorted(DOCS.glob("study*.json"))
    page = study_page(*(json.loads(file.read_text(encoding="utf-8")) for file in files))
    assert (DOCS / "study.md").read_text(encoding="utf-8").endswith(page)


def test_several_studies_make_one_page() -> None:
    """What a second study played beside the first is told with its seed and cases; where both
    played the same, the first counts, and a figure that only the second has is not lost."""
    plain = figures("horn", "plain", [RIGHT], Beside(1.0, (), ()))
    split = figures("horn", "plain", [RIGHT, WRONG], Beside(1.0, (), [WRONG, WRONG]))
    found = figures("horn", "exchanged", [RIGHT], Beside(1.0, (), ()))
    one, other = (
        to_json(Studied(cases, seed, some, some, ()))
        for cases, seed, some in ((100, 2, (plain,)), (20, 3, (split, found)))
    )
    page = study_page(one, other)
    assert "Seed 2, 100 cases a circuit: plain." in page
    assert "Seed 3, 20 cases a circuit: exchanged." in page
    assert page.count("## plain") == 1 and page.count("## exchanged") == 1
    assert "| to half-splitting | at most 0.9 | 0.75 | plain |" in page
