"""Databases for tests: what takes ``database`` runs on SQLite and on PostgreSQL.

One PostgreSQL cluster serves a whole run, started by hand on a Unix socket, never as
root; each worker has one database, copied from a migrated template and emptied for
every test. Without PostgreSQL such tests are skipped, unless ACADEMY_REQUIRE names it.
"""

import os
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import count
from pathlib import Path
from typing import Any
from uuid import uuid4

import hypothesis
import pytest
from argon2 import PasswordHasher
from begun import Kept
from jinja2 import FileSystemBytecodeCache
from sqlalchemy import Connection, create_engine, event, insert, text

from academy.catalog import blueprints
from academy.records.db import Database, sqlite_url
from academy.records.migrate import migrate
from academy.records.queries import answers, coefficients, scenarios, stock
from academy.records.schema import METADATA
from academy.records.tables import assessments as tables
from academy.records.tables.yard import sign_off
from academy.records.write_queue import queued
from academy.service import pins

hypothesis.settings.register_profile("house", deadline=None)
hypothesis.settings.load_profile("house")

CLUSTER_NOTE = "postgres-cluster"
MISSING = "needs PostgreSQL: apt-get install postgresql"
# Half the time of TRUNCATE, which makes new files for every table
EMPTIED = "; ".join(
    (
        "SET LOCAL session_replication_role = replica",
        *(str(table.delete()) for table in METADATA.sorted_tables),
        "SELECT setval(pg_get_serial_sequence('answer', 'id'), 1, false)",
    )
)
QUICK = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)


@pytest.fixture(scope="session")
def run_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder that all workers of this run share."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if os.environ.get("PYTEST_XDIST_WORKER") else own


@pytest.fixture(scope="session")
def farms_begun() -> Kept:
    """Rows of farms that were begun in this run."""
    return {}


@pytest.fixture
def quick_pins(monkeypatch: pytest.MonkeyPatch) -> None:
    """PINs hashed for next to nothing; ``test_pins`` holds the real to its cost."""
    monkeypatch.setattr(pins, "_SLOW", QUICK)


@pytest.fixture(scope="session")
def compiled_pages(tmp_path_factory: pytest.TempPathFactory) -> FileSystemBytecodeCache:
    """Templates compiled once for all sites of a run."""
    return FileSystemBytecodeCache(str(tmp_path_factory.mktemp("pages")))


@pytest.fixture(scope="session")
def sqlite_template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A migrated, empty SQLite file to copy."""
    path = tmp_path_factory.mktemp("template") / "academy.db"
    made = Database(sqlite_url(path))
    migrate(made)
    made.close()
    return path


@pytest.fixture
def sqlite_database(sqlite_template: Path, tmp_path: Path) -> Iterator[Database]:
    """A fresh, migrated SQLite database; like the cluster it waits for no disk.

    That is for a lost supply, which no test can take away; ``test_db`` and
    ``test_kill`` hold a database as it is served to ``synchronous=FULL``.
    """
    path = tmp_path / "academy.db"
    shutil.copyfile(sqlite_template, path)
    opened = Database(sqlite_url(path))
    event.listen(opened.engine, "connect", _without_waiting)
    yield opened
    opened.close()


def _without_waiting(connection: Any, _record: object) -> None:
    connection.execute("PRAGMA synchronous=OFF").close()


@pytest.fixture(scope="session")
def postgres_socket(run_folder: Path) -> Path:
    """The socket folder of the run's cluster, with a migrated database ``template``."""
    programs = _programs()
    if programs is None:
        return _without_postgres()
    with queued(run_folder / "postgres.lock"):
        note = run_folder / CLUSTER_NOTE
        if not note.exists():
            note.write_text(str(_start(programs)))
        return Path(note.read_text())


@pytest.fixture(scope="session")
def worker_database(postgres_socket: Path) -> Iterator[Database]:
    """This worker's own PostgreSQL database."""
    name = os.environ.get("PYTEST_XDIST_WORKER", "alone")
    _make(postgres_socket, name, "template")
    opened = Database(_url(postgres_socket, name))
    yield opened
    opened.close()


@pytest.fixture
def postgres_database(worker_database: Database) -> Database:
    """The worker's PostgreSQL database, migrated and empty."""
    with worker_database.write() as connection:
        connection.execute(text(EMPTIED))
    return worker_database


@pytest.fixture
def fresh_postgres(postgres_socket: Path, tmp_path: Path) -> Iterator[Database]:
    """A PostgreSQL database with no table in it."""
    name = f"fresh_{os.getpid()}_{abs(hash(tmp_path))}"
    _make(postgres_socket, name, "template0")
    opened = Database(_url(postgres_socket, name))
    yield opened
    opened.close()


@pytest.fixture(params=["sqlite", "postgres"])
def database(request: pytest.FixtureRequest) -> Database:
    """A migrated, empty database, of either kind in turn."""
    chosen: Database = request.getfixturevalue(f"{request.param}_database")
    return chosen


@dataclass(frozen=True)
class Shown:
    """What one person showed for a certificate, put in as rows."""

    assessment_id: str
    sign_off_id: str


