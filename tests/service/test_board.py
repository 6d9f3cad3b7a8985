from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from academy.catalog import crops, families
from academy.errors import NotAllowed, NotFound
from academy.service import farm, people, readiness

NOW = datetime(2026, 9, 1, 15, 0, tzinfo=UTC)
JOB = "yard-helper"

# Chance of a person never tested to be at or above the line, a normal belief with mean
# -1 and spread 1.5: 1 - Phi(1/1.5) = 1 - Phi(0.6667) = 0.2525 (table of the normal
# distribution: Phi(0.66) = 0.7454, Phi(0.67) = 0.7486).
UNTESTED = 0.2525


def job_of(board, key=JOB):
    return next(job for job in board.jobs if job.key == key)


def row_of(board, viewer):
    return next(row for row in board.people if row.person_id == viewer.person_id)


@pytest.fixture
def two(join):
    return join("Hedda Ames").viewer, join("Pia Lund").viewer


@pytest.fixture
def trained(house, answer):
    """Let a person answer everything a job needs rightly, many times."""

    def _trained(viewer, now=NOW, times=12):
        for topic in house.catalog.jobs[JOB].topics:
            for _ in range(times):
                answer(viewer.person_id, topic, 1.0, now)

    return _trained


def test_a_crew_never_tested_has_the_cover_of_a_hand_calculation(house, owner, two):
    board = readiness.board(house, owner, NOW)
    topics = len(house.catalog.jobs[JOB].topics)
    ready = UNTESTED**topics  # one person in all topics of the job
    one = job_of(board)
    assert one.needed == 1
    # at least one of two: 1 - (1 - p)^2
    assert one.today == pytest.approx(1 - (1 - ready) ** 2, rel=1e-3)
    farm.set_needs(house, owner, JOB, 2)
    both = job_of(readiness.board(house, owner, NOW))
    assert both.today == pytest.approx(ready**2, rel=2e-3)  # both of two: p^2
    farm.set_needs(house, owner, JOB, 3)
    assert job_of(readiness.board(house, owner, NOW)).today == 0.0  # three of two
    for viewer in two:
        cell = row_of(board, viewer).topics["reel"]
        assert cell.today == pytest.approx(UNTESTED, abs=5e-5)
        assert cell.word == "untested"
        assert row_of(board, viewer).jobs[JOB].word == "untested"
    reel = next(topic for topic in board.topics if topic.key == "reel")
    assert reel.expected_today == pytest.approx(2 * UNTESTED, abs=1e-4)


def test_the_one_who_can_is_the_one_who_would_be_missed(house, owner, two, trained):
    able, untested = two
    trained(able)
    board = readiness.board(house, owner, NOW)
    p, q = (row_of(board, viewer).jobs[JOB].today for viewer in (able, untested))
    job = job_of(board)
    # needing one of two: cover 1 - (1-p)(1-q); without the able one only q is left
    assert job.today == pytest.approx(1 - (1 - p) * (1 - q))
    assert job.missed.person_id == able.person_id
    assert job.missed.drop == pytest.approx(p * (1 - q))
    assert p > 0.8
    assert row_of(board, able).jobs[JOB].word == "ready"


def test_without_a_harvest_day_ahead_there_is_only_today(house, owner, two):
    farm.set_season(house, owner, crops.known()[0], 2025, date(2025, 9, 20))
    board = readiness.board(house, owner, NOW)
    assert board.harvest is None
    assert job_of(board).harvest is None
    assert row_of(board, two[0]).topics["reel"].harvest is None


def test_disuse_until_harvest_lowers_what_was_learnt(house, owner, two, trained):
    trained(two[0])
    farm.set_season(house, owner, crops.known()[0], 2026, date(2026, 12, 30))
    board = readiness.board(house, owner, NOW)
    assert board.today == date(2026, 9, 1)
    assert board.harvest == date(2026, 12, 30)
    for topic in house.catalog.jobs[JOB].topics:
        cell = row_of(board, two[0]).topics[topic]
        assert cell.harvest < cell.today
    fresh = row_of(board, two[1]).topics["reel"]
    assert fresh.harvest == fresh.today  # nothing to forget
    assert job_of(board).harvest < job_of(board).today


