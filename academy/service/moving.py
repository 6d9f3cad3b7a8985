"""A farm copied from one database to another, row by row and compared."""

from pathlib import Path

from academy.errors import Conflict, NotFound
from academy.records.copying import Tally, copy
from academy.records.db import Database, sqlite_url

Tallies = dict[str, Tally]


def database_at(place: str) -> Database:
    """The database of a URL (``postgresql://…``) or of a file's path."""
    return Database(place if "://" in place else sqlite_url(Path(place)))


def move(from_: str, to: str) -> Tallies:
    """Copy all rows into an empty database; what was copied, by table.

    Raises NotFound for a missing file, Conflict for a target that holds rows or is at
    work, Unavailable for one that cannot be reached or differs afterwards.
    """
    source, target = database_at(from_), database_at(to)
    try:
        _check(source, target)
        with target.alone():
            return dict(copy(source, target))
    finally:
        source.close()
        target.close()


def _check(source: Database, target: Database) -> None:
    if source.path is not None and not source.path.is_file():
        raise NotFound("no_such_file", name=str(source.path))
    if source.url == target.url or _same(source.path, target.path):
        raise Conflict("copy_onto_itself", name=source.shown)


def _same(one: Path | None, other: Path | None) -> bool:
    return one is not None and other is not None and one.resolve() == other.resolve()
