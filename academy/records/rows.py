"""From a row to a frozen record, and inserts that both databases understand alike."""

from collections.abc import Mapping, Sequence
from typing import Any, TypeVar
from uuid import uuid4

from sqlalchemy import Connection, Executable, Row, Table
from sqlalchemy.dialects import postgresql, sqlite

Record = TypeVar("Record")


def new_id() -> str:
    """A fresh random id of 32 hexadecimal digits."""
    return uuid4().hex


def as_record(kind: type[Record], row: Row[Any]) -> Record:
    """The record whose fields are the row's columns."""
    return kind(**row._asdict())


def first(
    connection: Connection,
    query: Executable,
    kind: type[Record],
    values: Mapping[str, object] | None = None,
) -> Record | None:
    """The first row as a record, of a query with these ``values``; None without."""
    row = connection.execute(query, values).first()
    return None if row is None else as_record(kind, row)


def every(
    connection: Connection,
    query: Executable,
    kind: type[Record],
    values: Mapping[str, object] | None = None,
) -> tuple[Record, ...]:
    """All rows as records, of a query with these ``values``, in the query's order."""
    result = connection.execute(query, values)
    if tuple(result.keys()) == getattr(kind, "__match_args__", ()):
        return tuple(kind(*row) for row in result)  # the same columns, in its order
    return tuple(as_record(kind, row) for row in result)


def upsert(connection: Connection, table: Table) -> Any:
    """An insert that knows ``on_conflict_do_nothing`` and ``on_conflict_do_update``."""
    if connection.dialect.name == "postgresql":
        return postgresql.insert(table)
    return sqlite.insert(table)


def put(connection: Connection, table: Table, **values: object) -> None:
    """Insert the row, or change it where its primary key is already there."""
    put_all(connection, table, [values])


def put_all(
    connection: Connection, table: Table, rows: Sequence[Mapping[str, object]]
) -> None:
    """Insert rows of the same columns, or change those that are already there."""
    if not rows:
        return
    keys: Sequence[str] = [column.name for column in table.primary_key]
    insert = upsert(connection, table)
    others = {name: insert.excluded[name] for name in rows[0] if name not in keys}
    if others:
        insert = insert.on_conflict_do_update(index_elements=keys, set_=others)
    else:
        insert = insert.on_conflict_do_nothing(index_elements=keys)
    connection.execute(insert, [dict(row) for row in rows])


def put_once(connection: Connection, table: Table, **values: object) -> bool:
    """Insert the row unless something like it is there; whether it was new."""
    insert = upsert(connection, table).values(**values).on_conflict_do_nothing()
    kept = connection.execute(insert.returning(*table.primary_key))
    return kept.first() is not None
