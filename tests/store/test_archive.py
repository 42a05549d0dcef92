"""One file for a job or the shop: whole, checked on reading, and joined with what is there."""

import json
import zipfile
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from loomwise.errors import InputError
from loomwise.store import Store, read_archive, write_archive
from loomwise.usecases import stored
from loomwise.usecases.record_file import keep_live, live_of
from tests.store.shop import horn_job, store_in


def picture() -> bytes:
    """A small photograph."""
    out = BytesIO()
    Image.new("RGB", (40, 30), "grey").save(out, "JPEG")
    return out.getvalue()


@pytest.fixture
def file(store: Store, tmp_path: Path) -> Path:
    """An exported job with a photograph."""
    number = horn_job(store)
    stored.take_photo(store, number, picture(), "plug C1")
    path = tmp_path / "job.loomwise"
    write_archive(store, str(path), [number])
    return path


def other(tmp_path: Path) -> Store:
    """Another shop."""
    (tmp_path / "other").mkdir()
    return store_in(tmp_path / "other")


def test_a_job_moves_whole(store: Store, file: Path, tmp_path: Path) -> None:
    """A job read in another shop is the same job: entries, circuit and photographs."""
    there = other(tmp_path)
    found = read_archive(there, str(file))
    assert found.entries == len(store.log(1)) and there.log(found.jobs[0]) == store.log(1)
    assert stored.stored_job(there, 1).evidence == stored.stored_job(store, 1).evidence
    digest = str(store.log(1)[-1].body["digest"])
    assert there.photo(digest) == store.photo(digest)


def test_a_record_of_live_data_moves_with_its_job(store: Store, tmp_path: Path) -> None:
    """The file that a scan tool wrote is the same in another shop."""
    number = horn_job(store)
    digest = keep_live(store, number, "drive.csv", b"time,Fan\n0,on\n1,on\n")
    write_archive(store, str(tmp_path / "job.loomwise"), [number])
    there = other(tmp_path)
    read_archive(there, str(tmp_path / "job.loomwise"))
    assert there.file(digest) == store.file(digest) and live_of(there, 1, digest)[0] == "drive.csv"


def test_reading_twice_adds_nothing(file: Path, tmp_path: Path) -> None:
    """The same file read again changes nothing."""
    there = other(tmp_path)
    read_archive(there, str(file))
    assert read_archive(there, str(file)).entries == 0 and len(there.jobs()) == 1


def test_two_copies_are_joined(store: Store, file: Path, tmp_path: Path) -> None:
    """Where two shops went on with one job, both shops' readings are kept."""
    there = other(tmp_path)
    read_archive(there, str(file))
    stored.enter(there, 1, "reading", {"red": "K1.86", "value": "12 V"})
    stored.enter(store, 1, "reading", {"red": "K1.30", "value": "11 V"})
    more = tmp_path / "more.loomwise"
    write_archive(there, str(more), [1])
    assert read_archive(store, str(more)).entries == 2, "the reading, and that K1 is laid open"
    reds = [getattr(e, "red", "") for e in stored.stored_job(store, 1).evidence]
    assert reds == ["", "F4.1", "K1.30", "K1.86"]


def test_a_backup_holds_the_whole_shop(store: Store, tmp_path: Path) -> None:
    """Removed jobs are in the backup too."""
    horn_job(store), horn_job(store)
    stored.remove(store, 2)
    write_archive(store, str(tmp_path / "shop.loomwise"))
    there = other(tmp_path)
    assert read_archive(there, str(tmp_path / "shop.loomwise")).jobs == (1, 2)
    assert [j.number for j in there.jobs(removed=True)] == [2]


@pytest.mark.parametrize("part", [0, 2, 100, 0.5, 0.99])
def test_a_file_cut_short(file: Path, tmp_path: Path, part: float) -> None:
    """A file that was not copied to its end is refused, and nothing of it is read."""
    data = file.read_bytes()
    file.write_bytes(data[: int(part if part > 1 else part * len(data))])
    there = other(tmp_path)
    with pytest.raises(InputError, match="not a whole file"):
        read_archive(there, str(file))
    assert not there.jobs()


def changed(file: Path, name: str, data: bytes) -> None:
    """The file with one member replaced."""
    with zipfile.ZipFile(file) as old:
        members = {n: old.read(n) for n in old.namelist()}
    members[next(n for n in members if n.startswith(name))] = data
    with zipfile.ZipFile(file, "w") as new:
        for member, content in members.items():
            new.writestr(member, content)


def test_a_changed_part(file: Path, tmp_path: Path) -> None:
    """A file in which something was changed is refused by its checksum."""
    changed(file, "jobs/", b"{}")
    with pytest.raises(InputError, match="was changed or is damaged"):
        read_archive(other(tmp_path), str(file))


def test_a_newer_file(file: Path, tmp_path: Path) -> None:
    """A file of a newer program says so."""
    changed(file, "contents", json.dumps({"loomwise": 99, "sha256": {}}).encode())
    with pytest.raises(InputError, match="newer Loomwise"):
        read_archive(other(tmp_path), str(file))


def test_a_file_that_is_there_is_kept(store: Store, file: Path) -> None:
    """Nothing is written over."""
    with pytest.raises(InputError, match="there already"):
        write_archive(store, str(file), [1])
