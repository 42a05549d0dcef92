"""Spoilt circuit files: refused with a reason or answered. `./run bench mutations` tries 10,000."""

from pathlib import Path

import pytest

from loomwise.shelf import shelf_names, shelf_text
from tests.reference.mutations import Tried, spoilt, try_spoilt

SAMPLE = range(24)


@pytest.mark.parametrize("seed", SAMPLE)
def test_a_spoilt_file_is_refused_or_solved(seed: int, tmp_path: Path) -> None:
    """Whatever typing or pasting has spoilt, there is an answer or a reason, and soon."""
    tried = try_spoilt(seed, tmp_path)
    assert tried.good, f"{tried.name}: exit {tried.codes}, {tried.seconds:.1f} s\n{tried.said}"
    assert tried.said.strip()


def test_the_sample_spoils_all_sorts() -> None:
    """Each seed gives the same file again, and nearly every file differs from the good one."""
    texts = [spoilt(seed) for seed in SAMPLE]
    assert texts == [spoilt(seed) for seed in SAMPLE]
    assert sum(text == shelf_text(name) for name, text in texts) < len(SAMPLE) / 4
    assert len({name for name, _ in texts}) > len(shelf_names()) / 2


def test_what_is_not_good() -> None:
    """A traceback, another exit code or a long wait each count as bad."""
    assert Tried("horn", (2, 0), 0.1, "line 3: ...").good
    assert not Tried("horn", (3, 0), 0.1, "").good
    assert not Tried("horn", (0, 0), 6.0, "").good
    assert not Tried("horn", (0, 0), 0.1, "Traceback (most recent call last)").good
