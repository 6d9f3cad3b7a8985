"""Reading and writing: what is acknowledged stays, what fails leaves no trace."""

import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta, timezone

import pytest
from sqlalchemy import func, insert, select, text

from academy.errors import Unavailable
from academy.records.db import Database, sqlite_url
from academy.records.queries import farm
from academy.records.rows import new_id
from academy.records.tables.columns import canonical_text
from academy.records.tables.farm import crew
from academy.records.tables.sign_in import device


def test_what_was_written_is_read_by_the_next(database: Database):
    with database.write() as connection:
        made = farm.add_crew(connection, "North yard")
    with database.read() as connection:
        assert farm.crews(connection) == (made,)


def test_a_failed_write_leaves_nothing_and_the_queue_is_free(database: Database):
    with pytest.raises(ZeroDivisionError):
        _fail_half_way(database)
    with database.write() as connection:
        assert farm.crews(connection) == ()


def test_a_reader_keeps_nothing(database: Database):
    with database.read() as connection:
        farm.add_crew(connection, "Never kept")
    with database.read() as connection:
        assert farm.crews(connection) == ()


def test_a_write_inside_a_write_is_refused_instead_of_waiting(database: Database):
    with database.write(), pytest.raises(RuntimeError), database.write():
        pass
    with database.write() as connection:
        farm.add_crew(connection, "Afterwards")


def test_a_moment_comes_back_in_utc_whatever_zone_it_was_given_in(database: Database):
    six_behind = timezone(timedelta(hours=-6))
    given = datetime(2026, 9, 1, 20, 30, 15, 250, tzinfo=six_behind)
    with database.write() as connection:
        values = {"id": new_id(), "token_hash": "a" * 64, "enrolled_at": given}
        connection.execute(insert(device).values(values))
    with database.read() as connection:
        back = connection.scalar(select(device.c.enrolled_at))
    assert back == datetime(2026, 9, 2, 2, 30, 15, 250, tzinfo=UTC)  # 20:30 + 6 h
    assert back.tzinfo == UTC


def test_a_moment_without_a_zone_is_refused(database: Database):
    bare = datetime(2026, 9, 1, 20, 30)
    values = {"id": new_id(), "token_hash": "a" * 64, "enrolled_at": bare}
    with pytest.raises(Exception, match="zone"), database.write() as connection:
        connection.execute(insert(device).values(values))


def test_eight_writers_at_once_lose_nothing(database: Database):
    def write(number: int) -> None:
        for turn in range(5):
            with database.write() as connection:
                farm.add_crew(connection, f"Crew {number} {turn}")

    with ThreadPoolExecutor(8) as threads:
        list(threads.map(write, range(8)))
    with database.read() as connection:
        assert connection.scalar(select(func.count()).select_from(crew)) == 40


def test_read_then_write_by_eight_counts_every_one(database: Database):
    """A count read inside the write is not stale: the last value is the number."""
    with database.write() as connection:
        crew_id = farm.add_crew(connection, "Counted").id

    def count_up(_number: int) -> None:
        with database.write() as connection:
            if not database.is_sqlite:  # rows are locked there, not the file
                lock = select(crew).where(crew.c.id == crew_id).with_for_update()
                connection.execute(lock)
            before = {need.role_key: need for need in farm.needed(connection, crew_id)}
            count = before["operator"].headcount if before else 0
            farm.put_needed(connection, crew_id, "operator", count + 1)

    with ThreadPoolExecutor(8) as threads:
        list(threads.map(count_up, range(24)))
    with database.read() as connection:
        assert farm.needed(connection, crew_id)[0].headcount == 24


def test_a_writer_in_another_process_waits_its_turn(sqlite_database: Database):
    program = (
        "import sys\n"
        "from academy.records.db import Database\n"
        "from academy.records.queries import farm\n"
        "database = Database(sys.argv[1])\n"
        "print('ready', flush=True)\n"
        "with database.write() as connection:\n"
        "    print(len(farm.crews(connection)))\n"
    )
    with sqlite_database.write() as connection:
        command = [sys.executable, "-c", program, str(sqlite_database.url)]
        other = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        assert other.stdout.readline() == "ready\n"
        farm.add_crew(connection, "First in the queue")
    seen, _ = other.communicate(timeout=60)
    assert seen == "1\n"


def test_sqlite_is_set_up_to_keep_what_it_acknowledged(sqlite_database: Database):
    served = Database(sqlite_database.url)  # as it is opened without a test
    with served.read() as connection:
        read = {
            name: connection.scalar(text(f"PRAGMA {name}"))
            for name in ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")
        }
    served.close()
    # synchronous: 2 is FULL in SQLite's manual of pragmas
    wanted = {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1}
    assert read == {**wanted, "busy_timeout": 10_000}


def test_a_path_with_odd_letters_is_one_path(tmp_path):
    folder = tmp_path / "año #1 ?x %20"
    folder.mkdir()
    opened = Database(sqlite_url(folder / "a b.db"))
    with opened.read() as connection:
        connection.execute(text("SELECT 1"))
    opened.close()
    assert (folder / "a b.db").is_file()


@pytest.mark.parametrize("url", ["sqlite://", "mysql://somewhere/else"])
def test_another_kind_of_database_is_refused(url: str):
    with pytest.raises(Unavailable) as caught:
        Database(url)
    assert caught.value.key == "database_not_usable"


def test_canonical_text_does_not_depend_on_the_order_of_keys():
    assert canonical_text({"b": [1, 0.5], "a": "ñ"}) == '{"a":"ñ","b":[1,0.5]}'
    with pytest.raises(ValueError, match="JSON"):
        canonical_text(float("nan"))


def _fail_half_way(database: Database) -> None:
    with database.write() as connection:
        farm.add_crew(connection, "Half done")
        raise ZeroDivisionError


def test_an_address_that_cannot_be_read_is_not_repeated():
    with pytest.raises(Unavailable) as refused:
        Database("secret and nonsense")
    assert refused.value.key == "database_address_broken"
    assert "secret" not in str(refused.value)


def test_a_file_that_is_no_database_cannot_be_reached(tmp_path):
    (tmp_path / "a.db").write_bytes(b"rubbish" * 1000)
    database = Database(sqlite_url(tmp_path / "a.db"))
    with pytest.raises(Unavailable) as refused:
        database.reach()
    assert refused.value.key == "database_not_reachable"


def test_a_snapshot_sees_one_moment(database: Database):
    with database.snapshot() as connection:
        assert farm.crews(connection) == ()
        with database.write() as other:
            farm.add_crew(other, "Since")
        assert farm.crews(connection) == ()
    with database.read() as connection:
        assert len(farm.crews(connection)) == 1
