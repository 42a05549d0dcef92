"""The end of a job: nothing proven without its proof, nothing closed with a plug still apart."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from loomwise.errors import InputError
from loomwise.job.log import fold
from loomwise.store import Store
from loomwise.usecases import closing, stored
from loomwise.usecases.closing import JobEnd
from loomwise.usecases.figures import closings_of
from loomwise.usecases.learned import read_learned
from tests.store.shop import horn_job, store_in

HORN = "horn"


def _good(end: JobEnd) -> list[str]:
    """Answers as a sound vehicle gives them."""
    told = []
    for c in end.checks:
        middle = None if c["word"] else (c["low"] + c["high"]) / 2.0
        unit = {"voltmeter": "V", "clamp": "A", "ohmmeter": "ohm"}.get(c["instrument"], "")
        told.append(f"{c['id']}={c['word'] or f'{middle:.2f} {unit}'}")
    return told


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """An empty store of its own."""
    made = store_in(tmp_path)
    yield made
    made.close()


@pytest.fixture
def number(store: Store) -> int:
    """A job about a silent horn with full volts at it, as the vehicle stands ready to leave."""
    number = horn_job(store)
    for place, value in (("C3.1.b", "12.4 V"), ("C3.2.b", "0.01 V")):
        stored.enter(store, number, "reading", {"red": place, "value": value})
    stored.stand(store, number, {"setup": {}, "opened": []})
    return number


def test_nothing_is_proven_without_a_repair(store: Store, number: int) -> None:
    """A job in which nothing was repaired is closed as unproven only, with the reason."""
    with pytest.raises(InputError, match="nothing was repaired"):
        closing.close(store, number)
    with pytest.raises(InputError, match="nothing is repaired yet"):
        closing.answer(store, number, ["P1=sounds"])
    end = closing.close(store, number, "the customer took the car away")
    assert (end.closed, end.reason) == ("unproven", "the customer took the car away")
    assert store.job(number).state == "closed"


def test_the_proof_must_be_passed(store: Store, number: int) -> None:
    """Missing or failed checks keep the job open; all of them as expected close it as proven."""
    closing.repair(store, number, HORN)
    end = closing.end_of(store, number)
    assert end.checks and not end.passed
    with pytest.raises(InputError, match="P1 is not done yet"):
        closing.close(store, number)
    words = next(c for c in end.checks if c["word"])
    closing.answer(store, number, [f"{words['id']}=silent"])
    with pytest.raises(InputError, match=f"{words['id']} failed: silent"):
        closing.close(store, number)
    closing.answer(store, number, _good(end))
    assert closing.close(store, number, learn=False).closed == "proven"


def test_a_second_repair_needs_a_proof_of_its_own(store: Store, number: int) -> None:
    """Repaired, still there: the answers to the first proof say nothing of the second repair."""
    closing.repair(store, number, HORN)
    closing.answer(store, number, _good(closing.end_of(store, number)))
    name = stored.enter(store, number, "sign", {"what": "H1", "seen": "silent",
                        "setup": {"horn": "pressed"}})  # fmt: skip
    item = next(e for e in stored.stored_job(store, number).evidence if e.id == name)
    assert item.repaired == (HORN,)
    closing.repair(store, number, "K1")
    end = closing.end_of(store, number)
    assert list(end.repaired) == [HORN, "K1"]
    assert not end.shown and not end.passed


def test_nothing_is_closed_while_something_is_undone(store: Store, number: int) -> None:
    """A plug apart or a panel off keeps the job open, even as unproven; put back, it closes."""
    stored.stand(store, number, {"undone": ["C3 apart"]})
    with pytest.raises(InputError, match="put back first, and tick it off: mate C3"):
        closing.close(store, number, "no time")
    stored.stand(store, number, {"undone": [], "opened": ["C3"]})
    with pytest.raises(InputError, match="close up at C3"):
        closing.close(store, number, "no time")
    stored.stand(store, number, {"opened": []})
    assert closing.close(store, number, "no time").closed == "unproven"


def test_a_closed_job_takes_nothing_more(store: Store, number: int) -> None:
    """What is found later is entered after the job is opened again, with the reason."""
    closing.close(store, number, "no time")
    for adding in (
        lambda: stored.enter(store, number, "sign", {"what": "H1", "seen": "sounds"}),
        lambda: stored.stand(store, number, {"undone": ["C3 apart"]}),
        lambda: stored.withdraw(store, number, "S1"),
        lambda: closing.repair(store, number, "K1"),
        lambda: closing.close(store, number, "again"),
    ):
        with pytest.raises(InputError, match="the job is closed"):
            adding()
    with pytest.raises(InputError, match="no reason"):
        closing.reopen(store, number, " ")
    closing.reopen(store, number, "silent again")
    with pytest.raises(InputError, match="not closed"):
        closing.reopen(store, number, "silent again")
    stored.enter(store, number, "sign", {"what": "H1", "seen": "sounds"})


def test_a_proven_job_teaches_until_it_comes_back(store: Store, number: int) -> None:
    """Closed as proven it moves the weights, visibly; when it comes back that is taken back, and
    the month of the closing keeps the comeback."""
    closing.repair(store, number, HORN)
    closing.answer(store, number, _good(closing.end_of(store, number)))
    try:
        end = closing.close(store, number)
        assert end.learned.startswith("counted in the weights as load open"), end.learned
        assert str(number) in read_learned().jobs
    finally:
        back = closing.reopen(store, number, "silent again", comeback=True)
    assert back.learned == "taken out of the weights again"
    assert str(number) not in read_learned().jobs
    (row,) = closings_of(store)
    assert (row.proven, row.comeback) == (True, True)
    closing.close(store, number, "sold")
    closing.reopen(store, number, "closed by mistake")
    assert len(closings_of(store)) == 1  # that one was never over
    assert not fold(store.log(number)).closing
