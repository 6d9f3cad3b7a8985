"""The throttle: how often something was tried within a window of time."""

from datetime import datetime, timedelta

from sqlalchemy import Connection, case, delete

from academy.records.rows import upsert
from academy.records.tables.sign_in import throttle


def hit(
    connection: Connection, key: str, now: datetime, window: timedelta, limit: int
) -> bool:
    """Count one try under ``key``; whether it is still within ``limit``.

    The count lives in the same transaction: commit it also when the try is refused.
    """
    over = throttle.c.window_start <= now - window
    insert = upsert(connection, throttle).values(key=key, window_start=now, count=1)
    counted = insert.on_conflict_do_update(
        index_elements=["key"],
        set_={
            "window_start": case((over, now), else_=throttle.c.window_start),
            "count": case((over, 1), else_=throttle.c.count + 1),
        },
    ).returning(throttle.c.count)
    return bool(connection.execute(counted).scalar_one() <= limit)


def forget(connection: Connection, key: str) -> None:
    """Start this key's count again."""
    connection.execute(delete(throttle).where(throttle.c.key == key))


def sweep(connection: Connection, before: datetime) -> int:
    """Throw away windows that began before a moment; how many."""
    swept = connection.execute(delete(throttle).where(throttle.c.window_start < before))
    return swept.rowcount
