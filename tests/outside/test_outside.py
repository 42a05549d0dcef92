"""Our values beside figures from outside: the table that docs/checks.md prints."""

import pytest

from tests.outside.catalogue import catalogue
from tests.outside.check import COMMON, MARKS, MEMORY, Check

CHECKS = [check for _, check in catalogue()]


@pytest.mark.parametrize("check", CHECKS, ids=[f"{t}: {c.what}, {c.unit}" for t, c in catalogue()])
def test_ours_is_what_the_outside_says(check: Check) -> None:
    """Every published, usual or remembered figure is met, within the tolerance stated with it."""
    ours = check.ours()
    assert check.agrees(ours), f"{ours} {check.unit}, where {check.theirs} is said"


def test_every_check_says_what_it_rests_on() -> None:
    """A figure has a source that can be looked up, or the words that there is none."""
    for check in CHECKS:
        assert check.known in MARKS, check.what
        assert check.known in (COMMON, MEMORY) or check.source.title not in (COMMON, MEMORY)
