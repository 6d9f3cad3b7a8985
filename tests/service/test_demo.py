import json
from datetime import UTC, date, datetime

import pytest
from begun import begun
from sqlalchemy import select

from academy.catalog import combines, crops, demo_farm, headers
from academy.errors import Conflict, NotFound
from academy.records.queries import answers, people
from academy.records.tables.assessments import assessment
from academy.records.tables.beliefs import belief
from academy.records.tables.certificates import certificate
from academy.scenarios.dice import Dice
from academy.service import (
    demo,
    farm,
    lab,
    lab_debrief,
    making,
    marking,
    readiness,
    signing,
)
from academy.service.rebuild import rebuild
from academy.service.simulated import Simulated

NOW = datetime(2026, 9, 1, 15, 0, tzinfo=UTC)


@pytest.fixture
def small():
    """The demonstration farm with a few scenarios for two of its people."""
    whole = demo_farm.load()
    counts = {whole.people[1].name: (6, 0), whole.people[2].name: (0, 6)}
    return whole.model_copy(
        update={
            "people": tuple(
                person.model_copy(update={"scenarios": counts.get(person.name, (0, 0))})
                for person in whole.people
            )
        }
    )


@pytest.fixture
def made_small(house, small, farms_begun):
    """What was made of it, once for all tests that only look at it."""
    return begun(farms_begun, house, "demo", lambda: demo.build(house, NOW, small))


def viewer_of(house, made):
    opened = signing.enrol(house, made.token, "en", "us", None, "10.0.0.1", NOW)
    return signing.viewer_of(house, opened.sign_in_token, NOW)


def test_the_demonstration_names_only_what_content_knows(house):
    content = demo_farm.load()
    assert content.crop in crops.known()
    assert content.header in headers.known()
    assert content.combine in combines.known()
    assert set(content.needs) == set(house.catalog.jobs)
    names = [person.name for person in content.people]
    assert len(set(names)) == len(names) == 8
    roles = [role for person in content.people for role in person.roles]
    assert (roles.count("owner"), roles.count("lead"), roles.count("hire")) == (1, 1, 6)
    assert {person.language for person in content.people} == {"en", "es"}
    assert any(
        person.scenarios == (0, 0)
        for person in content.people
        if "hire" in person.roles
    )


def test_a_demonstration_has_a_past_a_season_and_one_link_a_person(
    house, small, made_small
):
    made = made_small
    assert [person.name for person in made.people] == [p.name for p in small.people]
    owner = viewer_of(house, made.people[0])
    assert owner.roles == {"owner"}
    board = readiness.board(house, owner, NOW)
    assert board.harvest == date(2026, 9, 9)  # eight days after the first
    words = {
        row.name: {cell.word for cell in row.topics.values()} for row in board.people
    }
    assert words["Chayo Pedernal"] == {"untested"}
    assert words["Tobías Quillay"] != {"untested"}
    with house.db.read() as connection:
        there = {one.name: one.id for one in people.active(connection)}
        log = answers.log_for(connection, there["Tobías Quillay"])
    assert log
    ago = [(NOW - one.answered_at).days for one in log]
    assert max(ago) <= small.first_spring_days_ago
    assert min(ago) >= small.first_spring_days_ago - small.spring_days


@pytest.mark.usefixtures("made_small")
def test_the_past_of_a_demonstration_is_counted_like_any_other(house):
    query = belief.select().order_by(belief.c.person_id, belief.c.topic)
    with house.db.read() as connection:
        before = connection.execute(query).all()
    assert rebuild(house) == len(before) > 0
    with house.db.read() as connection:
        assert connection.execute(query).all() == before


def test_building_again_hands_fresh_links_to_the_same_people(house, small, made_small):
    old = made_small
    new = demo.build(house, NOW, small)
    assert viewer_of(house, new.people[0]).name == old.people[0].name
    with pytest.raises(NotFound):
        viewer_of(house, old.people[1])
    with house.db.read() as connection:
        assert len(people.active(connection)) == len(small.people)


@pytest.mark.usefixtures("owner")
def test_a_demonstration_never_touches_somebodys_farm(house):
    with pytest.raises(Conflict):
        demo.build(house, NOW)
    assert farm.farm(house, NOW).name == "Upland Test Farm"


def scores(family, skill, seeds=range(3)):
    found = []
    for seed in seeds:
        draft = making.make(family, seed)
        payload = json.loads(draft.payload)
        acting = Simulated(demo_farm.load(), skill, "us", Dice(family, skill, seed))
        given = acting.answers(payload)
        found += [
            marking.mark(part, payload["facts"], given[place]).score
            for place, part in enumerate(payload["parts"], start=1)
        ]
    return found


@pytest.mark.parametrize(
    "family",
    ["standing-soybean", "lodged-soybean", "reel-speed-today", "safe-stop"],
)
def test_a_person_without_fault_scores_full_marks(family):
    assert min(scores(family, 1.0)) > 0.99


@pytest.mark.parametrize(
    "family", ["standing-soybean", "loss-from-counts", "safe-stop"]
)
def test_the_less_skill_the_lower_the_scores(family):
    clumsy, able = scores(family, 0.0), scores(family, 1.0)
    assert sum(clumsy) < sum(able)


def test_a_demonstration_has_a_lab_talked_over_and_one_going(house):
    whole = demo_farm.load()
    busy = [person.name for person in whole.people if "hire" in person.roles][:2]
    people_ = tuple(
        person.model_copy(
            update={"scenarios": (0, 1) if person.name in busy else (0, 0)}
        )
        for person in whole.people
    )
    made = demo.build(house, NOW, whole.model_copy(update={"people": people_}))
    lead = viewer_of(house, made.people[1])
    going, over = lab.every_lab(house, lead)
    assert (going.over, over.over) == (False, True)
    assert lab.lab(house, lead, over.lab_id).answered(0) == len(busy)
    assert lab_debrief.debrief(house, lead, over.lab_id, "hidden").fields


def test_a_demonstration_has_one_certificate_and_an_assessment_to_try(house):
    whole = demo_farm.load()
    blank = tuple(p.model_copy(update={"scenarios": (0, 0)}) for p in whole.people)
    quiet = whole.model_copy(update={"people": blank, "labs": ()})
    demo.build(house, NOW, quiet)
    with house.db.read() as connection:
        there = {one.name: one.id for one in people.active(connection)}
        (given,) = connection.execute(select(certificate)).all()
        released = connection.execute(
            select(assessment).where(assessment.c.state == "released")
        ).all()
    assert given.person_id == there[whole.certified.name]
    assert given.certificate == whole.certified.certificate
    assert not given.one_person
    assert [one.person_id for one in released] == [there[whole.assessment_released_for]]
