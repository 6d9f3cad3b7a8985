"""What comes next: the starting set for the new, then the rule."""

from collections import Counter
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest

from academy.catalog import families, practice, roles, topics
from academy.catalog.families import Asked, Family
from academy.catalog.toml_files import Twin
from academy.errors import NotFound
from academy.records.queries import answers, coefficients, practised, scenarios, stock
from academy.service import (
    beliefs,
    farm,
    laid_ready,
    making,
    next_practice,
    starting_set,
)
from academy.service.starting_set import choose

NOW = datetime(2026, 9, 1, 16, 0, tzinfo=UTC)
RULE = practice.load()
SAFETY = {key for key, topic in topics.load().items() if topic.safety}


def twin(text):
    return Twin(en=text, es=text)


def made_family(order, *asked, kind="number"):
    parts = tuple(
        Asked(kind=kind, topic=topic, prompt=twin("?"), computable="x")
        for topic in asked
    )
    return Family(
        order=order,
        version=1,
        title=twin(f"Family {order}"),
        story=twin("A field."),
        crop="soybean",
        combine="middle",
        headers=("flex35",),
        parts=parts,
    )


MADE = {
    "count": made_family(1, "measuring-losses"),
    "pace": made_family(2, "pace", "reel"),
    "halt": made_family(3, "safe-stop", kind="order"),
    "reel": made_family(4, "reel"),
    "fire": made_family(5, "emergencies", kind="order"),
    "slope": made_family(6, "slopes", kind="direction"),
    "again": made_family(7, "pace"),
    "store": made_family(8, "care-storage"),
}


@pytest.fixture
def bank(monkeypatch, house):
    """A bank of invented families, whose scenarios lie on the shelf in plenty."""
    monkeypatch.setattr(families, "known", lambda: MADE)
    monkeypatch.setattr(making, "known", families.known)
    digest = "c" * 64
    with house.db.write() as connection:
        coefficients.keep(connection, digest, "{}")
        for number in range(40):
            for place, (key, family) in enumerate(MADE.items()):
                parts = [
                    stock.PartDraft(part.kind, part.topic, f"{key}@1", 0.6, 0, 1, 1.0)
                    for part in family.parts
                ]
                seed = number * 100 + place
                draft = stock.Draft(
                    key, seed, f"{seed:064x}", "{}", 1, digest, parts=parts
                )
                stock.add(connection, draft, NOW)
    return MADE


def answer(house, viewer, scenario_id, now, score=0.7):
    with house.db.write() as connection:
        for part in scenarios.parts(connection, scenario_id):
            answers.record(
                connection, part.id, answer={}, score=score, marks={}, now=now
            )
            beliefs.refresh(connection, house.catalog, viewer.person_id, [part.topic])


def next_one(house, viewer, now, score=0.7):
    scenario_id = next_practice.issue_next(house, viewer, now)
    with house.db.read() as connection:
        given = scenarios.get(connection, scenario_id, viewer.person_id)
    answer(house, viewer, scenario_id, now, score)
    return given


def test_the_choice_for_the_start_by_hand():
    weights = {"safe-stop": 4, "measuring-losses": 2, "pace": 2, "reel": 1}
    weights |= {"emergencies": 2, "care-storage": 2, "slopes": 0.2}
    given = []
    while (family := choose(MADE, weights, {"safe-stop", "emergencies"}, given)) and (
        len(given) < 6
    ):
        given.append(family)
    # worth per minute, an order taking 2, a number 4, a direction 1. Safety first:
    # halt 4/2 beats fire 2/2; then fire 1; count, again and store 2/4 each in the order
    # of the lists, all before "pace", whose two numbers give 3/8; then reel 1/4, before
    # slope 0.2/1
    assert given == ["halt", "fire", "count", "again", "store", "reel"]


def test_the_starting_set_takes_a_quarter_of_an_hour_at_most():
    """By our own guess of minutes; and it asks most topics of the crew's jobs."""
    known, given = families.practised(), []
    jobs = roles.load(topics.load())
    weights = Counter(topic for job in jobs.values() for topic in job.topics)
    while len(given) < RULE.starting:
        given.append(choose(known, weights, SAFETY, given))
    kinds = [part.kind for key in given for part in known[key].parts]
    assert RULE.minutes_of(kinds) <= 15
    asked = {topic for key in given for topic in starting_set.topics_of(known[key])}
    assert len(asked & set(weights)) >= 0.8 * len(weights)


def test_the_starting_set_is_six_families_with_a_safe_one_first(house, join, bank):
    hire = join("Pia Quade").viewer
    given = []
    for turn in range(6):
        coming = next_practice.next_for(house, hire, NOW)
        assert (coming.starting.done, coming.starting.of) == (turn, 6)
        given.append(next_one(house, hire, NOW + timedelta(minutes=turn)))
    assert {one.purpose for one in given} == {"starting"}
    names = [one.family for one in given]
    assert len(set(names)) == 6
    assert starting_set.topics_of(bank[names[0]]) & SAFETY
    asked = {topic for name in names for topic in starting_set.topics_of(bank[name])}
    jobs = {topic for job in house.catalog.jobs.values() for topic in job.topics}
    every = {
        topic for family in bank.values() for topic in starting_set.topics_of(family)
    }
    assert every & jobs <= asked
    after = next_practice.next_for(house, hire, NOW + timedelta(hours=1))
    assert after.starting is None


