"""Jobs as logs: what was entered stays, whatever is said later."""

from concurrent.futures import ThreadPoolExecutor, wait
from pathlib import Path

import pytest
from sqlalchemy import text

from loomwise.errors import FileError, InputError, NotFoundError, StoreError
from loomwise.job.log import fold
from loomwise.store import Store
from loomwise.store.engine import explained, writing
from loomwise.store.migrate import HEAD
from loomwise.store.store import _exists, new_entry
from loomwise.usecases import stored
from tests.store.shop import horn_job, store_in


def test_entries_stay_through_corrections(store: Store) -> None:
    """A reading that was corrected no longer counts, but stands in the record with its reason."""
    number = horn_job(store)
    assert stored.correct(store, number, "R1", {"value": "12.1 V"}) == "R2"
    job = stored.stored_job(store, number)
    assert [e.id for e in job.evidence] == ["S1", "R2"]
    assert job.withdrawn == (("R1", "corrected by R2"),)
    items = fold(store.log(number)).items
    assert [i.body["value"] for i in items if i.kind == "reading"] == ["12.6 V", "12.1 V"]


def test_withdrawing_can_be_undone(store: Store) -> None:
    """What was withdrawn counts again when it is put back, with nothing of it lost."""
    number = horn_job(store)
    before = stored.stored_job(store, number)
    stored.withdraw(store, number, "R1", "the clip had come off")
    assert stored.stored_job(store, number).withdrawn == (("R1", "the clip had come off"),)
    stored.reinstate(store, number, "R1")
    assert stored.stored_job(store, number) == before


def test_a_removed_job_comes_back(store: Store) -> None:
    """A job taken off the list can be put back on it."""
    number = horn_job(store)
    stored.remove(store, number)
    assert not store.jobs() and [j.number for j in store.jobs(removed=True)] == [number]
    stored.remove(store, number, back=True)
    assert [j.number for j in store.jobs("norvik horn")] == [number]


def test_the_same_entry_sent_twice(store: Store) -> None:
    """A reading sent again after a lost connection is one reading."""
    number = horn_job(store)
    for _ in range(2):
        stored.enter(store, number, "reading", {"red": "K1.86", "value": "12 V"}, "sent-once")
    assert [e.id for e in stored.stored_job(store, number).evidence] == ["S1", "R1", "R2"]


def test_readings_take_over_how_the_vehicle_stands(store: Store) -> None:
    """Setup and complaint are said once, and every reading after it carries them."""
    number = horn_job(store)
    reading = stored.stored_job(store, number).evidence[-1]
    assert reading.setup.state_of("horn") == "pressed" and reading.complaint == "yes"


def test_a_test_in_another_setup_moves_the_vehicle(store: Store) -> None:
    """After a test with a plug apart the plug stands on the put-back list."""
    number = horn_job(store)
    undone = {"red": "C1.3.a", "value": "0 V", "undone": ["C1 apart"]}
    stored.enter(store, number, "reading", undone)
    assert [str(u) for u in stored.stored_job(store, number).here.undone] == ["C1 apart"]


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"red": "C9.1", "value": "12 V"}, "no place 'C9.1'"),
        ({"red": "F4.1", "value": "12,6 V"}, "comma"),
        ({"red": "F4.1", "value": "12 A"}, "12 A"),
        ({"red": "F4.1", "value": "4000 V"}, "at most 100"),
        ({"red": "F4.1"}, "'value' is missing"),
    ],
)
def test_what_cannot_be_is_not_stored(store: Store, fields: dict[str, str], said: str) -> None:
    """A wrong place, unit, comma or size is told in words, and nothing is stored."""
    number = horn_job(store)
    before = store.newest(number)
    with pytest.raises(FileError, match=said):
        stored.enter(store, number, "reading", fields)
    assert store.newest(number) == before


def test_a_wrong_vin_opens_no_job(store: Store) -> None:
    """A number that does not agree with its check digit is caught at the counter."""
    with pytest.raises(InputError, match="check digit"):
        stored.new_job(store, {"complaint": "x", "vehicle": "y", "vin": "1" * 16 + "2"})
    assert not store.jobs()