def test_on_harvest_day_today_and_harvest_are_the_same(house, owner, two, trained):
    trained(two[0])
    farm.set_season(house, owner, crops.known()[0], 2026, date(2026, 9, 20))
    noon = datetime(2026, 9, 20, 17, 0, tzinfo=UTC)
    board = readiness.board(house, owner, noon)
    assert job_of(board).harvest == job_of(board).today
    before = readiness.board(house, owner, NOW)
    assert job_of(before).harvest == pytest.approx(job_of(board).today, abs=1e-12)


@pytest.mark.usefixtures("two")
def test_an_owner_stands_on_the_board_after_the_first_answer(house, owner, answer):
    assert len(readiness.board(house, owner, NOW).people) == 2
    answer(owner.person_id, "reel", 0.5, NOW)
    assert len(readiness.board(house, owner, NOW).people) == 3


def test_who_was_let_go_is_off_the_board(house, owner, two, trained):
    trained(two[0])
    people.deactivate(house, owner, two[0].person_id, NOW)
    board = readiness.board(house, owner, NOW)
    assert [row.person_id for row in board.people] == [two[1].person_id]


def test_an_empty_crew_covers_nothing_and_misses_nobody(house, owner):
    job = job_of(readiness.board(house, owner, NOW))
    assert job.today == 0.0
    assert job.missed is None


def test_a_job_nobody_is_needed_for_is_not_shown(house, owner):
    farm.set_needs(house, owner, JOB, 0)
    board = readiness.board(house, owner, NOW)
    assert JOB not in {job.key for job in board.jobs}


def test_a_board_is_for_leads_of_the_crew_and_owners(house, owner, two, join):
    north = farm.add_crew(house, owner, "North side")
    lead = join("Lino Prado", "lead").viewer
    join("Nadine Orr", crew_id=north)
    with pytest.raises(NotAllowed):
        readiness.board(house, two[0], NOW)
    own = readiness.board(house, lead, NOW)
    assert {row.name for row in own.people} == {"Hedda Ames", "Pia Lund", "Lino Prado"}
    with pytest.raises(NotFound):
        readiness.board(house, lead, NOW, north)
    far = readiness.board(house, owner, NOW, north)
    assert [row.name for row in far.people] == ["Nadine Orr"]
    with pytest.raises(NotFound):
        readiness.board(house, owner, NOW, "0" * 32)


def test_the_board_speaks_the_viewers_language(house, join):
    lead = join("Lino Prado", "lead").viewer  # opened the slip in English
    english = job_of(readiness.board(house, lead, NOW)).name
    assert english == house.catalog.jobs[JOB].name.en
    spanish = job_of(readiness.board(house, replace(lead, language="es"), NOW)).name
    assert spanish == house.catalog.jobs[JOB].name.es


def test_the_half_life_of_a_topic_decides_how_fast_it_slips(house, owner, two, answer):
    topics = house.catalog.topics
    accurate = next(k for k, topic in topics.items() if topic.memory == "accuracy")
    mixed = next(key for key, topic in topics.items() if topic.memory == "mixed")
    for topic in (accurate, mixed):
        for _ in range(10):
            answer(two[0].person_id, topic, 1.0, NOW)
    later = readiness.board(house, owner, NOW + timedelta(days=200))
    cells = row_of(later, two[0]).topics
    assert cells[accurate].today < cells[mixed].today


def test_a_job_names_the_topics_that_no_question_asks(house, owner, monkeypatch):
    only = {"safe-stop": families.known()["safe-stop"]}
    monkeypatch.setattr(families, "known", lambda: only)
    job = job_of(readiness.board(house, owner, NOW))
    names = [house.catalog.topics[key].name.en for key in job.topics]
    assert set(names) - set(job.unasked) == {"Safe stop and working near the header"}
    monkeypatch.setattr(families, "known", dict)
    assert list(job_of(readiness.board(house, owner, NOW)).unasked) == names
