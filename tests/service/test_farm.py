from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from academy.catalog import crops
from academy.errors import Conflict, NotAllowed, NotFound, NotUnderstood, OutOfRange
from academy.records.queries import farm as farms
from academy.service import farm

NOW = datetime(2026, 9, 1, 15, 0, tzinfo=UTC)


def test_there_is_no_farm_before_its_first_start(house):
    assert farm.farm(house) is None
    with pytest.raises(NotFound):
        farm.today(house, NOW)


def test_the_first_run_link_works_once(house, form):
    token = farm.first_run_link(house, NOW)
    farm.first_run_open(house, token, NOW)
    farm.start_farm(house, token, form, NOW)
    with pytest.raises(NotFound):
        farm.start_farm(house, token, form, NOW)
    with pytest.raises(Conflict):
        farm.first_run_link(house, NOW)


def test_a_newer_first_run_link_voids_the_older(house, form):
    old = farm.first_run_link(house, NOW)
    farm.first_run_link(house, NOW)
    with pytest.raises(NotFound):
        farm.start_farm(house, old, form, NOW)


def test_a_first_run_link_grows_old(house, form):
    token = farm.first_run_link(house, NOW)
    late = NOW + timedelta(days=house.settings.slip_days, seconds=1)
    with pytest.raises(NotFound):
        farm.start_farm(house, token, form, late)


def test_a_started_farm_has_its_owner_and_no_first_run_link(house, form, owner):
    assert owner.roles == {"owner"}
    found = farm.farm(house, NOW)
    assert found is not None
    assert (found.name, found.currency) == (form.name, "USD")
    with pytest.raises(Conflict):
        farm.first_run_link(house, NOW)


@pytest.mark.parametrize(
    ("field", "value", "refusal"),
    [
        ("name", "   ", NotUnderstood),
        ("name", "x" * 121, OutOfRange),
        ("zone", "Nowhere/Land", NotUnderstood),
        ("zone", "../etc/passwd", NotUnderstood),
        ("zone", "", NotUnderstood),
        ("currency", "dollars", NotUnderstood),
        ("header_key", "no-such-header", NotUnderstood),
        ("combine_key", "no-such-combine", NotUnderstood),
        ("language", "fr", NotUnderstood),
        ("units", "cgs", NotUnderstood),
        ("owner_name", "\x00", NotUnderstood),
    ],
)
def test_a_farm_form_that_cannot_be_is_refused(house, form, field, value, refusal):
    token = farm.first_run_link(house, NOW)
    with pytest.raises(refusal):
        farm.start_farm(house, token, replace(form, **{field: value}), NOW)
    farm.first_run_open(house, token, NOW)  # the link is still good


@pytest.mark.usefixtures("owner")
def test_the_zone_of_the_farm_decides_what_day_it_is(house):
    # Chicago is 5 hours behind UTC in summer: 04:59 UTC is 23:59 the day before
    assert farm.today(house, datetime(2026, 9, 2, 4, 59, tzinfo=UTC)) == date(
        2026, 9, 1
    )
    assert farm.today(house, datetime(2026, 9, 2, 5, 0, tzinfo=UTC)) == date(2026, 9, 2)


def test_the_season_shown_is_the_one_that_harvests_next(house, owner):
    crop = crops.known()[0]
    farm.set_season(house, owner, crop, 2025, date(2025, 9, 20))
    farm.set_season(house, owner, crop, 2026, date(2026, 9, 25))
    farm.set_season(house, owner, crop, 2026, date(2026, 9, 28))  # moved
    found = farm.farm(house, NOW)
    assert found.season.harvest_day == date(2026, 9, 28)
    later = farm.farm(house, datetime(2026, 12, 1, tzinfo=UTC))
    assert later.season.harvest_day == date(2026, 9, 28)


def test_a_harvest_day_years_away_from_its_season_is_refused(house, owner):
    with pytest.raises(OutOfRange):
        farm.set_season(house, owner, crops.known()[0], 2026, date(2024, 9, 1))


def test_a_new_crew_needs_what_its_jobs_usually_take(house, owner):
    with house.db.read() as connection:
        needed = farms.needed(connection, owner.crew_id)
    assert {each.role_key: each.headcount for each in needed} == {
        key: job.needed for key, job in house.catalog.jobs.items()
    }


def test_needs_are_the_owners_to_set_and_within_reason(house, owner, join):
    farm.set_needs(house, owner, "combine-operator", 4)
    farm.set_needs(house, owner, "yard-helper", 0)
    with house.db.read() as connection:
        needed = {
            n.role_key: n.headcount for n in farms.needed(connection, owner.crew_id)
        }
    assert needed["combine-operator"] == 4
    assert "yard-helper" not in needed
    for wrong in (-1, 201):
        with pytest.raises(OutOfRange):
            farm.set_needs(house, owner, "combine-operator", wrong)
    with pytest.raises(NotUnderstood):
        farm.set_needs(house, owner, "astronaut", 1)
    for signed in (join("Hedda Ames"), join("Lino Prado", "lead")):
        with pytest.raises(NotAllowed):
            farm.set_needs(house, signed.viewer, "combine-operator", 1)


def test_a_crew_name_is_given_once(house, owner, join):
    farm.add_crew(house, owner, "North  side")
    with pytest.raises(Conflict):
        farm.add_crew(house, owner, "North side")
    with pytest.raises(NotAllowed):
        farm.add_crew(house, join("Lino Prado", "lead").viewer, "South side")


def test_a_lead_sees_the_own_crew_only_an_owner_all(house, owner, join):
    farm.add_crew(house, owner, "North side")
    lead = join("Lino Prado", "lead").viewer
    assert len(farm.crews(house, owner)) == 2
    assert [crew.id for crew in farm.crews(house, lead)] == [lead.crew_id]
    with pytest.raises(NotAllowed):
        farm.crews(house, join("Hedda Ames").viewer)
