"""A backup: one SQLite file with all tables and a note of what it is.

The note is a table of its own, so that a backup stays one file; it is taken out again
before the tables are put to use.
"""

import os
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

from alembic.script import ScriptDirectory

from academy.errors import ContentError, Unavailable
from academy.records.copying import copy
from academy.records.db import Database, sqlite_url
from academy.records.migrate import FOLDER, migrate

_NOTE = "backup_note"
_REVISIONS = "alembic_version"
_BESIDE = {_NOTE, _REVISIONS}
_OURS = {"farm", "person", "answer"}
Counts = Mapping[str, int]


def write(database: Database, path: Path, note: Mapping[str, str]) -> Counts:
    """Write a backup to ``path``, which is not there yet; its rows by table.

    The database may be in use: the backup holds one moment of it. Raises Unavailable
    when the file cannot be written or does not hold the rows it should.
    """
    with _failing_as(path):
        _make_private(path)
        expected = _fill(database, path)
        with closing(_open(path)) as made:
            _add_note(made, note)
            found = _checked(made, path.name)
        if found != expected:
            raise Unavailable("copy_differs", name=path.name)
        sync(path)
    return found


def read_note(path: Path) -> Mapping[str, str]:
    """What a backup says of itself; nothing for a bare copy of a database."""
    with closing(_open(path)) as opened:
        if _NOTE not in _tables(opened):
            return {}
        return dict(opened.execute(f"SELECT key, value FROM {_NOTE}"))  # noqa: S608


def check(path: Path, name: str) -> None:
    """Raise ContentError unless the file is a whole database of a known release.

    ``name`` is what the refusal calls it.
    """
    try:
        with closing(_open(path)) as opened:
            _check_release(opened, name)
            _checked(opened, name)
    except sqlite3.DatabaseError as found:
        raise ContentError("not_a_backup", file=name) from found


def make_usable(path: Path) -> Counts:
    """Take the note out of a checked file and bring its tables up to date."""
    with closing(_open(path)) as opened:
        opened.execute(f"DROP TABLE IF EXISTS {_NOTE}")
        opened.execute("VACUUM")  # what the note said is not left between the pages
    database = Database(sqlite_url(path))
    migrate(database)
    database.close()
    with closing(_open(path)) as opened:
        found = _checked(opened, path.name)
    sync(path)
    return found


def sync(path: Path) -> None:
    """See a file to the disk."""
    handle = os.open(path, os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _make_private(path: Path) -> None:
    os.close(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))


def _open(path: Path) -> sqlite3.Connection:
    """The file alone, without a journal beside it."""
    opened = sqlite3.connect(path, isolation_level=None)
    try:
        opened.execute("PRAGMA journal_mode=DELETE").close()
    except sqlite3.DatabaseError:
        opened.close()
        raise
    return opened


def _fill(database: Database, path: Path) -> Counts:
    if database.is_sqlite:
        return _fill_from_file(database, path)
    target = Database(sqlite_url(path))
    try:
        copied = copy(database, target)
    finally:
        target.close()
    return {name: tally.rows for name, tally in copied.items()}


def _fill_from_file(database: Database, path: Path) -> Counts:
    """In one step: in several it would begin again at every write."""
    with database.snapshot() as connection:
        source: Any = connection.connection.driver_connection
        connection.exec_driver_sql("SELECT 1 FROM sqlite_master").close()
        expected = _counts(source)
        with closing(sqlite3.connect(path)) as made:
            source.backup(made)
    return expected


def _add_note(made: sqlite3.Connection, note: Mapping[str, str]) -> None:
    made.execute(f"CREATE TABLE {_NOTE} (key TEXT PRIMARY KEY, value TEXT NOT NULL)")
    made.executemany(f"INSERT INTO {_NOTE} VALUES (?, ?)", note.items())  # noqa: S608


def _tables(opened: sqlite3.Connection) -> set[str]:
    """Its tables without SQLite's own."""
    query = "SELECT name FROM sqlite_master WHERE type = 'table'"
    names = {name for (name,) in opened.execute(query)}
    return {name for name in names if not name.startswith("sqlite_")}


def _count(opened: sqlite3.Connection, table: str) -> int:
    counted = opened.execute(f'SELECT count(*) FROM "{table}"')  # noqa: S608
    return int(counted.fetchone()[0])


def _counts(opened: sqlite3.Connection) -> Counts:
    return {name: _count(opened, name) for name in _tables(opened) - _BESIDE}


def _checked(opened: sqlite3.Connection, name: str) -> Counts:
    """The rows by table, after SQLite's own check of the whole file."""
    found = [row[0] for row in opened.execute("PRAGMA integrity_check(3)")]
    if found != ["ok"]:
        raise ContentError("backup_damaged", file=name, found="; ".join(found))
    if opened.execute("PRAGMA foreign_key_check").fetchone() is not None:
        raise ContentError("backup_damaged", file=name, found="foreign_key_check")
    return _counts(opened)


def _check_release(opened: sqlite3.Connection, name: str) -> None:
    tables = _tables(opened)
    if _REVISIONS not in tables or not tables >= _OURS:
        raise ContentError("not_a_backup", file=name)
    revisions = [row[0] for row in opened.execute("SELECT * FROM alembic_version")]
    known = {one.revision for one in ScriptDirectory(str(FOLDER)).walk_revisions()}
    if len(revisions) != 1 or revisions[0] not in known:
        raise ContentError("backup_of_newer_release", file=name)


@contextmanager
def _failing_as(path: Path) -> Iterator[None]:
    try:
        yield
    except (OSError, sqlite3.Error) as found:
        raise Unavailable(
            "file_not_written", file=path.name, found=str(found)
        ) from found
