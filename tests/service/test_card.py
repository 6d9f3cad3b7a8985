from datetime import UTC, date, datetime, timedelta

import pytest

from academy.errors import NotFound
from academy.service import card, farm, people, readiness

NOW = datetime(2026, 9, 1, 15, 0, tzinfo=UTC)


def topic_of(shown, key="reel"):
    return next(topic for topic in shown.topics if topic.key == key)


@pytest.fixture
def hire(join):
    return join("Hedda Ames").viewer


def test_an_untested_card_is_the_same_in_every_topic(house, hire):
    shown = card.card(house, hire, hire.person_id, NOW)
    assert [topic.key for topic in shown.topics] == list(house.catalog.topics)
    assert {topic.word for topic in shown.topics} == {"untested"}
    reel = topic_of(shown)
    assert (reel.answered, reel.last_day, reel.lapses) == (0, None, None)
    assert reel.history == ()
    # a normal belief with mean -1 and spread 1.5: 90 % lie within 1.645 spreads
    assert reel.eap == pytest.approx(-1.0, abs=0.02)
    assert reel.low == pytest.approx(-1 - 1.645 * 1.5, abs=0.03)
    assert reel.high == pytest.approx(-1 + 1.645 * 1.5, abs=0.03)


def test_the_history_has_a_point_for_every_day_of_answers_and_for_today(
    house, hire, answer
):
    for days in (0, 0, 3, 40):
        answer(hire.person_id, "reel", 1.0, NOW + timedelta(days=days))
    later = NOW + timedelta(days=60)
    reel = topic_of(card.card(house, hire, hire.person_id, later))
    day = date(2026, 9, 1)
    assert [point.day for point in reel.history] == [
        day + timedelta(days=days) for days in (0, 3, 40, 60)
    ]
    assert reel.answered == 4
    assert reel.last_day == day + timedelta(days=40)
    levels = [point.eap for point in reel.history]
    assert levels[0] < levels[1]
    assert levels[3] < levels[2]  # twenty days of disuse
    assert all(point.low < point.eap < point.high for point in reel.history)
    assert levels[-1] == reel.eap


def test_a_card_and_the_board_say_the_same(house, owner, hire, answer):
    for score in (1.0, 0.8, 0.9):
        answer(hire.person_id, "reel", score, NOW)
    later = NOW + timedelta(days=100)
    shown = topic_of(card.card(house, owner, hire.person_id, later))
    (row,) = readiness.board(house, owner, later).people
    assert shown.chance == row.topics["reel"].today
    assert shown.word == row.topics["reel"].word


def test_the_chance_falls_below_one_half_on_the_day_the_card_lapses(
    house, hire, answer
):
    for _ in range(4):
        answer(hire.person_id, "reel", 1.0, NOW)
    reel = topic_of(card.card(house, hire, hire.person_id, NOW))
    assert reel.chance > 0.5

    def on(day):
        noon = datetime(day.year, day.month, day.day, 18, 0, tzinfo=UTC)
        return topic_of(card.card(house, hire, hire.person_id, noon)).chance

    assert on(reel.lapses) < 0.5 <= on(reel.lapses - timedelta(days=1))


def test_only_oneself_the_crews_lead_and_an_owner_see_a_card(
    house, owner, hire, join, answer
):
    north = farm.add_crew(house, owner, "North side")
    lead = join("Lino Prado", "lead").viewer
    far_lead = join("Nadine Orr", "lead", crew_id=north).viewer
    other = join("Pia Lund").viewer
    answer(hire.person_id, "reel", 1.0, NOW)
    seen = [
        card.card(house, looking, hire.person_id, NOW)
        for looking in (hire, lead, owner)
    ]
    assert {topic_of(shown).answered for shown in seen} == {1}
    for looking in (other, far_lead):
        with pytest.raises(NotFound):
            card.card(house, looking, hire.person_id, NOW)
    with pytest.raises(NotFound):
        card.card(house, owner, "0" * 32, NOW)


def test_the_card_of_an_erased_person_is_nobodys_to_see(house, owner, hire, answer):
    answer(hire.person_id, "reel", 1.0, NOW)
    assert topic_of(card.card(house, owner, hire.person_id, NOW)).answered == 1
    people.erase(house, owner, hire.person_id, NOW)
    with pytest.raises(NotFound):
        card.card(house, owner, hire.person_id, NOW)
