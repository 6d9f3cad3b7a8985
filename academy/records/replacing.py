"""One database file in the place of another, which is kept beside it.

At every moment there is one whole file in the place. The journal of the old file must
be gone before the new one comes: SQLite would play it into the new one.
"""

import os
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

from academy.errors import Conflict
from academy.records.backup_file import sync

_BUSY = {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}


def put_in_place(made: Path, place: Path, kept: Path) -> bool:
    """Put ``made`` in the ``place`` of a database nobody has open; was one there?

    The old one stays as ``kept``, even a damaged one, then with the journal beside it.
    Raises Conflict when somebody has it open.
    """
    there = place.exists()
    if there:
        _keep(place, kept)
    os.replace(made, place)
    _sync_folder(place.parent)
    return there


def _keep(place: Path, kept: Path) -> None:
    """Keep the file, whole if that can be, else with its journal beside it."""
    journal, kept_journal = Path(f"{place}-wal"), Path(f"{kept}-wal")
    if journal.exists():
        _twin(journal, kept_journal)
    try:
        if _fold(place):
            kept_journal.unlink(missing_ok=True)
    except Conflict:
        kept_journal.unlink(missing_ok=True)
        raise
    _twin(place, kept)
    sync(kept)
    for beside in (journal, Path(f"{place}-shm")):
        beside.unlink(missing_ok=True)


def _fold(place: Path) -> bool:
    """Bring what lies in the journal into the file; False for a damaged one."""
    try:
        with closing(sqlite3.connect(place, isolation_level=None)) as opened:
            (mode,) = opened.execute("PRAGMA journal_mode=DELETE").fetchone()
    except sqlite3.DatabaseError as found:
        if found.sqlite_errorcode in _BUSY:
            raise Conflict("database_in_use") from found
        return False
    if mode != "delete":
        raise Conflict("database_in_use")
    return True


def _twin(path: Path, other: Path) -> None:
    """The same file under a second name; a copy where disks know no such thing."""
    try:
        other.hardlink_to(path)
    except FileExistsError:
        raise
    except OSError:
        shutil.copy2(path, other)


def _sync_folder(folder: Path) -> None:
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
