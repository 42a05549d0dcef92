"""Thinking ahead while a test is being made."""

import pytest

from loomwise.advice.ahead import advise
from loomwise.advice.endings import Bench
from loomwise.advice.foresee import as_evidence, thoughts
from loomwise.advice.proposal import Proposal
from loomwise.evidence import Evidence, Reading, Sign
from loomwise.solver.engines import LowRank
from tests.diagnosis.experts import horn_expert, pressed

SILENT = (Sign("s1", pressed(), "H1", "silent", "yes"),)


def proposed(most: int = 8) -> tuple[Proposal, ...]:
    """The best tests for a silent horn."""
    expert = horn_expert()
    expert.judge = expert.judge.fresh()
    return advise(expert, SILENT, expert.judge.rank(SILENT), Bench(pressed()), most)[1]


def _bounds_v(text: str) -> tuple[float, float]:
    """The ends of "3 V to 6 V", "below 3 V" or "above 6 V"."""
    numbers = [float(word) for word in text.split() if word[0].isdigit()]
    if len(numbers) == 2:
        return numbers[0], numbers[1]
    return (-0.01, numbers[0]) if text.startswith("below") else (numbers[0], 1e3)


def test_a_typical_result_lies_where_its_outcome_says() -> None:
    """Of the results told of a test, each with its own bounds, one such result is given."""
    read = 0
    for test in proposed():
        for outcome in test.outcomes:
            answer = as_evidence(test, outcome)
            if isinstance(answer, Sign) or answer.word:
                assert outcome.typical == outcome.text
            elif answer.instrument == "voltmeter":
                low_v, high_v = _bounds_v(outcome.text)
                assert answer.value is not None
                assert low_v <= answer.value <= high_v
                read += 1
    assert read > 5


def test_an_answer_that_was_foreseen_waits_for_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the likely answers say is solved while she measures; then nothing more is solved, and
    the ranking is the same as without thinking ahead."""
    expert, tests = horn_expert(), proposed(2)
    expert.judge = expert.judge.fresh()
    expert.judge.rank(SILENT)
    done = list(thoughts(expert, SILENT, tests, Bench(pressed())))
    assert {(a.setup, getattr(a, "red", getattr(a, "what", ""))) for a in done} == {
        (t.setup, t.red) for t in tests
    }
    monkeypatch.setattr(LowRank, "solution", _none_is_asked_for)
    foreseen = [expert.judge.rank([*SILENT, answer]).units for answer in done]
    monkeypatch.undo()
    expert.judge = expert.judge.fresh()
    alone = [expert.judge.rank([*SILENT, answer]).units for answer in done]
    for one, other in zip(foreseen, alone, strict=True):
        assert one == pytest.approx(other, abs=1e-9)


def _none_is_asked_for(*_: object) -> None:
    raise AssertionError("something was still to be solved")


def test_a_little_off_the_foreseen_number_needs_no_solving_of_single_faults(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The meter never shows quite what was foreseen: the single faults are solved all the same."""
    expert, tests = horn_expert(), proposed(1)
    done: list[Evidence] = list(thoughts(expert, SILENT, tests, Bench(pressed())))
    near = [
        Reading("r", a.setup, a.instrument, a.red, a.black, a.value + 0.03, method=a.method)
        for a in done
        if isinstance(a, Reading) and a.value is not None
    ]
    monkeypatch.setattr(LowRank, "solution", _none_is_asked_for)
    for reading in near:
        expert.judge.singles.look([*SILENT, reading])
