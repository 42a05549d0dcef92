"""Looking more than one step ahead, and the plan for paper."""

from typing import Any

import pytest

from loomwise.advice.ahead import End, Step, advise, further, never, plan, problem_of
from loomwise.advice.costs import minutes_of
from loomwise.advice.decide import decide
from loomwise.advice.endings import Bench
from loomwise.advice.next_test import Weighed, weigh
from loomwise.advice.outcomes import outcome_chances
from loomwise.evidence import Sign
from loomwise.evidence.items import AT_HAND
from tests.diagnosis.experts import fresh, horn_expert, pressed

SILENT = (Sign("s1", pressed(), "H1", "silent", "yes"),)


def weighed() -> Weighed:
    """All tests for a silent horn."""
    expert = horn_expert()
    ranking = fresh(expert).rank(SILENT)
    return weigh(expert, SILENT, ranking, pressed(), frozenset(), AT_HAND)


def test_what_a_test_costs_is_split_without_loss() -> None:
    """Setting up, opening and probing add up to the whole time of the test from here."""
    expert, w = horn_expert(), weighed()
    picks = w.order[:20]
    problem = problem_of(expert, w, picks, pressed(), frozenset())
    for k, t in enumerate(picks):
        whole = minutes_of(expert.circuit, w.tests[t], pressed(), frozenset())[0]
        assert problem.cost_minutes[k] == pytest.approx(max(whole, 0.05), abs=0.06)


def test_without_time_the_order_is_one_step_s() -> None:
    """Stopped at once, the answer is what one step says; nothing is lost."""
    w = weighed()
    stopped = further(horn_expert(), w, pressed(), frozenset(), lambda: True)
    assert sorted(stopped) == sorted(w.order)
    assert further(horn_expert(), w, pressed(), frozenset(), never)[0] in w.order


def test_what_cannot_be_used_is_not_proposed() -> None:
    """No clamp and no way to plug C3: neither appears, whatever they would tell."""
    expert = horn_expert()
    ranking = fresh(expert).rank(SILENT)
    bench = Bench(pressed(), cannot=frozenset({"C3", "clamp"}))
    verdict, found = advise(expert, SILENT, ranking, bench, 200)
    assert verdict.kind == decide(expert, SILENT, ranking).kind
    assert found
    assert not any(p.instrument == "clamp" for p in found)
    assert not any("C3" in (p.red.split(".")[0], p.black.split(".")[0]) for p in found)
    assert not any("C3 apart" in str(p.setup) for p in found)


def test_the_tests_are_weighed_once_for_verdict_and_advice(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What would settle the doubt and what to do next are the same tests: one look at them does."""
    expert, looks = horn_expert(), []

    def counted(*words: Any) -> Any:
        looks.append(len(words[1]))
        return outcome_chances(*words)

    monkeypatch.setattr("loomwise.advice.next_test.outcome_chances", counted)
    advise(expert, SILENT, fresh(expert).rank(SILENT), Bench(pressed()), 1)
    assert len(looks) == 1


def _leaves(step: Step | End) -> list[End]:
    if isinstance(step, End):
        return [step]
    return [leaf for _, then in step.results for leaf in _leaves(then)]


def test_a_plan_for_paper_ends_in_repairs() -> None:
    """Every branch ends with a unit to repair; a longer plan leaves less to look further for."""
    short, long = (
        plan(horn_expert(), weighed(), pressed(), frozenset(), leaves, never) for leaves in (6, 60)
    )
    assert isinstance(short, Step) and isinstance(long, Step)
    assert 1.0 < long.minutes < 60.0
    for found in (short, long):
        assert 0.8 < sum(leaf.chance for leaf in _leaves(found)) <= 1.0 + 1e-9
    cut = [sum(leaf.chance for leaf in _leaves(p) if leaf.cut) for p in (short, long)]
    assert cut[1] < cut[0]
