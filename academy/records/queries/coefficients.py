"""Coefficient sets, each kept once under its digest."""

from sqlalchemy import Connection, select

from academy.records.rows import put_once
from academy.records.tables.scenarios import coefficient_set


def keep(connection: Connection, digest: str, body: str) -> None:
    """Keep a set's canonical JSON text; once is enough."""
    put_once(connection, coefficient_set, digest=digest, body=body)


def every(connection: Connection) -> tuple[tuple[str, str], ...]:
    """All sets: digest and canonical JSON text."""
    rows = connection.execute(select(coefficient_set.c.digest, coefficient_set.c.body))
    return tuple((row.digest, row.body) for row in rows)


def get(connection: Connection, digest: str) -> str | None:
    """The canonical JSON text under a digest."""
    query = select(coefficient_set.c.body).where(coefficient_set.c.digest == digest)
    return connection.scalar(query)
