"""What is said alike on the command line and on the pages."""

import pytest

from loomwise.usecases.wording import no_test, plan_end


@pytest.mark.parametrize(
    ("title", "cut", "says"),
    [
        ("fuse F1", False, "repair fuse F1: 91 % there"),
        ("fuse F1", True, "repair fuse F1 or look further: 91 % there"),
        ("nothing wrong", False, "nothing wrong: 91 %"),
        ("not explained", True, "not explained: 91 %; look further"),
    ],
)
def test_the_end_of_a_plan(title: str, cut: bool, says: str) -> None:
    """Nobody repairs "nothing wrong", nor what the circuit does not explain."""
    assert plan_end({"title": title, "cut": cut, "share": 0.91}) == says


def test_why_no_test_is_proposed() -> None:
    """Once it is proven, there is nothing that a test failed to tell."""
    assert no_test({"kind": "proven"}).startswith("It is proven")
    assert no_test({"kind": "best bet"}).startswith("No test that could be made")
