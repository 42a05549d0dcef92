"""The demo job: nothing about its end is written down beforehand."""

import inspect
from functools import cache
from typing import Any

import pytest

from loomwise.usecases import demo

pytestmark = pytest.mark.slow


@cache
def steps() -> tuple[dict[str, Any], ...]:
    """The demo, played once."""
    return tuple(demo.play_demo())


def test_it_proves_the_unit_at_fault() -> None:
    """The job ends proven, with the unit whose relay is broken, its price and the cautions."""
    end = steps()[-1]
    assert end["verdict"]["kind"] == "proven"
    assert end["verdict"]["unit"] == "fuse box"
    assert end["fault"] == end["truth"]["fault"]
    assert end["price"] > 0 and end["labour_minutes"] > 0 and end["cautions"]
    assert end["why"] and end["why_not"]


def test_it_finds_the_doubts() -> None:
    """The exchanged pair and the missed contact are both named at the end."""
    end = steps()[-1]
    titles = [d["title"] for d in end["doubts"] if d["share"] > 0.9]
    assert any("cavities 2 and 3 of C1 exchanged" in t for t in titles)
    assert end["truth"]["missed"] and any(end["truth"]["missed"] in t for t in titles)


def test_the_advice_is_not_told() -> None:
    """The hidden truth reaches the simulated vehicle and the last line only."""
    source = inspect.getsource(demo)
    assert source.count("FAULT") == 2 and source.count("EXCHANGED") == 3


def test_every_step_says_what_it_did() -> None:
    """Each test tells why, what was read, and what that made of the suspects."""
    tests = [s for s in steps() if s["step"] == "test"]
    assert len(tests) >= 3
    for step in tests:
        assert step["read"] and step["suspects"] and step["proposal"]["expectations"]
