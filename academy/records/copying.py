"""All rows of one database into another, and proof that they are the same rows."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from hashlib import sha256
from typing import Any

from sqlalchemy import (
    Connection,
    Select,
    Table,
    delete,
    func,
    insert,
    inspect,
    select,
)

from academy.errors import Conflict, Unavailable
from academy.records.db import Database
from academy.records.migrate import current_revision, migrate, newest_revision
from academy.records.schema import METADATA
from academy.records.tables.columns import canonical_text

_AT_ONCE = 500  # rows in memory
_REVISIONS = "alembic_version"


@dataclass(frozen=True, slots=True)
class Tally:
    """How many rows a table has, and a digest of them that knows no order."""

    rows: int
    digest: str


def tallies(connection: Connection) -> Mapping[str, Tally]:
    """The tally of every table, by its name."""
    return {table.name: _tally(connection, table) for table in METADATA.sorted_tables}


def copy(
    source: Database, target: Database, *, emptied: bool = False
) -> Mapping[str, Tally]:
    """Copy every row as it stands at one moment; what was copied, by table.

    The target's tables are brought up to date first. Raises Conflict unless the source
    is of this release and the target empty, or ``emptied`` here; Unavailable when
    source and target differ afterwards. Then nothing is kept.
    """
    source.reach()
    target.reach()
    with source.snapshot() as read:
        refuse_other_release(read, source)
        _refuse_taken(target, emptied)
        migrate(target)
        with target.write() as written:
            _empty(written)
            _copy_rows(read, written)
            return _compared(tallies(read), tallies(written))


def refuse_other_release(connection: Connection, source: Database) -> None:
    """Raise Conflict unless the tables are those of this program."""
    found = current_revision(connection)
    if found != newest_revision():
        raise Conflict("database_of_other_release", name=source.shown)


def is_empty(database: Database) -> bool:
    """Whether no table of ours has a row; raises Conflict for foreign tables."""
    with database.read() as connection:
        names = set(inspect(connection).get_table_names())
        if not names <= METADATA.tables.keys() | {_REVISIONS}:
            raise Conflict("database_of_something_else", name=database.shown)
        there = [METADATA.tables[name] for name in names - {_REVISIONS}]
        return not any(_has_rows(connection, table) for table in there)


def _refuse_taken(target: Database, emptied: bool) -> None:
    if not is_empty(target) and not emptied:
        raise Conflict("database_not_empty", name=target.shown)


def _has_rows(connection: Connection, table: Table) -> bool:
    counted = select(func.count()).select_from(table)
    return bool(connection.scalar(counted))


def _empty(connection: Connection) -> None:
    for table in reversed(METADATA.sorted_tables):
        connection.execute(delete(table))


def _copy_rows(read: Connection, written: Connection) -> None:
    for table in METADATA.sorted_tables:
        rows = read.execute(_streamed(table))
        for some in rows.mappings().partitions():
            written.execute(insert(table), [dict(row) for row in some])
        _count_on(written, table)


def _streamed(table: Table) -> Select[Any]:
    return select(table).execution_options(yield_per=_AT_ONCE)


def _count_on(connection: Connection, table: Table) -> None:
    """Let the database's own counter go on after the copied rows."""
    counter = table.autoincrement_column
    if counter is None or connection.dialect.name != "postgresql":
        return
    last = connection.scalar(select(func.max(counter)))
    if last is not None:
        sequence = func.pg_get_serial_sequence(table.name, counter.name)
        connection.execute(select(func.setval(sequence, last)))


def _compared(
    before: Mapping[str, Tally], after: Mapping[str, Tally]
) -> Mapping[str, Tally]:
    for name, tally in before.items():
        if after[name] != tally:
            raise Unavailable("copy_differs", name=name)
    return after


def _tally(connection: Connection, table: Table) -> Tally:
    """Digests of rows added up: databases sort text differently."""
    total = count = 0
    rows = connection.execute(_streamed(table))
    for row in rows:
        plain = canonical_text([_plain(value) for value in row]).encode()
        total += int.from_bytes(sha256(plain).digest(), "big")
        count += 1
    return Tally(count, f"{total % 2**256:064x}")


def _plain(value: object) -> object:
    if isinstance(value, datetime | date):
        return value.isoformat()
    return value.hex() if isinstance(value, bytes) else value
