import numpy as np
import pytest

from loomwise.advice.candidates import candidates
from loomwise.study.ceiling import ceiling, shown
from loomwise.study.play import with_sign
from loomwise.study.small import small_problems
from tests.diagnosis.experts import horn_expert, loop_expert


def test_the_ceiling_is_a_share_near_one() -> None:
    """With eyes and every instrument most of the horn's faults can be told, not quite all."""
    expert = loop_expert()
    assert 0.8 < ceiling(expert, with_sign(expert)) <= 1.0


def test_a_pair_of_eyes_lifts_the_ceiling() -> None:
    """A burnt contact and its wire answer every meter alike; the eye tells them apart."""
    expert = loop_expert()
    number = {f.id: h for h, f in enumerate(expert.table.faults, 1)}
    tests = candidates(expert, (), expert.states[0])
    looks = [k for k, t in enumerate(tests) if (t.instrument, t.red) == ("look", "C1.1")]
    contact = next(i for i in number if i.startswith("C1.1 poor") or i.startswith("C1.1 res"))
    wire = next(i for i in number if i.startswith("F1.2-C1.1") and "open" in i)
    rows = np.array([number[contact], number[wire]])
    seen = shown(expert, tests, rows)[:, looks]
    assert seen[0, 0] == 1.0
    assert seen[1, 0] == 0.0


@pytest.mark.slow
def test_the_advice_costs_little_more_than_the_best_tree() -> None:
    """On small problems no way is cheaper than the best; the same seeds cut the same problems."""
    expert = horn_expert()
    found = small_problems(expert, with_sign(expert), "horn", 4)
    assert len(found) == 4
    for p in found:
        assert 4 <= p.hypotheses <= 12
        assert p.tests <= 10
        assert 1.0 - 1e-9 <= p.ratio < 2.0
    assert found == small_problems(expert, with_sign(expert), "horn", 4)
