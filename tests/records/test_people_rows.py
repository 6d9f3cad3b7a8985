"""People, slips, devices and sign-ins, on both databases."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from sqlalchemy import select
from sqlalchemy.exc import IntegrityError

from academy.records.db import Database
from academy.records.queries import (
    devices,
    farm,
    people,
    pin_tries,
    retention,
    sign_in,
    throttle,
)
from academy.records.queries import slips as slip_rows
from academy.records.queries.farm import Farm
from academy.records.tables.people import person_name

NOW = datetime(2026, 8, 1, 12, tzinfo=UTC)
HOUR = timedelta(hours=1)
FARM = Farm("Loma Farm", "America/Chicago", "USD", "wide", "one", "a" * 64, NOW)


@pytest.fixture
def someone(database: Database) -> str:
    with database.write() as connection:
        crew_id = farm.add_crew(connection, "North yard").id
        return add(connection, crew_id, "Marta")


def add(connection, crew_id: str, name: str) -> str:
    return people.add(
        connection,
        crew_id=crew_id,
        name=name,
        language="es",
        units="metric",
        roles=["hire"],
        now=NOW,
    )


def test_there_is_one_farm_and_it_can_be_changed(database: Database):
    with database.write() as connection:
        assert farm.get(connection) is None
        farm.put_farm(connection, FARM)
        farm.put_farm(connection, FARM)
        farm.end_first_run(connection)
        found = farm.get(connection)
    assert found is not None
    assert (found.name, found.first_run_token_hash) == ("Loma Farm", None)
    assert found.created_at == NOW


def test_a_season_is_one_per_crop_and_year_and_its_day_moves(database: Database):
    with database.write() as connection:
        early = farm.put_season(connection, "soybean", 2026, date(2026, 9, 20))
        moved = farm.put_season(connection, "soybean", 2026, date(2026, 9, 25))
        farm.put_season(connection, "soybean", 2025, date(2025, 9, 18))
        assert moved.id == early.id
        assert farm.next_season(connection, date(2026, 9, 25)) == moved
        assert farm.next_season(connection, date(2026, 9, 26)) is None
        assert [season.year for season in farm.seasons(connection)] == [2025, 2026]


def test_needs_are_changed_and_taken_away(database: Database):
    with database.write() as connection:
        crew = farm.add_crew(connection, "North yard")
        farm.put_needed(connection, crew.id, "crew-lead", 2)
        farm.put_needed(connection, crew.id, "crew-lead", 1)
        assert [need.headcount for need in farm.needed(connection, crew.id)] == [1]
        farm.put_needed(connection, crew.id, "crew-lead", 0)
        assert farm.needed(connection, crew.id) == ()
        assert farm.crew(connection, crew.id) == crew


def test_a_person_is_found_with_name_and_roles(database: Database, someone: str):
    with database.write() as connection:
        people.give_role(connection, someone, "lead")
        people.give_role(connection, someone, "lead")
        people.take_role(connection, someone, "hire")
        people.set_reader(connection, someone, "en", "us")
        people.rename(connection, someone, "Marta L.")
        found = people.get(connection, someone)
        assert people.roles(connection, someone) == {"lead"}
        assert people.active(connection) == (found,)
        assert people.active(connection, "0" * 32) == ()
    assert (found.name, found.language, found.units) == ("Marta L.", "en", "us")


def test_a_role_or_language_nobody_knows_is_refused(database: Database, someone: str):
    with pytest.raises(IntegrityError), database.write() as connection:
        people.give_role(connection, someone, "boss")
    with pytest.raises(IntegrityError), database.write() as connection:
        people.set_reader(connection, someone, "xx", "us")


def test_an_erased_person_keeps_the_id_and_loses_name_and_ways_in(
    database: Database, someone: str
):
    with database.write() as connection:
        slip = give_slip(connection, someone, "b")
        device = devices.add(connection, "d" * 64, NOW)
        devices.enrol(connection, device, someone, "hash")
        begin(connection, someone, device)
        people.erase(connection, someone, NOW + HOUR)
    with database.read() as connection:
        gone = people.get(connection, someone)
        assert (gone.name, gone.active) == (None, False)
        assert connection.execute(select(person_name)).all() == []
        assert devices.enrolment(connection, device, someone) is None
        assert slip_rows.usable(connection, "b" * 64) is None
        assert sign_in.current(connection, "e" * 64) is None
        kept = slip_rows.of_person(connection, someone)
    assert [(each.id, each.pin_hash, each.word) for each in kept] == [
        (slip, None, None)
    ]


def give_slip(connection, person_id: str | None, letter: str, kind="slip") -> str:
    return slip_rows.add(
        connection,
        kind=kind,
        person_id=person_id,
        token_hash=letter * 64,
        pin_hash="hash",
        word="barn",
        now=NOW,
    )


def test_a_slip_works_once(database: Database, someone: str):
    with database.write() as connection:
        slip = give_slip(connection, someone, "a")
        assert slip_rows.usable(connection, "a" * 64).id == slip
        assert slip_rows.use(connection, slip, NOW)
        assert not slip_rows.use(connection, slip, NOW)
        assert slip_rows.usable(connection, "a" * 64) is None


def test_a_fresh_slip_makes_the_older_one_worthless(database: Database, someone: str):
    with database.write() as connection:
        old = give_slip(connection, someone, "a")
        new = give_slip(connection, someone, "b")
        assert slip_rows.usable(connection, "a" * 64) is None
        assert not slip_rows.use(connection, old, NOW)
        assert slip_rows.usable(connection, "b" * 64).id == new


def test_only_the_first_run_has_a_slip_of_nobody(database: Database):
    with database.write() as connection:
        give_slip(connection, None, "a", kind="first-run")
    with pytest.raises(IntegrityError), database.write() as connection:
        give_slip(connection, None, "b")


def test_ten_tries_close_a_device_and_a_fresh_slip_opens_it(
    database: Database, someone: str
):
    with database.write() as connection:
        device = devices.add(connection, "d" * 64, NOW)
        devices.enrol(connection, device, someone, "old")
        tries = [
            pin_tries.charge_device(connection, device, someone, 10) for _ in range(11)
        ]
        assert tries == [True] * 10 + [False]
        assert devices.enrolment(connection, device, someone).locked
        assert [each.locked for each in devices.people_on(connection, device)] == [True]
        devices.enrol(connection, device, someone, "new")
        fresh = devices.enrolment(connection, device, someone)
    assert (fresh.pin_hash, fresh.failures, fresh.locked) == ("new", 0, False)


def test_a_revoked_device_is_nobodys(database: Database):
    with database.write() as connection:
        device = devices.add(connection, "d" * 64, NOW)
        assert devices.by_token(connection, "d" * 64).id == device
        devices.revoke(connection, device, NOW)
        assert devices.by_token(connection, "d" * 64) is None


def test_a_device_lists_active_people_by_name(database: Database, someone: str):
    with database.write() as connection:
        crew_id = people.get(connection, someone).crew_id
        others = [add(connection, crew_id, name) for name in ("Zoe", "Ana")]
        device = devices.add(connection, "d" * 64, NOW)
        for person_id in (someone, *others):
            devices.enrol(connection, device, person_id, "hash")
        people.set_active(connection, others[0], False)
        names = [each.name for each in devices.people_on(connection, device)]
    assert names == ["Ana", "Marta"]


def begin(connection, person_id: str, device: str | None) -> str:
    return sign_in.begin(
        connection,
        token_hash="e" * 64,
        person_id=person_id,
        device_id=device,
        csrf="c" * 40,
        now=NOW,
    )


def test_a_sign_in_ends_for_good(database: Database, someone: str):
    with database.write() as connection:
        opened = begin(connection, someone, None)
        sign_in.saw(connection, opened, NOW + HOUR)
        assert sign_in.current(connection, "e" * 64).seen_at == NOW + HOUR
        sign_in.end(connection, opened, NOW + HOUR)
        sign_in.end(connection, opened, NOW + 2 * HOUR)
        assert sign_in.current(connection, "e" * 64) is None


def test_who_left_the_crew_is_signed_out(database: Database, someone: str):
    with database.write() as connection:
        begin(connection, someone, None)
        people.set_active(connection, someone, False)
        assert sign_in.current(connection, "e" * 64) is None


def test_a_count_of_wrong_tries_is_kept_found_and_swept(database: Database):
    key, other = "1" * 64, "2" * 64
    with database.write() as connection:
        new = throttle.held(connection, key, NOW)
        assert (new.failures, new.counted_at, new.free_at) == (0, NOW, NOW)
        throttle.keep(connection, replace(new, failures=4, free_at=NOW + HOUR))
        throttle.held(connection, other, NOW)
        kept = throttle.held(connection, key, NOW + HOUR)
        assert (kept.failures, kept.counted_at, kept.free_at) == (4, NOW, NOW + HOUR)
        assert throttle.sweep(connection, NOW + HOUR) == 1  # who must wait is kept
        assert throttle.held(connection, key, NOW).failures == 4
        throttle.forget(connection, key)
        assert throttle.held(connection, key, NOW).failures == 0


def test_old_slips_are_swept(database: Database, someone: str):
    with database.write() as connection:
        give_slip(connection, someone, "a")
        assert retention.sweep_slips(connection, NOW) == 0
        assert retention.sweep_slips(connection, NOW + HOUR) == 1
