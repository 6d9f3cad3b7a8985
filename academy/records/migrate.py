"""Bringing a database to the newest tables, from nothing or from an older release."""

from pathlib import Path
from typing import Any

from alembic.config import Config
from alembic.runtime.environment import EnvironmentContext
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, text

from academy.records.db import Database
from academy.records.schema import METADATA

FOLDER = Path(__file__).resolve().parent / "migrations"
_LOCK = 7_301_144_026  # any number, the same in every process of this program


def migrate(database: Database, revision: str = "head") -> None:
    """Upgrade to ``revision``; nothing happens when the tables are there already.

    SQLite copies a table to change it: links are checked after, not meanwhile.
    """
    own = Database(database.url, links_checked=False)
    try:
        with own.write() as connection:
            _one_at_a_time(connection)
            _upgrade(connection, revision)
            _refuse_broken_links(connection)
    finally:
        own.close()


def current_revision(connection: Connection) -> str | None:
    """The revision a database stands at; None before the first."""
    return MigrationContext.configure(connection).get_current_revision()


def newest_revision() -> str:
    """The revision this program's tables stand at."""
    head = ScriptDirectory(str(FOLDER)).get_current_head()
    assert head is not None  # noqa: S101 - the folder is part of the package
    return head


def _upgrade(connection: Connection, revision: str) -> None:
    script = ScriptDirectory(str(FOLDER))

    def steps(at: Any, _context: Any) -> Any:
        return script._upgrade_revs(revision, at)

    with EnvironmentContext(Config(), script, fn=steps) as environment:
        environment.configure(
            connection=connection, target_metadata=METADATA, render_as_batch=True
        )
        environment.run_migrations()


def _one_at_a_time(connection: Connection) -> None:
    if connection.dialect.name == "postgresql":
        connection.execute(text("SELECT pg_advisory_xact_lock(:n)"), {"n": _LOCK})


def _refuse_broken_links(connection: Connection) -> None:
    if connection.dialect.name != "sqlite":
        return
    broken = connection.execute(text("PRAGMA foreign_key_check")).all()
    if broken:
        raise RuntimeError(f"rows point nowhere after a migration: {broken[:3]}")
