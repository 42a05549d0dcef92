from dataclasses import replace

import numpy as np
import pytest

from loomwise.study.play import MOST_ITEMS, MOST_MINUTES, Ended, draw_case, play, with_sign
from tests.diagnosis.experts import fresh, horn_expert

SEED, CASES = 1, 12


def played(count: int, seed: int) -> list[Ended]:
    """A seeded run of cases on the horn."""
    expert = replace(horn_expert(), judge=fresh(horn_expert()), cache={})
    cases, draw = with_sign(expert), np.random.default_rng(seed)
    return [play(expert, *draw_case(expert, cases, draw)) for _ in range(count)]


@pytest.mark.slow
def test_a_small_study_is_mostly_right() -> None:
    """Twelve horns with a hidden fault each: ten at least are found, none takes for ever."""
    ended = played(CASES, SEED)
    assert sum(e.right for e in ended) >= 10
    for e in ended:
        assert e.readings <= MOST_ITEMS + 1
        assert e.minutes <= MOST_MINUTES + 60.0  # the last test may run over
        assert e.recognised <= e.missed
        assert (e.share >= 0.99) or e.kind != "proven"


def test_the_same_seed_plays_the_same_case() -> None:
    """A study can be repeated to the last reading."""
    assert played(1, 3) == played(1, 3)


def test_only_faults_that_show_are_complaints() -> None:
    """A fault without a sign at any load brings nobody in; one with a sign names its setup."""
    cases = dict(with_sign(horn_expert()))
    by_id = {f.id: setup for f, setup in cases.items()}
    assert by_id["K1 contact open"].state_of("horn") == "pressed"
    assert by_id["K1 contact welded"].state_of("horn") == "free"
    assert "no fault" not in by_id
    assert len(by_id) < len(horn_expert().table.faults)
