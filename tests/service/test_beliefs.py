from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from academy.competence.belief import chance, prior, unpack
from academy.competence.replay import belief_on
from academy.errors import NotFound
from academy.records.queries import answers
from academy.records.queries import beliefs as cache
from academy.records.tables.beliefs import belief
from academy.service import beliefs
from academy.service.rebuild import rebuild

NOW = datetime(2026, 9, 1, 15, 0, tzinfo=UTC)


def kept(house):
    query = belief.select().order_by(belief.c.person_id, belief.c.topic)
    with house.db.read() as connection:
        return connection.execute(query).all()


def one(house, person_id, topic="reel"):
    with house.db.read() as connection:
        return cache.get(connection, person_id, topic)


def test_a_rebuild_equals_the_cache_bit_for_bit(house, join, answer):
    people = [join("Hedda Ames").viewer, join("Pia Lund").viewer]
    for turn in range(24):
        answer(
            people[turn % 2].person_id,
            ("reel", "safe-stop", "knife")[turn % 3],
            (turn * 7 % 11) / 10,
            NOW + timedelta(days=17 * turn, hours=5 * turn),
            "practice" if turn % 4 else "assessment",
        )
    before = kept(house)
    assert len(before) == 6  # two people in three topics
    assert rebuild(house) == 6
    assert kept(house) == before


def test_a_rebuild_of_nothing_makes_nothing(house):
    assert rebuild(house) == 0
    assert kept(house) == []


def test_a_rebuild_mends_a_cache_that_was_spoilt(house, join, answer):
    person_id = join("Hedda Ames").viewer.person_id
    answer(person_id, "reel", 1.0, NOW)
    before = kept(house)
    with house.db.write() as connection:
        connection.execute(belief.update().values(grid=b"\0" * 640))
    rebuild(house)
    assert kept(house) == before


def test_better_answers_leave_a_better_belief(house, join, answer):
    person_id = join("Hedda Ames").viewer.person_id
    untested = chance(prior(house.catalog.model))
    answer(person_id, "reel", 1.0, NOW)
    good = chance(unpack(one(house, person_id).grid))
    answer(person_id, "knife", 0.0, NOW)
    bad = chance(unpack(one(house, person_id, "knife").grid))
    assert bad < untested < good


def test_an_assessed_answer_counts_more_than_a_practised_one(house, join, answer):
    person_id = join("Hedda Ames").viewer.person_id
    answer(person_id, "reel", 0.0, NOW, "assessment")
    answer(person_id, "knife", 0.0, NOW, "practice")
    assessed = chance(unpack(one(house, person_id).grid))
    practised = chance(unpack(one(house, person_id, "knife").grid))
    assert assessed < practised


def test_a_belief_is_dated_by_the_day_on_the_farm(house, join, answer):
    person_id = join("Hedda Ames").viewer.person_id
    # 03:00 UTC is 22:00 of the day before in Chicago (UTC-5 in summer)
    answer(person_id, "reel", 1.0, datetime(2026, 9, 2, 3, 0, tzinfo=UTC))
    assert one(house, person_id).as_of == date(2026, 9, 1)


def test_a_day_of_use_holds_off_forgetting(house, join, answer):
    person_id = join("Hedda Ames").viewer.person_id
    for topic in ("reel", "knife"):  # both of mixed memory
        for _ in range(6):
            answer(person_id, topic, 1.0, NOW)
    day = NOW.date() + timedelta(days=1)
    with house.db.write() as connection:
        for past in range(90):
            use = day + timedelta(days=past)
            answers.add_use_day(connection, person_id, "reel", use)
        beliefs.refresh(connection, house.catalog, person_id, ["reel"])
    later = day + timedelta(days=90)
    model = house.catalog.model
    with house.db.read() as connection:
        ledger = beliefs.Ledger.of(connection, house.catalog)
        used, unused = (
            belief_on(
                beliefs.counted(connection, ledger, person_id, topic),
                later,
                house.catalog.half_life(topic),
                model,
            )
            for topic in ("reel", "knife")
        )
    assert chance(used) > chance(unused)
    assert one(house, person_id).as_of == day + timedelta(days=89)


def test_a_belief_of_an_older_model_is_counted_anew_when_read(house, join, answer):
    person_id = join("Hedda Ames").viewer.person_id
    answer(person_id, "reel", 1.0, NOW)
    right = unpack(one(house, person_id).grid)
    with house.db.write() as connection:
        connection.execute(
            belief.update().values(grid=b"\0" * 640, model_version="0-old")
        )
    with house.db.read() as connection:
        ledger = beliefs.Ledger.of(connection, house.catalog)
        read = beliefs.standings(
            connection, ledger, cache.all_for_person(connection, person_id)
        )
    assert np.array_equal(read[person_id, "reel"].grid, right)


def test_a_topic_content_no_longer_knows_is_left_alone(house, join, answer):
    person_id = join("Hedda Ames").viewer.person_id
    answer(person_id, "steam-whistle", 1.0, NOW)
    assert kept(house) == []
    assert rebuild(house) == 0


def test_there_are_no_days_without_a_farm(house):
    with house.db.read() as connection, pytest.raises(NotFound):
        beliefs.Ledger.of(connection, house.catalog)


def test_answers_from_two_devices_at_once_are_both_counted(house, join, answer):
    person_id = join("Hedda Ames").viewer.person_id

    def give(number):
        answer(person_id, "reel", number / 10, NOW)

    with ThreadPoolExecutor(2) as both:
        list(both.map(give, range(10)))
    before = kept(house)
    rebuild(house)
    assert kept(house) == before


def test_going_on_is_counting_the_whole_log_to_the_last_bit(house, join, answer):
    person_id = join("Hedda Ames").viewer.person_id
    for number in range(12):
        moment = NOW + timedelta(days=number // 2 * 3)
        answer(person_id, ("reel", "knife")[number % 3 // 2], number % 4 / 3, moment)
    gone_on = kept(house)
    rebuild(house)
    assert kept(house) == gone_on


def test_an_answer_by_a_clock_set_back_is_counted_in_its_place(house, join, answer):
    person_id = join("Hedda Ames").viewer.person_id
    for score, days in ((1.0, 0), (0.0, 40), (1.0, 7)):
        answer(person_id, "reel", score, NOW + timedelta(days=days))
    gone_on = kept(house)
    rebuild(house)
    assert kept(house) == gone_on
    assert one(house, person_id).as_of == (NOW + timedelta(days=40)).date()


def test_a_day_noted_late_is_counted_with_the_next_answer(house, join, answer):
    person_id = join("Hedda Ames").viewer.person_id
    for days in (0, 60):
        answer(person_id, "reel", 1.0, NOW + timedelta(days=days))
    with house.db.write() as connection:
        noted = NOW.date() + timedelta(days=30)
        assert answers.add_use_day(connection, person_id, "reel", noted)
    answer(person_id, "reel", 1.0, NOW + timedelta(days=61))
    gone_on = kept(house)
    rebuild(house)
    assert kept(house) == gone_on


def test_a_ledger_keeps_the_zone_of_the_farm(house, owner):
    assert owner
    with house.db.read() as connection:
        ledger = beliefs.Ledger.of(connection, house.catalog)
    assert ledger.zone == ZoneInfo("America/Chicago")
