"""A backup holds one whole moment; a restore puts it back and loses nothing."""

import sqlite3
import stat
import subprocess
import sys
import threading
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest
from alembic.script import ScriptDirectory
from sqlalchemy import func, select, text

from academy.errors import AcademyError
from academy.records import backup_file
from academy.records.copying import tallies
from academy.records.db import Database, sqlite_url
from academy.records.migrate import FOLDER, current_revision, migrate, newest_revision
from academy.records.queries import farm as farms
from academy.records.tables.farm import crew
from academy.service import pepper, pins, signing
from academy.service.backup import back_up
from academy.service.house import open_house, wall_clock
from academy.service.installation import Installation
from academy.service.restore import restore

RELEASES = [one.revision for one in ScriptDirectory(str(FOLDER)).walk_revisions()]


@pytest.fixture
def place(house, tmp_path) -> Installation:
    """The installation of the house; its pepper lies in a file as it should."""
    (tmp_path / "pepper").write_text(house.pepper.hex() + "\n")
    return Installation(tmp_path, house.db, tmp_path / "pepper")


def held(database):
    with database.read() as connection:
        return tallies(connection)


def refusal(deed, *given, **named):
    with pytest.raises(AcademyError) as refused:
        deed(*given, **named)
    return refused.value.key


def test_a_backup_holds_every_row_and_says_how_many(
    house, join, answer, place, tmp_path
):
    hire = join("Hedda Ames")
    answer(hire.viewer.person_id, "reel", 0.75, house.clock())
    written = back_up(place, tmp_path / "b.db", house.clock())
    assert (written.answers, written.people, written.secret) == (1, 2, True)
    kept = Database(sqlite_url(tmp_path / "b.db"))
    assert held(kept) == held(house.db)
    kept.close()
    assert stat.S_IMODE((tmp_path / "b.db").stat().st_mode) == 0o600
    assert not [one for one in tmp_path.iterdir() if one.name.startswith(".backup-")]


def test_a_backup_under_writes_holds_one_moment(house, place, tmp_path):
    """Crews come in pairs, each pair in one write: no backup may see half a pair."""
    stop = threading.Event()

    def write():
        turn = 0
        while not stop.is_set():
            with house.db.write() as connection:
                farms.add_crew(connection, f"left {turn}")
                farms.add_crew(connection, f"right {turn}")
            turn += 1

    writer = threading.Thread(target=write)
    writer.start()
    try:
        for number in range(3):
            back_up(place, tmp_path / f"{number}.db", house.clock())
    finally:
        stop.set()
        writer.join()
    for number in range(3):
        with closing(sqlite3.connect(tmp_path / f"{number}.db")) as opened:
            (crews,) = opened.execute("SELECT count(*) FROM crew").fetchone()
        assert crews % 2 == 0


def test_no_file_is_replaced_unasked(house, place, tmp_path):
    there = tmp_path / "b.db"
    there.write_text("mine")
    assert refusal(back_up, place, there, house.clock()) == "file_is_there"
    assert there.read_text() == "mine"
    back_up(place, there, house.clock(), force=True)
    assert backup_file.read_note(there)["made_at"] == "2026-09-01T15:00:00+00:00"


def test_a_backup_never_replaces_the_database(sqlite_database, tmp_path):
    place = Installation(tmp_path, sqlite_database, tmp_path / "pepper")
    named = (place, sqlite_database.path, wall_clock())
    assert refusal(back_up, *named, force=True) == "backup_over_database"


def test_a_missing_database_or_folder_is_refused(tmp_path):
    nowhere = Installation(
        tmp_path, Database(sqlite_url(tmp_path / "none.db")), tmp_path / "pepper"
    )
    now = wall_clock()
    assert refusal(back_up, nowhere, tmp_path / "b.db", now) == "no_database_yet"
    assert not (tmp_path / "none.db").exists()
    gone = tmp_path / "gone" / "b.db"
    assert refusal(back_up, nowhere, gone, now) == "no_such_folder"


