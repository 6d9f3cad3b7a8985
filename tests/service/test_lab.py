"""Labs: who lays them out, for whom, what each is given, and what it counts."""

import json
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from academy.catalog import coefficients as coefficient_sets
from academy.errors import Conflict, NotFound, NotUnderstood, OutOfRange
from academy.records.copying import copy, tallies
from academy.records.db import Database, sqlite_url
from academy.records.queries import beliefs as belief_rows
from academy.records.queries import coefficients, labs, scenarios, stock
from academy.service import (
    farm,
    lab,
    lab_own,
    making,
    next_practice,
    people,
    practice,
)
from academy.service.installation import Installation
from academy.service.lab import LabForm
from academy.service.laid_ready import waiting
from academy.service.regrade import regrade

NOW = datetime(2026, 9, 1, 16, 0, tzinfo=UTC)
LATER = NOW + timedelta(minutes=30)
FAMILY = "safe-stop"  # made at once: no search
OTHER = "long-day"


@pytest.fixture
def instructor(join: Any) -> Any:
    return join("Lino Prado", "instructor").viewer


@pytest.fixture
def group(join: Any) -> list[Any]:
    return [join(name).viewer for name in ("Ilse Quade", "Hedda Ames", "Nadine Orr")]


@pytest.fixture
def laid(house: Any, instructor: Any, group: list[Any]) -> Any:
    def _laid(*families: str, fields: str = "same", whom: Any = None) -> str:
        chosen = tuple(one.person_id for one in (whom or group))
        form = LabForm(families or (FAMILY,), fields, people=chosen)
        return lab.lay_out(house, instructor, form, NOW)

    return _laid


def payload_of(house: Any, who: Any, scenario_id: str) -> Any:
    with house.db.read() as connection:
        found = scenarios.get(connection, scenario_id, who.person_id)
    return json.loads(found.payload)


def answers(payload: Any) -> dict[int, dict[str, Any]]:
    """Some answer to the kinds of the two families used here."""
    return {
        place: {"order": part["shown"]}
        if part["kind"] == "order"
        else {"choice": "stop"}
        for place, part in enumerate(payload["parts"], start=1)
    }


def answer(house: Any, who: Any, lab_id: str, position: int = 1, now: Any = NOW) -> str:
    issued = lab_own.open_field(house, who, lab_id, position, now)
    given = answers(payload_of(house, who, issued))
    practice.take_answers(house, who, issued, given, now)
    return issued


def test_one_field_for_all_gives_each_the_same_facts_alone(house, group, laid):
    lab_id = laid()
    ids = [lab_own.open_field(house, one, lab_id, 1, NOW) for one in group]
    facts = [payload_of(house, *pair) for pair in zip(group, ids, strict=True)]
    assert facts[0] == facts[1] == facts[2]
    assert len(set(ids)) == 3
    again = lab_own.open_field(house, group[0], lab_id, 1, LATER)
    assert again == ids[0]
    with house.db.read() as connection:
        issued = [scenarios.get(connection, i, p.person_id)
                  for i, p in zip(ids, group, strict=True)]  # fmt: skip
    assert {one.purpose for one in issued} == {"lab"}
    assert len({one.sitting for one in issued}) == 3


def test_outside_the_lab_nobody_sits_beside_those_facts(house, group, laid):
    """The draft of the lab, put on the shelf, goes to none who had it."""
    lab_id = laid()
    lab_own.open_field(house, group[0], lab_id, 1, NOW)
    with house.db.write() as connection:
        (field,) = labs.fields(connection, lab_id)
        stock.add(connection, field.draft, NOW)
        to = scenarios.Issue(group[0].person_id, "day", "assessment", NOW)
        assert scenarios.consume_ready(connection, FAMILY, to) is None


def test_one_field_each_gives_everybody_other_facts(house, group, laid):
    lab_id = laid(fields="each")
    ids = [lab_own.open_field(house, one, lab_id, 1, NOW) for one in group]
    with house.db.read() as connection:
        issued = [scenarios.get(connection, i, p.person_id)
                  for i, p in zip(ids, group, strict=True)]  # fmt: skip
    assert len({one.digest for one in issued}) == 3
    assert {one.sitting for one in issued} == {lab_id}