@pytest.fixture
def show(database: Database) -> Callable[..., Shown]:
    """Put a decided assessment and a signed yard sign-off of a person into the tables.

    Eight scenarios of four parts, each scored the same; what is left out passes.
    """
    numbers = count(1)

    def _show(
        person_id: str,
        *,
        released_by: str,
        seen_by: str,
        now: datetime,
        key: str = "soybean-on-the-ground",
        score: float = 0.9,
        outcome: str = "pass",
        signed: str | None = "done",
        header_key: str = "flex35",
        critical: bool = False,
    ) -> Shown:
        made, signed_id = uuid4().hex, uuid4().hex
        with database.write() as connection:
            connection.execute(
                insert(tables.assessment).values(
                    id=made,
                    person_id=person_id,
                    certificate=key,
                    blueprint_digest=blueprints.digest(key),
                    header_key=header_key,
                    attempt=1,
                    credit=0.0,
                    released_by=released_by,
                    released_at=now,
                    open_until=now,
                    state="ended",
                    started_at=now,
                    ended_at=now,
                )
            )
            coefficients.keep(connection, "c" * 64, "{}")
            for position in range(1, 9):
                _answered(connection, made, person_id, position, score, critical, now)
            connection.execute(
                insert(tables.decision).values(
                    id=uuid4().hex,
                    assessment_id=made,
                    outcome=outcome,
                    evidence=4.0,
                    scenarios=8,
                    decided_at=now,
                )
            )
            connection.execute(
                insert(sign_off).values(
                    id=signed_id,
                    person_id=person_id,
                    list_key=blueprints.load(key).sign_off,
                    list_digest="d" * 64,
                    header_key=header_key,
                    lead_id=seen_by,
                    opened_at=now,
                    signed_at=now if signed else None,
                    outcome=signed,
                )
            )
        return Shown(made, signed_id)

    def _answered(
        connection: Connection,
        assessment_id: str,
        person_id: str,
        position: int,
        score: float,
        critical: bool,
        now: datetime,
    ) -> None:
        number = next(numbers)
        part = stock.PartDraft("number", "reel", "made@1", 0.6, 0.0, 4, 0.5)
        draft = stock.Draft("made", number, f"{number:064x}", "{}", 7, "c" * 64,
                            parts=[part] * 4)  # fmt: skip
        issue = scenarios.Issue(person_id, "sitting", "assessment", now)
        issued = scenarios.issue_draft(connection, draft, issue)
        connection.execute(
            insert(tables.assessment_step).values(
                id=uuid4().hex,
                assessment_id=assessment_id,
                position=position,
                stage="scenario",
                slot="reel",
                scenario_id=issued.id,
                shown={},
                asked_at=now,
                answered_at=now,
            )
        )
        marks = {"reason": "right", "critical_miss": critical}
        for one in scenarios.parts(connection, issued.id):
            answers.record(
                connection, one.id, answer={}, score=score, marks=marks, now=now
            )

    return _show


@pytest.fixture(params=["sqlite", "postgres"])
def bare_database(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Database]:
    """A database with no table in it, of either kind in turn."""
    if request.param == "postgres":
        yield request.getfixturevalue("fresh_postgres")
        return
    opened = Database(sqlite_url(tmp_path / "bare.db"))
    yield opened
    opened.close()


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Stop the cluster at the end of the run; a worker leaves that to the first."""
    factory = getattr(session.config, "_tmp_path_factory", None)
    if factory is None or os.environ.get("PYTEST_XDIST_WORKER"):
        return
    note = factory.getbasetemp() / CLUSTER_NOTE
    if note.exists():
        _stop(Path(note.read_text()))


def _programs() -> Path | None:
    found = [Path(path).parent for path in [shutil.which("initdb")] if path]
    versions = Path("/usr/lib/postgresql").glob("*/bin/initdb")
    newest = sorted(versions, key=lambda path: int(path.parts[-3]), reverse=True)
    found += [path.parent for path in newest]
    return found[0] if found else None


def _without_postgres() -> Path:
    if "postgres" in os.environ.get("ACADEMY_REQUIRE", ""):
        pytest.fail(MISSING)
    pytest.skip(MISSING)


def _as_owner(*command: str | Path) -> None:
    """Run a program of PostgreSQL, which refuses to work for root."""
    root = os.geteuid() == 0
    before = ["runuser", "-u", "postgres", "--"] if root else []
    subprocess.run([*before, *command], check=True, stdout=subprocess.DEVNULL, cwd="/")


def _start(programs: Path) -> Path:
    folder = Path(tempfile.mkdtemp(prefix="academy-postgres-"))
    if os.geteuid() == 0:
        shutil.chown(folder, "postgres")
    data = folder / "data"
    options = ("-U", "postgres", "-A", "trust", "-E", "UTF8", "--locale=C", "-N")
    _as_owner(programs / "initdb", "-D", data, *options)
    options = f"-c listen_addresses= -c unix_socket_directories={folder} -c fsync=off"
    _as_owner(
        *(programs / "pg_ctl", "-D", data, "-l", folder / "log", "-w", "start"),
        *("-o", options),
    )
    _make(folder, "template", "template0")
    made = Database(_url(folder, "template"))
    migrate(made)
    made.close()
    return folder


def _stop(folder: Path) -> None:
    programs = _programs()
    assert programs is not None
    _as_owner(programs / "pg_ctl", "-D", folder / "data", "-m", "immediate", "stop")
    shutil.rmtree(folder)


def _url(folder: Path, name: str) -> str:
    return f"postgresql+psycopg://postgres@/{name}?host={folder}"


def _make(folder: Path, name: str, template: str) -> None:
    engine = create_engine(_url(folder, "postgres"), isolation_level="AUTOCOMMIT")
    made = f'CREATE DATABASE "{name}" TEMPLATE "{template}" ENCODING \'UTF8\''
    with engine.connect() as connection:
        connection.execute(text(made))
    engine.dispose()