def test_the_secret_is_in_the_file_only_when_it_is_asked_for(house, place, tmp_path):
    back_up(place, tmp_path / "with.db", house.clock())
    written = back_up(place, tmp_path / "without.db", house.clock(), secret=False)
    secret = house.pepper.hex().encode()
    assert secret in (tmp_path / "with.db").read_bytes()
    assert secret not in (tmp_path / "without.db").read_bytes()
    assert not written.secret


def test_a_restored_farm_lets_its_people_in_with_their_pins(
    house, join, place, tmp_path
):
    hire = join("Hedda Ames")
    back_up(place, tmp_path / "b.db", house.clock())
    folder = tmp_path / "new"
    new = Installation(
        folder, Database(sqlite_url(folder / "academy.db")), folder / "pepper"
    )
    done = restore(new, tmp_path / "b.db", house.clock())
    new.database.close()
    assert (done.people, done.kept, done.secret) == (2, None, "put")
    assert done.made_at == "2026-09-01T15:00:00+00:00"
    again = open_house(folder)
    try:
        token = signing.sign_in(
            again,
            hire.device_token,
            hire.viewer.person_id,
            hire.pin,
            "10.0.0.2",
            house.clock(),
        )
        seen = signing.viewer_of(again, token, house.clock())
        assert seen is not None
        assert seen.name == "Hedda Ames"
    finally:
        again.db.close()


def test_what_was_there_is_kept_beside(house, place, tmp_path):
    with house.db.write() as connection:
        farms.add_crew(connection, "then")
    back_up(place, tmp_path / "b.db", house.clock())
    before = held(house.db)
    with house.db.write() as connection:
        farms.add_crew(connection, "since")
    since = held(house.db)
    house.db.close()
    done = restore(place, tmp_path / "b.db", house.clock(), force=True)
    assert held(house.db) == before
    assert done.kept is not None
    assert done.kept.name.endswith(".before-20260901-150000")
    old = Database(sqlite_url(done.kept))
    assert held(old) == since
    old.close()
    assert not [one for one in tmp_path.iterdir() if one.name.startswith(".restore-")]


def test_postgres_with_rows_is_replaced_only_when_forced(postgres_database, tmp_path):
    place = Installation(tmp_path, postgres_database, tmp_path / "pepper")
    back_up(place, tmp_path / "b.db", wall_clock())
    with postgres_database.write() as connection:
        farms.add_crew(connection, "since")
    key = refusal(restore, place, tmp_path / "b.db", wall_clock())
    assert key == "database_not_empty"
    with postgres_database.read() as connection:
        assert connection.scalar(select(func.count()).select_from(crew)) == 1


def test_a_restore_waits_for_nobody(house, place, tmp_path):
    back_up(place, tmp_path / "b.db", house.clock())
    house.db.occupy()
    held_by_us = Database(house.db.url)
    busy = Installation(tmp_path, held_by_us, place.pepper)
    assert refusal(restore, busy, tmp_path / "b.db", house.clock()) == "database_in_use"
    with pytest.raises(AcademyError), held_by_us.alone():
        pass
    house.db.close()
    with held_by_us.alone():
        assert refusal(house.db.occupy) == "database_being_replaced"
    held_by_us.close()