def test_the_field_is_one_that_nobody_of_the_group_had(house, group, laid):
    old = making.make(FAMILY, 5)
    fresh = making.make(FAMILY, 6)
    known = coefficient_sets.load("soybean")
    with house.db.write() as connection:
        coefficients.keep(connection, known.digest, known.body)
        to = scenarios.Issue(group[1].person_id, "day", "practice", NOW)
        scenarios.issue_draft(connection, old, to)
        for draft in (old, fresh):
            stock.add(connection, draft, NOW)
    lab_id = laid()
    with house.db.read() as connection:
        (field,) = labs.fields(connection, lab_id)
    assert field.draft.digest == fresh.digest


def test_answers_count_like_practice_and_are_graded_again(house, group, laid):
    """The same facts answered alike in a lab and in practice: the same belief."""
    lab_id = laid(whom=group[:1])
    answer(house, group[0], lab_id)
    with house.db.write() as connection:
        (field,) = labs.fields(connection, lab_id)
        to = scenarios.Issue(group[1].person_id, "day", "practice", NOW)
        issued = scenarios.issue_draft(connection, field.draft, to)
    given = answers(json.loads(issued.payload))
    practice.take_answers(house, group[1], issued.id, given, NOW)
    with house.db.read() as connection:
        inside, outside = (
            belief_rows.all_for_person(connection, one.person_id) for one in group[:2]
        )
    assert [one.grid for one in inside] == [one.grid for one in outside]
    place = Installation(house.instance, house.db, house.instance / "pepper")
    report = regrade(place, house.catalog)
    assert report.answers == 2 * len(given)
    assert report.clean


def test_a_copy_holds_the_labs(house, group, laid, tmp_path):
    answer(house, group[0], laid())
    target = Database(sqlite_url(tmp_path / "copy.db"))
    copy(house.db, target)
    with target.read() as connection:
        found = tallies(connection)
    rows = {name: found[name].rows for name in found if name.startswith("lab")}
    assert rows == {"lab": 1, "lab_field": 1, "lab_member": 3, "lab_scenario": 1}
    target.close()


def test_the_debrief_ends_answering_and_begins_explaining(
    house, group, laid, instructor
):
    lab_id = laid()
    done = answer(house, group[0], lab_id)
    begun = lab_own.open_field(house, group[1], lab_id, 1, NOW)
    assert lab_own.held_back(house, group[0], done) == lab_id
    with pytest.raises(Conflict, match="lab_not_debriefed"):
        practice.explanation(house, group[0], done)
    lab.open_debrief(house, instructor, lab_id, LATER)
    assert lab_own.held_back(house, group[0], done) is None
    assert practice.explanation(house, group[0], done).parts
    given = answers(payload_of(house, group[1], begun))
    with pytest.raises(Conflict, match="lab_is_over"):
        practice.take_answers(house, group[1], begun, given, LATER)
    with pytest.raises(Conflict, match="lab_is_over"):
        lab_own.open_field(house, group[2], lab_id, 1, LATER)
    practice.take_answers(house, group[0], done, given, LATER)  # sent twice: no harm
    lab.take_answers_again(house, instructor, lab_id)
    practice.take_answers(house, group[1], begun, given, LATER)
    assert lab.lab(house, instructor, lab_id).answered(0) == 2


def test_one_field_each_is_explained_at_once(house, group, laid):
    done = answer(house, group[0], laid(fields="each"))
    assert lab_own.held_back(house, group[0], done) is None
    assert practice.explanation(house, group[0], done).parts


def test_who_has_answered_is_a_plain_list_by_name(house, group, laid, instructor):
    lab_id = laid(FAMILY, OTHER)
    answer(house, group[0], lab_id, 2)
    lab_own.open_field(house, group[1], lab_id, 1, NOW)
    view = lab.lab(house, instructor, lab_id)
    assert [one.name for one in view.members] == sorted(one.name for one in group)
    states = {one.name: one.states for one in view.members}
    assert states["Ilse Quade"] == ("waiting", "answered")
    assert states["Hedda Ames"] == ("begun", "waiting")
    assert {one.number for one in view.members} == {1, 2, 3}
    assert view.url.endswith(f"/lab/{lab_id}")


