"""What was answered is graded again: the same, or the difference is named."""

import json
from functools import cache

import pytest
from begun import begun
from sqlalchemy import select, text, update

from academy.catalog import demo_farm, families
from academy.engine.version import VERSION
from academy.errors import AcademyError
from academy.grading.rules import RULE
from academy.records.copying import tallies
from academy.records.migrate import newest_revision
from academy.records.queries import scenarios, stock
from academy.records.tables.answers import answer
from academy.records.tables.scenarios import coefficient_set, part, scenario
from academy.scenarios.dice import Dice
from academy.service import marking, practice
from academy.service.installation import Installation
from academy.service.making import make
from academy.service.regrade import regrade
from academy.service.regrade_kinds import KINDS
from academy.service.simulated import Simulated
from academy.service.stock import keep_coefficients
from academy.web.cli import main


@cache
def drafts():
    """One scenario of every family, made once for all tests."""
    return [make(family, 20_261_125) for family in families.known()]


@cache
def a_draft_a_kind():
    """As few of them as show every kind of part."""
    chosen, shown = [], set()
    for draft in drafts():
        if not {one.kind for one in draft.parts} <= shown:
            chosen.append(draft)
            shown |= {one.kind for one in draft.parts}
    return chosen


def answer_drafts(house, viewer, chosen):
    """Somebody of middling skill answers the drafts; their id."""
    keep_coefficients(house)
    with house.db.write() as connection:
        for draft in chosen:
            stock.add(connection, draft, house.clock())
    acting = Simulated(demo_farm.load(), 0.5, "us", Dice("regrade"))
    for draft in chosen:
        issued = practice.issue(house, viewer, draft.family, house.clock())
        with house.db.read() as connection:
            stored = scenarios.get(connection, issued, viewer.person_id)
        given = acting.answers(json.loads(stored.payload))
        practice.take_answers(house, viewer, issued, given, house.clock())
    return viewer.person_id


@pytest.fixture
def all_answered(house, join):
    """A farm where somebody answered every family; their id."""
    return answer_drafts(house, join("Hedda Ames").viewer, drafts())


@pytest.fixture
def answered(house, join, farms_begun):
    """A farm where somebody answered every kind of part; their id."""

    def begin():
        return answer_drafts(house, join("Hedda Ames").viewer, a_draft_a_kind())

    return begun(farms_begun, house, "regrade", begin)


@pytest.fixture
def place(house, tmp_path):
    return Installation(tmp_path, house.db, tmp_path / "pepper")


def held(database):
    with database.read() as connection:
        return tallies(connection)


def first_of(house, kind):
    """Id of the answer, and where it stands, of the first part of a kind."""
    query = (
        select(answer.c.id, part.c.scenario_id, part.c.position)
        .select_from(answer.join(part))
        .where(part.c.kind == kind)
        .order_by(answer.c.id)
    )
    with house.db.read() as connection:
        found = connection.execute(query).first()
    return found.id, f"{found.scenario_id}/{found.position}"


def change(house, table, where, **values):
    with house.db.write() as connection:
        done = connection.execute(update(table).where(where).values(**values))
        assert done.rowcount > 0


def marks_of(house, answer_id):
    with house.db.read() as connection:
        query = select(answer.c.marks).where(answer.c.id == answer_id)
        return connection.scalar(query)


def test_every_kind_of_part_can_be_graded_again():
    assert set(KINDS) == set(marking._MARKERS)
    assert {one.kind for draft in a_draft_a_kind() for one in draft.parts} == set(KINDS)
    assert all(RULE in kind.rules for kind in KINDS.values())


@pytest.mark.usefixtures("all_answered")
def test_every_family_answered_comes_out_the_same_and_nothing_changes(house, place):
    before = held(house.db)
    report = regrade(place, house.catalog)
    assert report.clean
    assert report.answers == sum(len(draft.parts) for draft in drafts())
    kinds = [one.kind for draft in drafts() for one in draft.parts]
    assert report.reruns == sum(KINDS[kind].rerun is not None for kind in kinds)
    topics = {one.topic for draft in drafts() for one in draft.parts}
    assert report.beliefs == len(topics)
    assert (report.other_versions, report.changes) == (0, [])
    assert held(house.db) == before


def test_a_changed_score_is_named(house, answered, place):
    answer_id, where = first_of(house, "number")
    marked = regrade(place, house.catalog)
    change(house, answer, answer.c.id == answer_id, score=0.1234)
    report = regrade(place, house.catalog)
    (found,) = report.marks
    assert (found.where, found.what, found.kept) == (where, "score", 0.1234)
    assert marked.marks == []
    assert [one.what for one in report.belief_differences] == ["belief"]
    assert answered in report.belief_differences[0].where