def test_a_number_from_elsewhere_is_not_given_twice(store: Store) -> None:
    """After a job came with its own number, the next new one gets another."""
    first = store.log(horn_job(store))
    assert store.create([new_entry(e.kind, e.body) for e in first], "elsewhere", 2) == 2
    assert horn_job(store) == 3


def test_two_write_to_one_job_at_once(store: Store) -> None:
    """Two tablets enter at the same moment: nothing is lost."""
    number = horn_job(store)

    def enter(who: str) -> None:
        for k in range(15):
            store.append(number, new_entry("note", {"words": f"{who} {k}"}))

    with ThreadPoolExecutor() as both:
        list(both.map(enter, ("left", "right")))
    words = [e.body["words"] for e in store.log(number) if e.kind == "note"]
    assert sorted(words) == sorted(f"{who} {k}" for who in ("left", "right") for k in range(15))


def test_who_adds_to_a_job_waits_for_another(store: Store) -> None:
    """Entries of a job come to be in their order, so that no tablet passes over a late one."""
    number = horn_job(store)
    with ThreadPoolExecutor() as pool:
        with writing(store._engine) as connection:
            assert _exists(connection, number)
            later = pool.submit(store.append, number, new_entry("note", {"words": "later"}))
            assert wait([later], timeout=0.4).not_done
        assert later.result(5) == 1


def test_unknown_job(store: Store) -> None:
    """A number nobody gave is said to be unknown."""
    with pytest.raises(NotFoundError, match="no job 7"):
        stored.stored_job(store, 7)


def test_a_newer_database_is_left_alone(tmp_path: Path) -> None:
    """A store written by a newer program is refused, and not touched."""
    store = store_in(tmp_path)
    with writing(store._engine) as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    store.close()
    before = (tmp_path / "shop.db").read_bytes()
    with pytest.raises(StoreError, match="newer Loomwise"):
        store_in(tmp_path)
    assert (tmp_path / "shop.db").read_bytes() == before


def test_an_older_database_is_brought_up(tmp_path: Path) -> None:
    """A store of an older program goes on with all its jobs, and a copy of it stays beside it."""
    store = store_in(tmp_path)
    number = horn_job(store)
    log = store.log(number)
    with writing(store._engine) as connection:  # as the first program left it
        for table in ("files", "shop"):
            connection.execute(text(f"DROP TABLE {table}"))
        connection.execute(text("UPDATE alembic_version SET version_num = '0001'"))
    store.close()
    again = store_in(tmp_path)
    assert again.log(number) == log and again.settings() == {}
    again.set_up("heading", {"told": {"name": "Fjell"}, "logo": ""})
    assert list(again.settings()) == ["heading"]
    again.close()
    assert (tmp_path / f"shop-before-{HEAD}-from-0001.db").is_file()


def test_the_tables_are_those_of_the_newest_step(store: Store) -> None:
    """What the steps build is what the program expects."""
    from alembic.autogenerate import compare_metadata
    from alembic.migration import MigrationContext

    from loomwise.store.tables import metadata

    with store._engine.connect() as connection:
        context = MigrationContext.configure(connection)
        assert context.get_current_revision() == HEAD
        assert compare_metadata(context, metadata) == []


def test_a_damaged_file_is_told(tmp_path: Path) -> None:
    """A store that is no database any more is said to be damaged, with what to do."""
    (tmp_path / "shop.db").write_bytes(b"no database" * 200)
    with pytest.raises(StoreError, match="not ours, or damaged"):
        store_in(tmp_path)


def test_a_full_disk_stores_nothing(tmp_path: Path) -> None:
    """When the disk is full the entry is refused in words, and what was there stays."""
    store = store_in(tmp_path)
    number = horn_job(store)
    before = store.log(number)
    with store._engine.connect() as connection:  # as few pages as there are now
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar()
        connection.exec_driver_sql(f"PRAGMA max_page_count = {pages}")
    with pytest.raises(StoreError, match="disk is full"):
        for _ in range(200):
            stored.note(store, number, "x" * 4000)
    assert store.log(number)[: len(before)] == before
    store.check()


def test_every_message_says_what_next() -> None:
    """Whatever a database says becomes a sentence with a hint."""
    for words in ("database is locked", "attempt to write a readonly database", "anything"):
        assert explained(words).hint
