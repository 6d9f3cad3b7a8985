"""The database: where it lies, how one reads from it, how one writes to it.

SQLite keeps every acknowledged answer (WAL, synchronous FULL). Its writers stand in a
queue, a lock on a file beside the database, because SQLite's own waiting is a scramble;
PostgreSQL needs none. Read first, then write in one short ``with database.write()``.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext
from pathlib import Path
from threading import local
from typing import Any
from weakref import finalize

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError, DBAPIError

from academy.errors import Unavailable
from academy.records import occupancy
from academy.records.write_queue import queued

BUSY_MILLISECONDS = 10_000
_PRAGMAS = (
    "PRAGMA journal_mode=WAL",
    "PRAGMA synchronous=FULL",
    f"PRAGMA busy_timeout={BUSY_MILLISECONDS}",
    "PRAGMA secure_delete=ON",
)


class Database:
    """One farm's database, SQLite or PostgreSQL, by its SQLAlchemy URL.

    Only a migration of SQLite works with ``links_checked=False``.
    """

    def __init__(self, url: str | URL, *, links_checked: bool = True) -> None:
        self.url = _with_driver(_understood(url))
        self.engine = _engine(self.url, links_checked)
        self.lock_path = _lock_path(self.url)
        self._writer = self.engine.execution_options(academy_writes=True)
        self._mine = local()
        self._place: finalize[..., Database] | None = None

    @property
    def is_sqlite(self) -> bool:
        """Whether this is a file of SQLite."""
        return self.engine.dialect.name == "sqlite"

    @property
    def shown(self) -> str:
        """The address as it may be printed: a path, or a URL without its password."""
        if self.is_sqlite:
            return str(self.url.database)
        return self.url.render_as_string(hide_password=True)

    @property
    def path(self) -> Path | None:
        """The file, for SQLite."""
        return Path(str(self.url.database)) if self.is_sqlite else None

    def reach(self) -> None:
        """Raise Unavailable when there is nobody to talk to."""
        try:
            self.engine.connect().close()
        except DBAPIError as found:
            raise Unavailable("database_not_reachable", name=self.shown) from found

    def occupy(self) -> None:
        """Hold a place at this database until it is closed or the process ends.

        Call it before the first read. Raises Unavailable while it is being replaced.
        """
        if self._place is None:
            self._place = finalize(self, self._enter(alone=False))

    @contextmanager
    def alone(self) -> Iterator[None]:
        """Nobody else holds a place meanwhile; raises Conflict when somebody does."""
        leave = self._enter(alone=True)
        try:
            yield
        finally:
            leave()

    @contextmanager
    def read(self) -> Iterator[Connection]:
        """A connection on one unchanging view of the data; nothing is kept."""
        with self.engine.connect() as connection:
            yield connection

    def _enter(self, alone: bool) -> Callable[[], None]:
        try:
            return occupancy.enter(self.engine, alone=alone)
        except (DBAPIError, OSError) as found:
            raise Unavailable("database_not_reachable", name=self.shown) from found

    @contextmanager
    def snapshot(self) -> Iterator[Connection]:
        """A reading connection that sees one moment, however long it takes."""
        reader = self.engine
        if not self.is_sqlite:
            reader = reader.execution_options(
                isolation_level="REPEATABLE READ", postgresql_readonly=True
            )
        with reader.connect() as connection:
            yield connection

    @contextmanager
    def write(self) -> Iterator[Connection]:
        """A connection whose changes are kept together at exit, or not at all.

        One thread holds at most one; a second inside the first would wait for itself
        for ever and is a RuntimeError.
        """
        with self._alone(), self._queue(), self._writer.begin() as connection:
            yield connection

    def empty_journal(self) -> None:
        """Write SQLite's journal back into its file, so that erased rows are gone.

        A reader in the middle of something puts that off to the next time.
        """
        if self.is_sqlite:
            with self.engine.connect() as connection:
                connection.rollback()
                raw = connection.connection.cursor()
                raw.execute("PRAGMA wal_checkpoint(TRUNCATE)").close()

    def close(self) -> None:
        """Let go of every connection, and of the place."""
        self.engine.dispose()
        if self._place is not None:
            self._place()
            self._place = None

    @contextmanager
    def _alone(self) -> Iterator[None]:
        if getattr(self._mine, "writing", False):
            raise RuntimeError("a write inside a write")
        self._mine.writing = True
        try:
            yield
        finally:
            self._mine.writing = False

    def _queue(self) -> Any:
        return queued(self.lock_path) if self.lock_path else nullcontext()


def sqlite_url(path: Path) -> str:
    """The URL of a SQLite file."""
    return URL.create("sqlite", database=str(path)).render_as_string()


def _understood(url: str | URL) -> URL:
    try:
        return make_url(url)
    except ArgumentError as found:  # it may hold a password: not repeated
        raise Unavailable("database_address_broken") from found


def _with_driver(url: URL) -> URL:
    if url.get_backend_name() == "postgresql":
        return url.set(drivername="postgresql+psycopg")
    if url.get_backend_name() == "sqlite" and url.database not in (
        None,
        "",
        ":memory:",
    ):
        return url
    raise Unavailable("database_not_usable", kind=url.drivername)


def _lock_path(url: URL) -> Path | None:
    if url.get_backend_name() != "sqlite":
        return None
    return Path(f"{url.database}.lock")


def _engine(url: URL, links_checked: bool) -> Engine:
    if url.get_backend_name() != "sqlite":
        return _postgres(url)
    engine = create_engine(url, connect_args={"timeout": BUSY_MILLISECONDS / 1000})
    event.listen(engine, "connect", _preparer(links_checked))
    event.listen(engine, "begin", _begin_sqlite)
    return engine


def _postgres(url: URL) -> Engine:
    try:
        return create_engine(url, pool_pre_ping=True)
    except ModuleNotFoundError as found:
        raise Unavailable("postgres_driver_missing") from found


def _preparer(links_checked: bool) -> Callable[[Any, object], None]:
    links = f"PRAGMA foreign_keys={'ON' if links_checked else 'OFF'}"

    def prepare(connection: Any, _record: object) -> None:
        connection.isolation_level = None  # the driver must not begin by itself
        for pragma in (*_PRAGMAS, links):
            connection.execute(pragma).close()

    return prepare


def _begin_sqlite(connection: Connection) -> None:
    writes = connection.get_execution_options().get("academy_writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
