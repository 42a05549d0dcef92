"""Thinking ahead on the server, in the breaks."""

import threading

import pytest

from loomwise.store import Store
from loomwise.web.reason import Reasoner, Turn


def test_thinking_ahead_stores_nothing_and_changes_no_advice(store: Store, job: int) -> None:
    """The advice is the same after thinking ahead, and the job has no entry more."""
    reasoner = Reasoner(store)
    _, before = reasoner.advice(job)
    newest = store.newest(job)
    reasoner.think_ahead(job)
    assert store.newest(job) == newest
    assert Reasoner(store).advice(job)[1]["units"] == before["units"]


def test_nothing_is_thought_ahead_while_somebody_waits(
    store: Store, job: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever asks comes first: thinking ahead stops after the piece it is at."""
    reasoner = Reasoner(store)
    view, _ = reasoner.advice(job)
    assert view.job is not None
    pieces: list[int] = []
    answered = threading.Event()

    def ask() -> None:
        with reasoner.alone(view.job.circuit.digest):  # type: ignore[union-attr]
            answered.set()

    def endless(*_: object) -> object:
        asking = threading.Thread(target=ask)
        while True:
            pieces.append(1)
            if len(pieces) == 2:
                asking.start()
                while not reasoner.alone(view.job.circuit.digest).wanted:  # type: ignore[union-attr]
                    pass
            assert len(pieces) < 3
            yield object()

    monkeypatch.setattr("loomwise.web.reason.thoughts_of", endless)
    reasoner.think_ahead(job)
    assert answered.wait(10)
    assert len(pieces) == 2


def test_a_turn_tells_that_it_is_wanted() -> None:
    """A turn is wanted while somebody waits for it, and not by who holds it."""
    turn = Turn()
    with turn:
        assert not turn.wanted
        other = threading.Thread(target=lambda: turn.__enter__())
        other.start()
        while not turn.wanted:
            pass
    other.join(10)
    assert not turn.wanted