def test_the_starting_set_is_not_for_owners_nor_for_the_practised(
    house, owner, join, bank
):
    assert next_practice.next_for(house, owner, NOW).starting is None
    hire = join("Pia Quade").viewer
    for turn, family in enumerate((*bank, *bank)):
        if turn >= 6:
            break
        to = scenarios.Issue(hire.person_id, "s", "practice", NOW)
        with house.db.write() as connection:
            given = scenarios.consume_ready(connection, family, to)
        answer(house, hire, given.id, NOW)
    assert next_practice.next_for(house, hire, NOW).starting is None


@pytest.mark.usefixtures("bank")
def test_what_waits_is_handed_out_again(house, owner):
    first = next_practice.issue_next(house, owner, NOW)
    assert next_practice.issue_next(house, owner, NOW) == first
    assert next_practice.next_for(house, owner, NOW).scenario_id == first


@pytest.mark.usefixtures("bank")
def test_a_chosen_family_hands_out_what_waits_of_it(house, owner):
    first = next_practice.issue_family(house, owner, "reel", NOW)
    assert next_practice.issue_family(house, owner, "reel", NOW) == first
    answer(house, owner, first, NOW)
    assert next_practice.issue_family(house, owner, "reel", NOW) != first
    with pytest.raises(NotFound, match="no_such_family"):
        next_practice.issue_family(house, owner, "nowhere", NOW)


@pytest.mark.usefixtures("bank")
def test_no_family_comes_twice_in_a_row(house, owner):
    seen = [
        next_one(house, owner, NOW + timedelta(minutes=turn), turn % 3 / 2).family
        for turn in range(25)
    ]
    assert all(one != other for one, other in pairwise(seen))
    spells = [seen[start : start + 1 + RULE.apart] for start in range(20)]
    assert all(len(set(spell)) == len(spell) for spell in spells)


def test_only_topics_with_questions_and_only_known_families(house, owner, bank):
    with house.db.read() as connection:
        found = next_practice.course(connection, house, owner, NOW)
    picks = next_practice.picks(found)
    assert sorted(pick.family for pick in picks) == sorted(bank)
    asked = {
        topic for family in bank.values() for topic in starting_set.topics_of(family)
    }
    assert {pick.topic for pick in picks} <= asked


@pytest.mark.usefixtures("bank")
@pytest.mark.parametrize("language", ["en", "es"])
def test_it_says_why_in_one_sentence(house, owner, join, language):
    people = [owner, join("Pia Quade").viewer]
    said = set()
    for turn in range(12):
        for person in people:
            reader = replace(person, language=language)
            coming = next_practice.next_for(house, reader, NOW)
            said.add(coming.because)
            next_one(house, person, NOW + timedelta(minutes=turn))
    assert len(said) > 4
    for sentence in said:
        assert sentence.startswith("Because" if language == "en" else "Porque")
        assert sentence.endswith(".")
        assert sentence.count(".") == 1
        assert "%" not in sentence


def test_a_job_nobody_fills_draws_practice_to_its_topics(house, owner, bank):
    """With needs in one job only, its topics count five times the others'."""
    for key in house.catalog.jobs:
        farm.set_needs(house, owner, key, int(key == "header-mechanic"))
    job = set(house.catalog.jobs["header-mechanic"].topics)
    coming = next_practice.next_for(house, owner, NOW)
    assert starting_set.topics_of(bank[coming.family]) & job


@pytest.mark.usefixtures("bank")
def test_three_lie_ready_of_three_families_and_no_more(house, join):
    hire = join("Pia Quade").viewer
    assert laid_ready.lay_ready(house, hire, NOW) == RULE.laid_ready == 3
    assert laid_ready.lay_ready(house, hire, NOW) == 0
    with house.db.read() as connection:
        had = practised.of_person(connection, hire.person_id)
    assert {one.purpose for one in had} == {"starting"}
    assert len({one.family for one in had}) == 3
    rows = laid_ready.waiting(house, hire)
    assert [row.scenario_id for row in rows] == [one.id for one in had]
    answer(house, hire, had[0].id, NOW)
    assert laid_ready.lay_ready(house, hire, NOW + timedelta(minutes=1)) == 1
    assert next_practice.next_for(house, hire, NOW).scenario_id == had[1].id


@pytest.mark.usefixtures("bank")
def test_what_lies_ready_by_the_rule_is_never_the_family_of_last_time(house, owner):
    last = next_one(house, owner, NOW).family
    laid_ready.lay_ready(house, owner, NOW)
    with house.db.read() as connection:
        had = practised.of_person(connection, owner.person_id)
    still = [one.family for one in had if one.answered_at is None]
    assert len(set(still)) == 3
    assert last not in still


def test_an_empty_shelf_lays_nothing_and_makes_nobody_wait(house, owner, monkeypatch):
    monkeypatch.setattr(families, "known", lambda: MADE)
    assert laid_ready.lay_ready(house, owner, NOW) == 0
    assert laid_ready.waiting(house, owner) == ()


def test_topics_are_counted_for_what_the_families_ask(house, owner, bank):
    with house.db.read() as connection:
        found = next_practice.course(connection, house, owner, NOW)
    asked = Counter(part.topic for family in bank.values() for part in family.parts)
    assert set(found.needs.jobs) == set(asked)