def test_a_killed_program_leaves_its_place(tmp_path):
    waits = (
        "import sys\nfrom pathlib import Path\n"
        "from academy.service.house import open_house\n"
        "house = open_house(Path(sys.argv[1]))\n"
        "print('open', flush=True)\nsys.stdin.read()\n"
    )
    database = Database(sqlite_url(tmp_path / "academy.db"))
    with subprocess.Popen(
        [sys.executable, "-c", waits, str(tmp_path)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    ) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == b"open\n"
        with pytest.raises(AcademyError), database.alone():
            pass
        other.kill()
    with database.alone():
        pass
    database.close()


@pytest.mark.parametrize("release", RELEASES)
def test_a_backup_of_an_older_release_is_brought_up_to_date(tmp_path, release):
    old = Database(sqlite_url(tmp_path / "old.db"))
    migrate(old, release)
    with old.write() as connection:
        put = text("INSERT INTO crew (id, name) VALUES (:id, 'North yard')")
        connection.execute(put, {"id": "c" * 32})
    place = Installation(tmp_path, old, tmp_path / "pepper")
    back_up(place, tmp_path / "b.db", wall_clock())
    old.close()
    new = Database(sqlite_url(tmp_path / "new.db"))
    restore(
        Installation(tmp_path, new, tmp_path / "pepper"),
        tmp_path / "b.db",
        wall_clock(),
    )
    with new.read() as connection:
        assert current_revision(connection) == newest_revision()
        assert [one.name for one in farms.crews(connection)] == ["North yard"]
    new.close()


def _other_release(path: Path) -> None:
    with closing(sqlite3.connect(path)) as opened, opened:
        opened.execute("UPDATE alembic_version SET version_num = 'v9999'")


def _broken_page(path: Path) -> None:
    whole = bytearray(path.read_bytes())
    for start in range(4096, len(whole), 4096):
        whole[start : start + 64] = b"\xff" * 64
    path.write_bytes(whole)


def _something_else(path: Path) -> None:
    path.unlink()
    with closing(sqlite3.connect(path)) as opened, opened:
        opened.execute("CREATE TABLE farm (id)")


def _cut_short(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:5000])


def _text(path: Path) -> None:
    path.write_text("not a database" * 100)


def _points_nowhere(path: Path) -> None:
    with closing(sqlite3.connect(path)) as opened, opened:
        opened.execute("INSERT INTO person_name VALUES (?, 'nobody')", ("0" * 32,))


@pytest.mark.parametrize(
    "spoil",
    [_other_release, _broken_page, _something_else, _cut_short, _text, _points_nowhere],
)
def test_what_is_no_whole_backup_changes_nothing(house, place, tmp_path, spoil):
    back_up(place, tmp_path / "b.db", house.clock())
    before = held(house.db)
    house.db.close()
    spoil(tmp_path / "b.db")
    key = refusal(restore, place, tmp_path / "b.db", house.clock(), force=True)
    assert key in ("not_a_backup", "backup_damaged", "backup_of_newer_release")
    assert held(house.db) == before
    assert not list(tmp_path.glob("*.before-*"))


def test_even_a_damaged_database_is_kept(tmp_path):
    good = Database(sqlite_url(tmp_path / "good.db"))
    migrate(good)
    now = wall_clock()
    back_up(Installation(tmp_path, good, tmp_path / "pepper"), tmp_path / "b.db", now)
    good.close()
    (tmp_path / "academy.db").write_bytes(b"rubbish" * 1000)
    (tmp_path / "academy.db-wal").write_bytes(b"more rubbish")
    place = Installation(
        tmp_path, Database(sqlite_url(tmp_path / "academy.db")), tmp_path / "pepper"
    )
    done = restore(place, tmp_path / "b.db", now)
    assert done.kept is not None
    assert done.kept.read_bytes() == b"rubbish" * 1000
    assert Path(f"{done.kept}-wal").read_bytes() == b"more rubbish"
    with place.database.read() as connection:
        assert connection.execute(text("PRAGMA integrity_check")).scalar() == "ok"
    place.database.close()


def test_another_pepper_gives_way_and_is_kept(house, tmp_path):
    now = house.clock() + timedelta(days=1)
    path = tmp_path / "pepper"
    path.write_text("11" * 32)
    note = pepper.note_of(path, secret=True)
    bare = pepper.note_of(path, secret=False)
    assert pepper.take(path, note, now) == "kept"
    path.write_text("22" * 32)
    assert pepper.take(path, {}, now) == "unknown"
    assert pepper.take(path, bare, now) == "other"
    assert pins.read_pepper(path).hex() == "22" * 32
    assert pepper.take(path, note, now) == "replaced"
    assert pins.read_pepper(path).hex() == "11" * 32
    assert (tmp_path / "pepper.before-20260902-150000").read_text() == "22" * 32
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
