"""Replay: the log decides, in its order, and use keeps a skill alive."""

from datetime import date, timedelta
from functools import reduce

import pytest
from hypothesis import given
from hypothesis import strategies as st

from academy.catalog import competence
from academy.competence import belief, memory
from academy.competence.belief import Scored
from academy.competence.item_curve import item_for
from academy.competence.replay import (
    Event,
    after_event,
    belief_after,
    belief_on,
    replay,
    untested,
)

MODEL = competence.load()
ITEM = item_for(0.7, 0.25, MODEL)
FIRST = date(2026, 7, 1)
H = 335.0


def answer(day: int, sequence: int, score: float, practice: bool = False) -> Event:
    when = FIRST + timedelta(days=day)
    return Event(when, sequence, "answer", ITEM, score, 0.6, practice)


def use(day: int) -> Event:
    return Event(FIRST + timedelta(days=day), 0, "use")


def on(day: int) -> date:
    return FIRST + timedelta(days=day)


def test_without_answers_everybody_is_untested():
    grid = belief_after([], on(300), H, MODEL)
    assert (grid == belief.prior(MODEL)).all()
    assert (belief_after([use(3)], on(300), H, MODEL) == grid).all()


def test_one_assessed_answer_is_one_update():
    wanted = belief.update(belief.prior(MODEL), [Scored(ITEM, 0.9, 0.6)])
    got = belief_after([answer(0, 1, 0.9)], on(0), H, MODEL)
    assert (got == wanted).all()


def test_a_practice_answer_counts_half_and_teaches():
    halved = belief.update(
        belief.prior(MODEL), [Scored(ITEM, 0.9, 0.6 * MODEL.practice_weight)]
    )
    wanted = memory.learn(halved, 0.6, MODEL)
    got = belief_after([answer(0, 1, 0.9, practice=True)], on(0), H, MODEL)
    assert (got == wanted).all()


def test_days_after_the_last_answer_are_forgotten():
    now = belief_after([answer(0, 1, 1.0)], on(0), H, MODEL)
    later = belief_after([answer(0, 1, 1.0)], on(90), H, MODEL)
    assert (later == memory.forget(now, 90, H, MODEL)).all()


def test_a_season_of_work_on_every_day_forgets_nothing():
    worked = [answer(0, 1, 1.0)] + [use(day) for day in range(1, 61)]
    still = belief_after([answer(0, 1, 1.0)], on(0), H, MODEL)
    assert (belief_after(worked, on(60), H, MODEL) == still).all()


def test_only_the_idle_days_between_two_days_of_work_count():
    # worked on day 0 and on day 11: days 1 to 10 were idle
    got = belief_after([answer(0, 1, 1.0), use(11)], on(11), H, MODEL)
    start = belief_after([answer(0, 1, 1.0)], on(0), H, MODEL)
    assert (got == memory.forget(start, 10, H, MODEL)).all()


@given(
    st.lists(st.tuples(st.integers(0, 40), st.floats(0, 1)), min_size=1, max_size=8),
    st.randoms(),
)
def test_the_order_in_which_the_log_is_read_does_not_matter(entries, random):
    events = [
        answer(day, n, score, n % 2 == 0) for n, (day, score) in enumerate(entries)
    ]
    shuffled = random.sample(events, len(events))
    one = belief_after(events, on(50), H, MODEL)
    other = belief_after(shuffled, on(50), H, MODEL)
    assert belief.pack(one) == belief.pack(other)


def test_event_by_event_is_the_same_as_all_at_once():
    events = [answer(0, 1, 0.2), answer(0, 2, 0.9, True), use(4), answer(9, 3, 1.0)]
    stepwise = reduce(
        lambda standing, event: after_event(standing, event, H, MODEL),
        events,
        untested(MODEL),
    )
    whole = replay(events, H, MODEL)
    assert stepwise.as_of == whole.as_of == on(9)
    assert belief.pack(stepwise.grid) == belief.pack(whole.grid)


def test_a_clock_set_back_forgets_nothing():
    standing = replay([answer(5, 1, 1.0)], H, MODEL)
    assert (belief_on(standing, on(2), H, MODEL) == standing.grid).all()


@pytest.mark.parametrize(("memory_kind", "days"), [("accuracy", 200), ("speed", 395)])
def test_each_kind_of_memory_has_its_half_life(memory_kind, days):
    """6.5 and 13 months of Tatel and Ackerman at 30.4 days: 198 and 396, rounded."""
    months = {"accuracy": 6.5, "speed": 13}[memory_kind]
    assert MODEL.half_life(memory_kind) == days
    assert days == pytest.approx(months * 365.25 / 12, abs=3)
