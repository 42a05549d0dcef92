"""A job with a second drawing, in and out of the store."""

import json
import zipfile
from hashlib import sha256
from pathlib import Path

import pytest

from loomwise.errors import FileError, InputError
from loomwise.job import Job
from loomwise.shelf import shelf_text
from loomwise.store import Store, open_store, write_archive
from loomwise.store.where import VARIABLE
from loomwise.usecases.drawings import declared
from loomwise.usecases.files import find_job
from loomwise.usecases.other_drawing import keep_other
from loomwise.usecases.shop_files import export_job, import_job
from loomwise.usecases.stored import choose_circuit, new_job, stored_job
from tests.store.shop import horn_job
from tests.usecases.test_drawings import JOB

SECOND = shelf_text("horn").replace("to C3.1 to H1.1", "to C3.1 to H1.2").replace(
    "H1.2 to C3.2", "H1.1 to C3.2"
)  # fmt: skip


@pytest.fixture
def job(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A job file that names a second drawing beside it, and an empty store."""
    monkeypatch.setenv(VARIABLE, str(tmp_path / "data"))
    monkeypatch.chdir(tmp_path)
    Path("redrawn.yaml").write_text(SECOND, encoding="utf-8")
    text = JOB.replace("circuit: horn", "circuit: horn\nother drawing: redrawn.yaml")
    Path("job.yaml").write_text(text, encoding="utf-8")
    return "job.yaml"


def said(job: Job) -> list[str]:
    """What the job takes from its other drawing."""
    return [fault.title for fault in declared(job)]


def test_it_means_the_same_from_the_store(job: str) -> None:
    """The second drawing and what was said of it come with the job, as from its file."""
    assert shelf_text("horn") != SECOND
    (number,) = import_job(job).jobs
    stored = stored_job(open_store(), number)
    assert stored.other_drawing is not None and stored.differs == ("K1 contact NC",)
    assert said(stored) == said(find_job(job)) != []


def test_it_goes_to_another_shop(job: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Exported there and imported here, the other drawing is there too."""
    (number,) = import_job(job).jobs
    export_job(number, "one.loomwise")
    before = stored_job(open_store(), number)
    monkeypatch.setenv(VARIABLE, str(Path("elsewhere").resolve()))
    import_job("one.loomwise")
    after = stored_job(open_store(), number)
    assert after.other_drawing == before.other_drawing and said(after) == said(before)


@pytest.mark.parametrize("harm", ["left out", "exchanged"])
def test_a_file_without_its_other_drawing(
    job: str, harm: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file in which the other drawing is missing or is another one is refused whole."""
    (number,) = import_job(job).jobs
    export_job(number, "one.loomwise")
    with zipfile.ZipFile("one.loomwise") as archive:
        members = {n: archive.read(n) for n in archive.namelist() if n != "contents.json"}
    (drawn,) = (n for n, data in members.items() if b'"redrawn.yaml"' in data and "circuits" in n)
    if harm == "left out":
        del members[drawn]
    else:
        members[drawn] = json.dumps({"name": "x", "text": shelf_text("blower")}).encode()
    sums = {name: sha256(data).hexdigest() for name, data in members.items()}
    told = {"loomwise": 1, "holds": "job", "sha256": sums}
    with zipfile.ZipFile("two.loomwise", "w") as out:
        out.writestr("contents.json", json.dumps(told))
        for name, data in members.items():
            out.writestr(name, data)
    monkeypatch.setenv(VARIABLE, str(Path("elsewhere").resolve()))
    with pytest.raises(
        FileError, match="is not in it" if harm == "left out" else "another circuit"
    ):
        import_job("two.loomwise")
    assert open_store().jobs() == ()


def test_what_it_cannot_be(store: Store) -> None:
    """Neither file nor words, words that name nothing, a file with mistakes: told, not stored."""
    number = horn_job(store)
    before = store.newest(number)
    for text, differs in (("", ()), ("", ("K9 contact NC",)), ("format: 1\n", ())):
        with pytest.raises(InputError):
            keep_other(store, number, "other.yaml", text, differs)
    assert store.newest(number) == before


def test_another_circuit_forgets_it(store: Store, tmp_path: Path) -> None:
    """The other drawing was one of the circuit that was chosen then; a backup keeps it."""
    number = new_job(store, {"complaint": "x", "vehicle": "y"})
    choose_circuit(store, number, "horn")
    keep_other(store, number, "redrawn.yaml", SECOND)
    assert stored_job(store, number).other_drawing is not None
    choose_circuit(store, number, "headlamps")
    assert stored_job(store, number).other_drawing is None
    assert write_archive(store, str(tmp_path / "shop.loomwise")).jobs == (number,)
