"""A backup put in the place of the database, while nobody works on it."""

import shutil
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from academy.errors import NotFound
from academy.records import backup_file
from academy.records.copying import copy, is_empty
from academy.records.db import Database, sqlite_url
from academy.records.replacing import put_in_place
from academy.service import backup, pepper
from academy.service.installation import Installation
from academy.service.pepper import Fits


@dataclass(frozen=True, slots=True)
class Restored:
    """What is there now, and where that which was there before is kept."""

    answers: int
    people: int
    made_at: str | None
    kept: Path | None
    secret: Fits


def restore(
    into: Installation, file: Path, now: datetime, *, force: bool = False
) -> Restored:
    """Put a backup in the place of the database; the old one stays under another name.

    An older release's tables are brought up to date. A PostgreSQL database that holds
    rows is only replaced with ``force``. Raises NotFound, ContentError for a file that
    is no whole backup of a known release, Conflict while anybody works on the database
    or when PostgreSQL is not empty. Then nothing has changed.
    """
    if not file.is_file():
        raise NotFound("no_such_file", name=str(file))
    into.instance.mkdir(mode=0o700, parents=True, exist_ok=True)
    with into.database.alone(), _scratch(into) as scratch:
        made = Path(scratch) / "made.db"
        _take_copy(file, made)
        backup_file.check(made, file.name)
        note = backup_file.read_note(made)
        counts = backup_file.make_usable(made)
        kept = _put(into, made, now, force)
        secret = pepper.take(into.pepper, note, now)
    return Restored(
        counts["answer"], counts["person"], note.get("made_at"), kept, secret
    )


def _scratch(into: Installation) -> TemporaryDirectory[str]:
    place = into.instance if into.path is None else into.path.parent
    return TemporaryDirectory(prefix=".restore-", dir=place)


def _take_copy(file: Path, made: Path) -> None:
    """Copy it; beside a bare copy of a database its journal may lie."""
    shutil.copyfile(file, made)
    journal = Path(f"{file}-wal")
    if journal.is_file():
        shutil.copyfile(journal, f"{made}-wal")


def _put(into: Installation, made: Path, now: datetime, force: bool) -> Path | None:
    if into.path is not None:
        kept = into.path.with_name(pepper.dated(into.path.name, now))
        return kept if put_in_place(made, into.path, kept) else None
    return _pour(into, made, now, force)


def _pour(into: Installation, made: Path, now: datetime, force: bool) -> Path | None:
    """Into PostgreSQL; what was there goes into a backup of its own first."""
    into.database.reach()
    kept = None
    if force and not is_empty(into.database):
        kept = into.instance / pepper.dated("database", now)
        backup.back_up(into, kept, now)
    source = Database(sqlite_url(made))
    try:
        copy(source, into.database, emptied=force)
    finally:
        source.close()
    return kept
