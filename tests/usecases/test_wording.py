"""What is said alike on the command line and on the pages."""

import pytest

from loomwise.usecases.wording import plan_end


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
