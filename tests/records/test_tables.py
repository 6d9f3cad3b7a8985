"""The tables are what the code says, on both databases, from nothing and again."""

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from sqlalchemy import create_engine, inspect, select
from sqlalchemy.exc import IntegrityError

from academy.records.db import Database
from academy.records.migrate import current_revision, migrate, newest_revision
from academy.records.schema import METADATA
from academy.records.tables import farm as farm_tables


def test_migrated_tables_do_not_differ_from_the_declared_ones(database: Database):
    with database.read() as connection:
        context = MigrationContext.configure(connection)
        assert compare_metadata(context, METADATA) == []


def test_migrated_checks_are_the_declared_ones(sqlite_database: Database, tmp_path):
    """The comparison above does not see CHECKs: compare them with declared tables."""
    declared = create_engine(f"sqlite:///{tmp_path / 'declared.db'}")
    METADATA.create_all(declared)
    wanted, got = inspect(declared), inspect(sqlite_database.engine)
    for name in METADATA.tables:
        assert _checks(got, name) == _checks(wanted, name), name
    assert len(_checks(got, "part")) >= 5
    declared.dispose()


def test_migration_starts_from_nothing_and_may_be_repeated(bare_database: Database):
    with bare_database.read() as connection:
        assert current_revision(connection) is None
    migrate(bare_database)
    migrate(bare_database)
    with bare_database.read() as connection:
        assert current_revision(connection) == newest_revision()
        assert connection.execute(select(farm_tables.farm)).all() == []


def test_a_text_beyond_its_length_is_refused_on_both(database: Database):
    crew = farm_tables.crew
    with database.write() as connection:
        connection.execute(crew.insert().values(id="a" * 32, name="n" * 120))
    with pytest.raises(Exception, match=r"(?i)check|too long"):
        _add_crew(database, "b" * 32, "n" * 121)


@pytest.mark.parametrize(("crew_id", "name"), [("short", "N"), ("c" * 32, "")])
def test_a_short_id_or_an_empty_name_is_refused(database: Database, crew_id, name):
    with pytest.raises(IntegrityError):
        _add_crew(database, crew_id, name)


def test_a_row_that_points_nowhere_is_refused(database: Database):
    needed = farm_tables.needed
    row = needed.insert().values(crew_id="0" * 32, role_key="operator", headcount=2)
    with pytest.raises(IntegrityError), database.write() as connection:
        connection.execute(row)


def _add_crew(database: Database, crew_id: str, name: str) -> None:
    with database.write() as connection:
        connection.execute(farm_tables.crew.insert().values(id=crew_id, name=name))


def _checks(inspector, table: str) -> set[tuple[str, str]]:
    found = inspector.get_check_constraints(table)
    return {(each["name"], each["sqltext"]) for each in found}
