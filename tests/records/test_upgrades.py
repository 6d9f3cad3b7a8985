"""From each older release's tables to today's: what was there stays there."""

from datetime import UTC, datetime

import pytest
from sqlalchemy import MetaData, Table, inspect, select, text
from sqlalchemy.exc import IntegrityError

from academy.records.db import Database
from academy.records.migrate import current_revision, migrate, newest_revision
from academy.records.queries import assessments, certificates, devices

NOW = datetime(2026, 9, 1, 15, 0, tzinfo=UTC)
CREW, PERSON, DEVICE, SIGN_IN = "a" * 32, "b" * 32, "c" * 32, "d" * 32


def put(connection, name: str, /, **values: object) -> None:
    """One row into a table as this release has it."""
    table = Table(name, MetaData(), autoload_with=connection)
    connection.execute(table.insert().values(**values))


@pytest.fixture
def first_release(bare_database: Database) -> Database:
    """The first tables with a person on a device, and an address in the throttle."""
    migrate(bare_database, "0001")
    with bare_database.write() as connection:
        put(connection, "crew", id=CREW, name="North yard")
        put(
            connection, "person", id=PERSON, crew_id=CREW, active=True, language="es",
            units="metric", created_at=NOW,
        )  # fmt: skip
        put(connection, "person_name", person_id=PERSON, name="Marta")
        put(connection, "device", id=DEVICE, token_hash="1" * 64, enrolled_at=NOW)
        put(
            connection, "device_person", device_id=DEVICE, person_id=PERSON,
            pin_hash="h", failures=3, locked=False,
        )  # fmt: skip
        put(
            connection, "sign_in", id=SIGN_IN, token_hash="2" * 64, person_id=PERSON,
            device_id=DEVICE, csrf="c", made_at=NOW, seen_at=NOW,
        )  # fmt: skip
        put(
            connection, "throttle", key="address:203.0.113.7", window_start=NOW, count=9
        )
    return bare_database


def test_the_first_release_comes_up_to_date_with_its_people(first_release: Database):
    migrate(first_release)
    with first_release.read() as connection:
        assert current_revision(connection) == newest_revision()
        assert connection.scalar(text("SELECT name FROM person_name")) == "Marta"
        row = connection.execute(text("SELECT * FROM device_person")).one()
        assert (row.device_id, row.failures) == (DEVICE, 3)
        assert connection.scalar(text("SELECT id FROM sign_in")) == SIGN_IN
        (device,) = devices.of_person(connection, PERSON)
        assert (device.kind, device.enrolled_at, device.people) == ("unknown", NOW, 1)


def test_addresses_of_the_first_release_are_gone(first_release: Database):
    migrate(first_release)
    names = inspect(first_release.engine).get_table_names()
    assert "throttle" not in names
    with first_release.read() as connection:
        for name in names:
            table = Table(name, MetaData(), autoload_with=connection)
            assert "203.0.113.7" not in str(connection.execute(select(table)).all())


@pytest.fixture
def fifth_release(bare_database: Database) -> Database:
    """A running assessment and a decided one, before their rules were kept."""
    migrate(bare_database, "0005")
    with bare_database.write() as connection:
        put(connection, "crew", id=CREW, name="North yard")
        put(
            connection, "person", id=PERSON, crew_id=CREW, active=True, language="es",
            units="metric", created_at=NOW,
        )  # fmt: skip
        for made, state in (("1" * 32, "running"), ("2" * 32, "ended")):
            put(
                connection, "assessment", id=made, person_id=PERSON,
                certificate="yard-helper", blueprint_digest="e" * 64,
                header_key="flex35", attempt=2, credit=0.5, released_by=PERSON,
                released_at=NOW, open_until=NOW, state=state,
            )  # fmt: skip
        put(
            connection, "decision", id="3" * 32, assessment_id="2" * 32,
            outcome="gate", evidence=0.5, scenarios=0, decided_at=NOW,
        )  # fmt: skip
    return bare_database