@pytest.mark.usefixtures("answered")
def test_a_changed_par_is_seen_in_the_belief(house, place):
    _, where = first_of(house, "order")
    scenario_id = where.partition("/")[0]
    is_it = (part.c.scenario_id == scenario_id) & (part.c.kind == "order")
    change(house, part, is_it, par=0.41)
    report = regrade(place, house.catalog)
    assert report.marks == report.readings == []
    assert report.belief_differences


@pytest.mark.usefixtures("answered")
@pytest.mark.parametrize(
    ("what", "times"), [("cost", 1.001), ("cost", 1 + 2e-8), ("best_cost", 1.001)]
)
def test_a_changed_figure_of_the_engine_is_named(house, place, what, times):
    answer_id, where = first_of(house, "set-up")
    if what == "cost":
        marks = marks_of(house, answer_id)
        marks["detail"]["cost"] *= times
        change(house, answer, answer.c.id == answer_id, marks=marks)
    else:
        scenario_id, _, position = where.partition("/")
        with house.db.read() as connection:
            query = select(scenario.c.payload).where(scenario.c.id == scenario_id)
            payload = json.loads(connection.scalar(query))
        payload["parts"][int(position) - 1]["best_cost"] *= times
        body = json.dumps(payload)
        change(house, scenario, scenario.c.id == scenario_id, payload=body)
    report = regrade(place, house.catalog)
    assert (where, what) in [(one.where, one.what) for one in report.readings]
    assert not report.clean


@pytest.mark.usefixtures("answered")
def test_other_coefficients_under_the_old_digest_are_seen(house, place):
    with house.db.read() as connection:
        sets = connection.execute(select(coefficient_set)).all()
    for row in sets:
        body = json.loads(row.body)
        body["loose_amplitude"] = [1.1 * x for x in body["loose_amplitude"]]
        is_row = coefficient_set.c.digest == row.digest
        change(house, coefficient_set, is_row, body=json.dumps(body))
    assert regrade(place, house.catalog).readings
    for row in sets:
        is_row = coefficient_set.c.digest == row.digest
        change(house, coefficient_set, is_row, body='{"unknown":[1,2,3]}')
    report = regrade(place, house.catalog)
    assert {one.what for one in report.readings} == {"run"}
    assert report.marks == []


@pytest.mark.usefixtures("answered")
def test_another_engines_answers_are_listed_beside_todays_score(house, place):
    _, where = first_of(house, "set-up")
    scenario_id = where.partition("/")[0]
    is_it = scenario.c.id == scenario_id
    change(house, scenario, is_it, engine_version=VERSION + 1)
    report = regrade(place, house.catalog)
    assert report.clean
    assert report.other_versions == len(report.changes) >= 1
    listed = {one.where: one for one in report.changes}
    assert where in listed
    # the engine is in truth the same, so today's score is the kept one
    assert all(one.today == one.kept for one in report.changes)
    assert {one.engine_version for one in report.changes} == {VERSION + 1}
    change(house, scenario, is_it, family="gone")
    (first, *_) = regrade(place, house.catalog).changes
    assert (first.today, first.why) == (None, "KeyError")


@pytest.mark.usefixtures("answered")
def test_a_rule_nobody_knows_and_a_lost_payload_are_named(house, place):
    answer_id, where = first_of(house, "direction")
    marks = marks_of(house, answer_id) | {"rule": 99}
    change(house, answer, answer.c.id == answer_id, marks=marks)
    _, lost = first_of(house, "number")
    change(house, scenario, scenario.c.id == lost.partition("/")[0], payload="{}")
    report = regrade(place, house.catalog)
    named = {(one.where, one.what) for one in report.marks}
    assert {(where, "marks"), (lost, "marks")} <= named


@pytest.mark.usefixtures("answered")
def test_the_command_says_it_and_ends_with_one(house, place, monkeypatch, capsys):
    url = house.db.url.render_as_string(hide_password=False)
    settings = place.instance / "settings.toml"
    settings.write_text(f'database_url = "{url}"\n')
    monkeypatch.setenv("ACADEMY_INSTANCE", str(place.instance))
    assert main(["regrade", "--json", "--lang", "en"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert (told["clean"], told["marks"], told["readings"]) == (True, [], [])
    answer_id, where = first_of(house, "set-up")
    change(house, answer, answer.c.id == answer_id, score=0.1234)
    assert main(["regrade", "--lang", "en"]) == 1
    said = capsys.readouterr().out
    assert f"{where}, score: kept 0.1234, found " in said
    assert "Hedda" not in said
    assert main(["regrade", "--lang", "es"]) == 1
    assert f"{where}, score: guardado 0.1234" in capsys.readouterr().out


def test_other_tables_are_refused(house, place):
    with house.db.write() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = 'v9999'"))
    try:
        with pytest.raises(AcademyError) as refused:
            regrade(place, house.catalog)
        assert refused.value.key == "database_of_other_release"
    finally:
        with house.db.write() as connection:
            put_back = text("UPDATE alembic_version SET version_num = :v")
            connection.execute(put_back, {"v": newest_revision()})
