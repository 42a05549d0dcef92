"""The server is killed in the middle of a job: what it acknowledged is there afterwards."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from loomwise.usecases import stored
from tests.store.shop import horn_job, store_in

ROOT = Path(__file__).parents[2]
TIMES = 20


@pytest.mark.slow
def test_whatever_was_acknowledged_is_there(tmp_path: Path) -> None:
    """Twenty times the server is killed at a random moment, and no acknowledged reading is lost."""
    words = [sys.executable, "-m", "tests.web.lives", str(tmp_path), str(TIMES)]
    said = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=True, timeout=300)
    known = {int(job): values for job, values in json.loads(said.stdout).items()}
    store = store_in(tmp_path)
    store.check()
    assert len(known) == TIMES and sum(map(len, known.values())) > TIMES
    for number, values in known.items():
        kept = [e.body.get("value") for e in store.log(number)]
        assert [v for v in values if v not in kept] == []
        assert len(stored.stored_job(store, number).evidence) >= len(values)
    store.close()


def test_a_store_is_shared_by_two_programs(tmp_path: Path) -> None:
    """The command line may enter something while the pages are open."""
    one, two = store_in(tmp_path), store_in(tmp_path)
    number = horn_job(one)
    stored.note(two, number, "from the other")
    assert one.log(number) == two.log(number)
    one.close()
    two.close()
