"""A farm begun once and put into every later empty database as the rows it wrote."""

from collections.abc import Callable
from typing import Any, TypeVar

from sqlalchemy import Connection, Table, insert, select, text

from academy.records.schema import METADATA
from academy.service.house import House

Rows = list[tuple[Table, list[dict[str, Any]]]]
Kept = dict[tuple[object, ...], tuple[Rows, Any]]
Given = TypeVar("Given")
# rows that bring their number leave the counter of their table where it was
COUNT_ON = "SELECT setval(pg_get_serial_sequence('{0}', 'id'), max(id)) FROM {0}"


def begun(kept: Kept, house: House, about: object, begin: Callable[[], Given]) -> Given:
    """What ``begin()`` gave for such a house; its rows, not its deeds, come again.

    ``about`` is all that ``begin`` hangs on besides the house; ``kept`` outlives tests.
    """
    kind = house.db.engine.dialect.name
    key = (kind, house.pepper, repr(house.settings), about)
    if key not in kept:
        with house.db.read() as connection:
            before = _rows(connection)
        given = begin()
        with house.db.read() as connection:
            kept[key] = _rows(connection, dict(before)), given
        return given
    rows, given = kept[key]
    with house.db.write() as connection:
        for table, some in rows:
            connection.execute(insert(table), some)
            if kind == "postgresql" and table.autoincrement_column is not None:
                connection.execute(text(COUNT_ON.format(table.name)))
    return given


def _rows(
    connection: Connection, but: dict[Table, list[dict[str, Any]]] | None = None
) -> Rows:
    """Every row of every table, parents first, but those."""
    found: Rows = []
    for table in METADATA.sorted_tables:
        there = [dict(row) for row in connection.execute(select(table)).mappings()]
        new = [row for row in there if row not in (but or {}).get(table, [])]
        if new:
            found.append((table, new))
    return found