def test_assessments_of_the_fifth_release_stay_and_can_be_voided(
    fifth_release: Database,
):
    migrate(fifth_release)
    with fifth_release.write() as connection:
        rows = assessments.of_person(connection, PERSON)
        assert [(one.state, one.attempt, one.credit) for one in rows] == [
            ("running", 2, 0.5),
            ("ended", 2, 0.5),
        ]
        assert {(one.rules, one.void_reason) for one in rows} == {(None, None)}
        (kept,) = assessments.decisions(connection, ["2" * 32])["2" * 32]
        assert (kept.outcome, kept.evidence) == ("gate", 0.5)
        assessments.change(connection, "1" * 32, void_reason="nothing-left")
        put(
            connection, "decision", id="4" * 32, assessment_id="2" * 32,
            outcome="void", evidence=0.5, scenarios=0, decided_at=NOW,
        )  # fmt: skip


def test_no_other_outcome_is_taken_after_the_upgrade(fifth_release: Database):
    migrate(fifth_release)
    with pytest.raises(IntegrityError), fifth_release.write() as connection:
        put(
            connection, "decision", id="4" * 32, assessment_id="2" * 32,
            outcome="so", evidence=0.5, scenarios=0, decided_at=NOW,
        )  # fmt: skip


@pytest.fixture
def sixth_release(bare_database: Database) -> Database:
    """A certificate taken back, when an assessment could have one alone for ever."""
    migrate(bare_database, "0006")
    with bare_database.write() as connection:
        put(connection, "crew", id=CREW, name="North yard")
        put(
            connection, "person", id=PERSON, crew_id=CREW, active=True, language="es",
            units="metric", created_at=NOW,
        )  # fmt: skip
        put(
            connection, "assessment", id="1" * 32, person_id=PERSON,
            certificate="yard-helper", blueprint_digest="e" * 64, header_key="flex35",
            attempt=1, credit=0.0, released_by=PERSON, released_at=NOW, open_until=NOW,
            state="ended",
        )  # fmt: skip
        put(
            connection, "sign_off", id="2" * 32, person_id=PERSON, list_key="yard",
            list_digest="d" * 64, header_key="flex35", lead_id=PERSON, opened_at=NOW,
            signed_at=NOW, outcome="done",
        )  # fmt: skip
        _given(connection, "3" * 32, revoked_at=NOW, revoke_reason="A wrong name")
    return bare_database


def _given(connection, made: str, **other: object) -> None:
    """A certificate of the sixth release's assessment."""
    put(
        connection, "certificate", id=made, person_id=PERSON, certificate="yard-helper",
        assessment_id="1" * 32, sign_off_id="2" * 32, header_key="flex35",
        issued_by=PERSON, issued_at=NOW, valid_until=NOW.date(), language="es",
        one_person=False, model_line=True, key_id="k", credential="{}", **other,
    )  # fmt: skip


def test_a_second_certificate_had_no_place_in_the_sixth_release(sixth_release):
    with pytest.raises(IntegrityError), sixth_release.write() as connection:
        _given(connection, "4" * 32)


def test_a_certificate_can_be_given_anew_after_the_upgrade(sixth_release: Database):
    migrate(sixth_release)
    with sixth_release.write() as connection:
        _given(connection, "4" * 32)
    with sixth_release.read() as connection:
        kept = certificates.get(connection, "3" * 32)
        assert kept is not None
        assert (kept.revoked_at, kept.revoke_reason) == (NOW, "A wrong name")
        holds = certificates.in_force(connection, "1" * 32)
        assert holds is not None
        assert holds.id == "4" * 32
        assert certificates.revoked(connection) == ("3" * 32,)


def test_no_two_certificates_of_an_assessment_are_in_force(sixth_release: Database):
    migrate(sixth_release)
    with sixth_release.write() as connection:
        _given(connection, "4" * 32)
    with pytest.raises(IntegrityError), sixth_release.write() as connection:
        _given(connection, "5" * 32)
    with sixth_release.write() as connection:
        _given(connection, "6" * 32, revoked_at=NOW, revoke_reason="Wrong too")
