"""Who is at work on a database: programs side by side, or one restore alone.

A program that works on a database for a while holds a shared place from before it opens
the file until it ends, however it ends; replacing the database needs all places free.
SQLite: a lock on the file ``<database>.in-use``. PostgreSQL: an advisory lock, so that
it also knows of servers on other machines.
"""

import os
import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from sqlalchemy import Connection, Engine, text
from sqlalchemy.exc import DBAPIError

from academy.errors import Conflict, Unavailable

_ADVISORY = 7_301_144_027  # any number, the same in every process of this program
_TAKE = {
    False: text("SELECT pg_try_advisory_lock_shared(:n)"),
    True: text("SELECT pg_try_advisory_lock(:n)"),
}
_LEAVE = text("SELECT pg_advisory_unlock_all()")

if sys.platform == "win32":
    import msvcrt

    _PLACES = 64  # a lock knows no sharing here: everybody locks a byte of their own

    def _lock(handle: int, alone: bool) -> bool:
        if alone:
            return _lock_bytes(handle, 0, _PLACES)
        return any(_lock_bytes(handle, place, 1) for place in range(_PLACES))

    def _lock_bytes(handle: int, first: int, count: int) -> bool:
        os.lseek(handle, first, os.SEEK_SET)
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, count)
        except OSError:
            return False
        return True
else:
    import fcntl

    def _lock(handle: int, alone: bool) -> bool:
        kind = fcntl.LOCK_EX if alone else fcntl.LOCK_SH
        try:
            fcntl.flock(handle, kind | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True


def enter(engine: Engine, *, alone: bool = False) -> Callable[[], None]:
    """Take a place, and the way to leave it; the end of the process leaves it too.

    Raises Conflict when ``alone`` and somebody is there, Unavailable when somebody is
    there alone.
    """
    if engine.dialect.name == "sqlite":
        return _enter_file(Path(f"{engine.url.database}.in-use"), alone)
    return _enter_postgres(engine, alone)


def _enter_file(path: Path, alone: bool) -> Callable[[], None]:
    handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    if not _lock(handle, alone):
        os.close(handle)
        _refuse(alone)
    return lambda: os.close(handle)


def _enter_postgres(engine: Engine, alone: bool) -> Callable[[], None]:
    place = engine.connect().execution_options(isolation_level="AUTOCOMMIT")
    place.detach()  # closing it now ends the session, and with it the lock
    if not place.scalar(_TAKE[alone], {"n": _ADVISORY}):
        place.close()
        _refuse(alone)
    return _closing(place)


def _closing(place: Connection) -> Callable[[], None]:
    def leave() -> None:
        with suppress(DBAPIError):  # a session that has ended holds no lock
            place.execute(_LEAVE)  # at once; a closed session is noticed a little later
        place.close()

    return leave


def _refuse(alone: bool) -> None:
    if alone:
        raise Conflict("database_in_use")
    raise Unavailable("database_being_replaced")