def test_a_lab_is_there_for_its_maker_its_group_and_owners(
    house, group, laid, instructor, owner, join
):
    lab_id = laid(whom=group[:2])
    lead = join("Baltazar Oyarce", "lead").viewer
    assert lab.lab(house, owner, lab_id)
    assert [one.lab_id for one in lab.every_lab(house, owner)] == [lab_id]
    assert lab.every_lab(house, lead) == ()
    for stranger in (lead, group[0], group[2]):
        with pytest.raises(NotFound):
            lab.lab(house, stranger, lab_id)
    for hire_deed in (lab.every_lab, lab.choices):
        with pytest.raises(NotFound):
            hire_deed(house, group[0])
    assert [one.lab_id for one in lab_own.own_labs(house, group[0])] == [lab_id]
    for outsider in (group[2], instructor):
        assert lab_own.own_labs(house, outsider) == ()
        with pytest.raises(NotFound):
            lab_own.open_field(house, outsider, lab_id, 1, NOW)
    for deed in (lab.open_debrief, lab.take_answers_again):
        more = (NOW,) if deed is lab.open_debrief else ()
        with pytest.raises(NotFound):
            deed(house, lead, lab_id, *more)


def test_a_lead_lays_out_for_the_own_crew_an_instructor_for_all(
    house, owner, instructor, join
):
    north = farm.add_crew(house, owner, "North side")
    away = join("Nadine Orr", crew_id=north).viewer
    lead = join("Baltazar Oyarce", "lead").viewer
    for form in (
        LabForm((FAMILY,), "same", people=(away.person_id,)),
        LabForm((FAMILY,), "same", crews=(north,)),
    ):
        with pytest.raises(NotFound):
            lab.lay_out(house, lead, form, NOW)
        made = lab.lay_out(house, instructor, form, NOW)
        assert [m.name for m in lab.lab(house, instructor, made).members] == [
            "Nadine Orr"
        ]
    assert lead.person_id not in {one for one, *_ in lab.choices(house, lead).people}


def test_nothing_nobody_and_too_much_are_refused(house, instructor, group):
    one, many = (group[0].person_id,), tuple(map(str, range(lab.MOST_FIELDS + 1)))
    for families, whom, error in (
        ((), one, NotUnderstood),
        ((FAMILY,), (), NotUnderstood),
        (("no-such-family",), one, NotFound),
        (many, one, OutOfRange),
    ):
        form = LabForm(families, "same", people=whom)
        with pytest.raises(error):
            lab.lay_out(house, instructor, form, NOW)


def test_what_takes_answers_is_listed_before_all_that_was_debriefed(
    house, group, laid, instructor
):
    oldest = laid()
    for _ in range(lab_own.LISTED + 1):
        lab_id = laid(OTHER)
        answer(house, group[0], lab_id)
        lab.open_debrief(house, instructor, lab_id, LATER)
    missed = laid()
    lab.open_debrief(house, instructor, missed, LATER)
    found = lab_own.own_labs(house, group[0])
    assert found[0].lab_id == oldest
    assert all(one.over for one in found[1:])
    assert lab_own.LISTED - 1 <= len(found[1:]) <= lab_own.LISTED
    assert missed not in {one.lab_id for one in found}  # nothing there to see


def test_a_lab_waits_in_its_own_place(house, group, laid):
    lab_own.open_field(house, group[0], laid(), 1, NOW)
    assert waiting(house, group[0]) == ()
    coming = next_practice.next_for(house, group[0], NOW)
    assert coming is None or coming.scenario_id == ""


def test_an_erased_person_keeps_a_number_and_no_name(
    house, group, laid, instructor, owner
):
    lab_id = laid()
    answer(house, group[0], lab_id)
    people.erase(house, owner, group[0].person_id, LATER)
    last = lab.lab(house, instructor, lab_id).members[-1]
    assert (last.name, last.states) == ("", ("answered",))
    assert last.number in (1, 2, 3)


def test_a_lab_nobody_answered_is_taken_away_whole(house, instructor, group, laid):
    lab_id = laid()
    opened = lab_own.open_field(house, group[0], lab_id, 1, NOW)
    lab.remove(house, instructor, lab_id)
    assert lab.every_lab(house, instructor) == ()
    assert lab_own.own_labs(house, group[0]) == ()
    with pytest.raises(NotFound):
        lab.lab(house, instructor, lab_id)
    asked = practice.question(house, group[0], opened)
    assert not asked.answered


def test_a_lab_somebody_answered_stays(house, instructor, group, laid):
    lab_id = laid()
    answer(house, group[0], lab_id)
    with pytest.raises(Conflict, match="lab_has_answers"):
        lab.remove(house, instructor, lab_id)
    assert lab.lab(house, instructor, lab_id).answered(0) == 1


def test_nobody_takes_away_the_lab_of_another(house, join, group, laid):
    lab_id = laid()
    with pytest.raises(NotFound):
        lab.remove(house, group[0], lab_id)
    with pytest.raises(NotFound):
        lab.remove(house, join("Abe Sorrel", "instructor").viewer, lab_id)
