"""The throttle: wrong tries by keyed hash, and the moment the next one is free."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, delete, select, update

from academy.records.rows import first, put_once
from academy.records.tables.sign_in import wrong_tries


@dataclass(frozen=True, slots=True)
class Tries:
    """Wrong tries counted up to a moment; none is free before ``free_at``."""

    key_hash: str
    failures: int
    counted_at: datetime
    free_at: datetime


def held(connection: Connection, key_hash: str, now: datetime) -> Tries:
    """The count of a key, new or known, locked for this transaction."""
    put_once(
        connection,
        wrong_tries,
        key_hash=key_hash,
        failures=0,
        counted_at=now,
        free_at=now,
    )
    query = select(wrong_tries).where(wrong_tries.c.key_hash == key_hash)
    found = first(connection, query.with_for_update(), Tries)
    assert found is not None  # noqa: S101 - it was written two lines above
    return found


def keep(connection: Connection, tries: Tries) -> None:
    """Keep the count of a held key."""
    connection.execute(
        update(wrong_tries)
        .where(wrong_tries.c.key_hash == tries.key_hash)
        .values(
            failures=tries.failures,
            counted_at=tries.counted_at,
            free_at=tries.free_at,
        )
    )


def forget(connection: Connection, key_hash: str) -> None:
    """Start this key's count again."""
    connection.execute(delete(wrong_tries).where(wrong_tries.c.key_hash == key_hash))


def sweep(connection: Connection, before: datetime) -> int:
    """Throw away counts not touched since a moment; how many."""
    old = (wrong_tries.c.counted_at < before) & (wrong_tries.c.free_at < before)
    return connection.execute(delete(wrong_tries).where(old)).rowcount
