"""The crew's best hour: it fits the hour, and names people who gain the cover most."""

from datetime import UTC, date, datetime

import pytest

from academy.errors import NotAllowed
from academy.service import crew_hour, farm

NOW = datetime(2026, 9, 1, 16, 0, tzinfo=UTC)


def only_job(house, owner, job, heads):
    for key in house.catalog.jobs:
        farm.set_needs(house, owner, key, heads if key == job else 0)


def test_the_hour_is_an_hour_of_needed_topics(house, owner, join):
    join("Ilse Quade")
    join("Pia Ames")
    only_job(house, owner, "combine-operator", 1)
    farm.set_season(house, owner, "soybean", 2026, date(2026, 9, 20))
    rows = crew_hour.best_hour(house, owner, NOW)
    assert 0 < sum(row.minutes for row in rows) <= 60
    names = {house.catalog.topics[key].name.en
             for key in house.catalog.jobs["combine-operator"].topics}  # fmt: skip
    assert {row.topic for row in rows} <= names
    assert {row.name for row in rows} <= {"Ilse Quade", "Pia Ames"}


def test_who_is_sure_needs_no_hour_where_another_is_near_the_line(
    house, owner, join, answer
):
    """Where one is sure and another near the line, the sure one can only keep it."""
    sure, near = join("Ilse Quade").viewer, join("Pia Ames").viewer
    only_job(house, owner, "yard-helper", 2)
    for _ in range(20):
        answer(sure.person_id, "safe-stop", 1.0, NOW)
        answer(sure.person_id, "emergencies", 1.0, NOW)
    for _ in range(6):
        answer(near.person_id, "safe-stop", 0.6, NOW)
        answer(near.person_id, "emergencies", 0.6, NOW)
    rows = crew_hour.best_hour(house, owner, NOW)
    asked = [house.catalog.topics[key].name.en for key in ("safe-stop", "emergencies")]
    there = [row.name for row in rows if row.topic in asked]
    assert there
    assert set(there) == {"Pia Ames"}


def test_an_empty_crew_has_no_hour_and_hires_do_not_see_it(house, owner, join):
    assert crew_hour.best_hour(house, owner, NOW) == ()
    with pytest.raises(NotAllowed):
        crew_hour.best_hour(house, join("Ilse Quade").viewer, NOW)
