"""Ended assessments come out the same for ever, and a second person answers doubts."""

import json
import sys
from dataclasses import replace
from datetime import timedelta

import pytest
from sqlalchemy import insert, select, update

from academy.catalog import demo_farm
from academy.catalog.directions import WAYS
from academy.engine import header
from academy.errors import Conflict, NotAllowed, NotFound, NotUnderstood, OutOfRange
from academy.records.queries import assessments, coefficients
from academy.records.rows import new_id
from academy.records.tables.answers import answer
from academy.records.tables.assessments import assessment_step, decision
from academy.records.tables.certificates import certificate
from academy.records.tables.columns import canonical_text
from academy.records.tables.ledger import log_entry
from academy.records.tables.scenarios import part, scenario
from academy.records.tables.yard import sign_off
from academy.scenarios.dice import Dice
from academy.service import (
    appeals,
    assessment,
    assessment_release,
    assessment_result,
    assessment_told,
    farm,
    people,
    record,
    regrade,
    rejudged,
    replayed,
)
from academy.service.installation import Installation
from academy.service.log_check import check
from academy.service.simulated import Simulated
from academy.service.stock import keep_coefficients

KEY = "yard-helper"
HOUR = timedelta(hours=1)
SCENARIOS = assessment_step.c.stage == "scenario"


def go_through(house, releaser, hire, skill, stop_after=None):
    """Release an assessment and let a simulated person answer it; its id."""
    keep_coefficients(house)
    at = house.clock()
    made = assessment_release.release(house, releaser, hire.person_id, KEY, "week", at)
    assessment.begin(house, hire, made, at)
    acting = Simulated(demo_farm.load(), skill, "us", Dice("appeals"))
    answered = 0
    while answered != stop_after:
        place = assessment.place(house, hire, made, at)
        if place.kind != "question":
            break
        now = assessment.asked(house, hire, made, place.position, at)
        given = acting.answers(json.loads(now.payload))
        at += timedelta(seconds=30)
        assessment.take(house, hire, now, now.token, given, at)
        answered += 1
    return made


@pytest.fixture
def crew(house, owner, join):
    """A hire, their lead, two instructors, and a lead of another crew."""
    other = farm.add_crew(house, owner, "North crew")
    return {
        "owner": owner,
        "hire": join("Hedda Ames").viewer,
        "hire2": join("Luz Marrón").viewer,
        "lead": join("Perry Voss", "lead").viewer,
        "instructor": join("Ines Calder", "instructor").viewer,
        "trainer": join("Ana Bell", "instructor").viewer,
        "far lead": join("Tomas Reed", "lead", crew_id=other).viewer,
    }


@pytest.fixture
def passed(house, crew):
    return go_through(house, crew["lead"], crew["hire"], 1.0)


@pytest.fixture
def closed(house, crew):
    return go_through(house, crew["lead"], crew["hire"], 0.0)


def again(house, made):
    with house.db.read() as connection:
        return replayed.replay(connection, assessments.get(connection, made))


def outcomes(house, made):
    with house.db.read() as connection:
        told = assessments.decisions(connection, [made])[made]
    return [(one.outcome, one.decided_by) for one in told]


def kinds(house, made):
    query = select(log_entry.c.kind).where(log_entry.c.chain == made)
    with house.db.read() as connection:
        return list(connection.scalars(query.order_by(log_entry.c.place)))


def clean(house):
    with house.db.read() as connection:
        return check(connection).flaws == ()


def without_content(monkeypatch):
    """Everything that reads content fails, and so does the engine."""

    def boom(*_args, **_kwargs):
        raise AssertionError("content or engine was asked")

    for name, module in list(sys.modules.items()):
        if name.startswith("academy.catalog."):
            for attribute, value in list(vars(module).items()):
                if hasattr(value, "cache_clear"):
                    monkeypatch.setattr(module, attribute, boom)
    monkeypatch.setattr(header, "run", boom)


def test_a_pass_comes_out_the_same_without_engine_and_content_unless_tampered(
    house, passed, monkeypatch
):
    without_content(monkeypatch)
    found = again(house, passed)
    assert found.same
    assert (found.ruled.outcome, found.judged.outcome) == ("pass", "pass")
    assert found.judged.evidence == pytest.approx(found.ruled.evidence, rel=1e-9)
    assert len(found.steps) == 10 + found.ruled.scenarios
    assert all(one.same for step in found.steps for one in step.parts)
    for changed in (
        update(answer).values(score=0.5),
        update(part).values(par=0.51),
        update(decision).values(evidence=9.0),
        update(decision).values(outcome="fail"),
    ):
        with house.db.read() as connection:
            connection.execute(changed)
            row = assessments.get(connection, passed)
            assert not replayed.replay(connection, row).same
    assert again(house, passed).same


def test_a_gate_that_closed_comes_out_the_same(house, closed):
    found = again(house, closed)
    assert found.same
    assert found.judged.outcome == "gate"
    assert found.judged.scenarios == 0


def test_who_may_see_a_record(house, crew, closed):
    may = dict.fromkeys(crew, False)
    for name, looking in crew.items():
        try:
            record.record(house, looking, closed)
            may[name] = True
        except NotFound:
            pass
    assert may == {
        "owner": True,
        "hire": True,
        "hire2": False,
        "lead": True,
        "instructor": True,
        "trainer": True,
        "far lead": False,
    }


def test_there_is_no_record_before_the_end(house, crew):
    made = go_through(house, crew["lead"], crew["hire"], 1.0, stop_after=2)
    for looking in crew.values():
        with pytest.raises(NotFound):
            record.record(house, looking, made)
        with pytest.raises(NotFound):
            appeals.raise_one(house, looking, made, "Too soon", house.clock())


def test_the_record_tells_every_question_and_runs_the_points(house, crew, passed):
    told = record.record(house, crew["instructor"], passed)
    assert told.same
    assert [one.position for one in told.questions] == list(
        range(1, len(told.questions) + 1)
    )
    scored = [one for one in told.questions if one.stage == "scenario"]
    assert scored[-1].running == pytest.approx(told.verdicts[0].points)
    steps = [one.points for one in scored]
    assert sum(steps) == pytest.approx(told.verdicts[0].points)
    assert all(one.seconds == 30 for one in told.questions)
    asked = record.question(house, crew["instructor"], passed, 12)
    assert len(asked.parts) == len(asked.question.parts)
    assert all(one.score == one.again and one.agrees for one in asked.parts)
    for one in asked.parts:
        for _asked, answered, key in one.answer.rows:
            if one.score == 1.0 and one.shown.kind != "number":
                assert answered == key


def test_an_appeal_needs_a_reason_and_waits_alone(house, crew, closed):
    now = house.clock()
    for reason, error in (("  \n ", NotUnderstood), ("x" * 2001, OutOfRange)):
        with pytest.raises(error):
            appeals.raise_one(house, crew["hire"], closed, reason, now)
    appeals.raise_one(house, crew["hire"], closed, "Question 3 was cut off.", now)
    with pytest.raises(Conflict, match="appeal_waits"):
        appeals.raise_one(house, crew["owner"], closed, "Me too", now)
    with pytest.raises(NotFound):
        appeals.raise_one(house, crew["hire2"], closed, "Not mine", now)
    assert kinds(house, closed)[-1] == "appealed"


def test_only_a_second_person_decides(house, crew, closed):
    now = house.clock() + HOUR
    appeals.raise_one(house, crew["owner"], closed, "The picture was dark.", now)
    for name, error in (
        ("hire", NotAllowed),
        ("hire2", NotFound),
        ("lead", NotAllowed),  # released it
        ("owner", NotAllowed),  # raised the appeal
        ("far lead", NotFound),
    ):
        with pytest.raises(error):
            appeals.answer(
                house, crew[name], closed, overturn=True, reason="So", now=now
            )
    appeals.answer(
        house, crew["trainer"], closed, overturn=False, reason="It was lit.", now=now
    )
    with pytest.raises(Conflict, match="no_appeal_waits"):
        appeals.answer(
            house, crew["instructor"], closed, overturn=True, reason="So", now=now
        )
    assert outcomes(house, closed) == [("gate", None)]
    assert kinds(house, closed)[-2:] == ["appealed", "appeal-answered"]
    assert clean(house)


def test_who_decided_one_appeal_does_not_decide_the_next(house, crew, closed):
    now = house.clock() + HOUR
    for name in ("trainer", "instructor"):
        appeals.raise_one(house, crew["hire"], closed, "Look again.", now)
        appeals.answer(
            house, crew[name], closed, overturn=False, reason="Seen.", now=now
        )
    appeals.raise_one(house, crew["hire"], closed, "And again.", now)
    with pytest.raises(NotAllowed):
        appeals.answer(
            house, crew["trainer"], closed, overturn=False, reason="No.", now=now
        )


def overturn_gate(house, crew, closed, now):
    """The hire doubts the closed gate, and the trainer overturns it."""
    appeals.raise_one(house, crew["hire"], closed, "The sign was missing.", now)
    appeals.answer(
        house, crew["trainer"], closed, overturn=True, reason="True.", now=now
    )


def test_an_overturned_gate_is_no_pass_and_costs_nothing(house, crew, closed):
    now = house.clock() + HOUR  # a fail would have to wait for a day
    hire = crew["hire"].person_id
    with house.db.read() as connection:
        past = assessment_release.past_of(connection, hire, KEY)
        assert (past.attempt, len(past.fails)) == (2, 1)
    with pytest.raises(Conflict, match="wait_after_fail"):
        assessment_release.release(house, crew["lead"], hire, KEY, "week", now)
    overturn_gate(house, crew, closed, now)
    trainer = crew["trainer"].person_id
    assert outcomes(house, closed) == [("gate", None), ("void", trainer)]
    with house.db.read() as connection:
        past = assessment_release.past_of(connection, hire, KEY)
        assert (past.attempt, past.fails) == (1, ())
    for looking in (crew["hire"], crew["lead"]):
        told = assessment_result.result(house, looking, closed, now)
        assert (told.outcome, told.again, told.harder_one) == ("void", None, False)
    assert [one.undone for one in assessment_told.own(house, crew["hire"])] == [True]
    seen = record.record(house, crew["trainer"], closed)
    assert seen.undone
    assert [one.by for one in seen.verdicts] == ["", "Ana Bell"]
    assert again(house, closed).same  # the rule's own decision still comes out
    made = assessment_release.release(house, crew["lead"], hire, KEY, "week", now)
    with house.db.read() as connection:
        assert assessments.get(connection, made).attempt == 1
    assert not any(one.undone for one in assessment_told.own(house, crew["hire"]))
    assert clean(house)


def test_one_released_at_a_higher_bar_meanwhile_is_told(house, crew, closed):
    now = house.clock() + HOUR
    with house.db.write() as connection:
        row = assessments.get(connection, closed)
        later = replace(row, id=new_id(), attempt=2, state="released", device_id=None)
        assessments.add(connection, later)
    told = assessment_result.result(house, crew["hire"], closed, now)
    assert not told.harder_one  # as long as the first one counts, it is as it should be
    overturn_gate(house, crew, closed, now)
    assert assessment_result.result(house, crew["hire"], closed, now).harder_one


def test_who_doubts_the_overturning_finds_a_third_person(house, crew, closed):
    now = house.clock() + HOUR
    overturn_gate(house, crew, closed, now)
    appeals.raise_one(house, crew["lead"], closed, "The sign was there.", now)
    with pytest.raises(NotAllowed):
        appeals.answer(
            house, crew["trainer"], closed, overturn=True, reason="No.", now=now
        )
    later = now + HOUR
    appeals.answer(
        house, crew["instructor"], closed, overturn=True, reason="It was.", now=later
    )
    assert [told for told, _by in outcomes(house, closed)] == ["gate", "void", "gate"]
    with house.db.read() as connection:
        assert assessments.get(connection, closed).state == "ended"
        past = assessment_release.past_of(connection, crew["hire"].person_id, KEY)
        assert past.attempt == 2
    assert clean(house)


def give_certificate(house, crew, made):
    """A certificate as a row; how one is made is tested elsewhere."""
    signed, given = new_id(), new_id()
    with house.db.write() as connection:
        row = assessments.get(connection, made)
        connection.execute(
            insert(sign_off).values(
                id=signed,
                person_id=row.person_id,
                list_key=KEY,
                list_digest="a" * 64,
                header_key=row.header_key,
                lead_id=crew["instructor"].person_id,
                opened_at=house.clock(),
            )
        )
        connection.execute(
            insert(certificate).values(
                id=given,
                person_id=row.person_id,
                certificate=KEY,
                assessment_id=made,
                sign_off_id=signed,
                header_key=row.header_key,
                issued_by=crew["owner"].person_id,
                issued_at=house.clock(),
                valid_until=house.clock().date() + timedelta(days=365),
                language="en",
                one_person=False,
                model_line=True,
                key_id="key",
                credential="{}",
            )
        )
    return given


def test_an_overturned_pass_keeps_both_decisions_and_takes_the_certificate_back(
    house, crew, passed
):
    now = house.clock() + HOUR
    given = give_certificate(house, crew, passed)
    appeals.raise_one(house, crew["lead"], passed, "He was told the answers.", now)
    for name in ("owner", "instructor"):  # issued it; signed the sign-off
        with pytest.raises(NotAllowed):
            appeals.answer(
                house, crew[name], passed, overturn=True, reason="So", now=now
            )
    appeals.answer(
        house, crew["trainer"], passed, overturn=True, reason="He was.", now=now
    )
    trainer = crew["trainer"].person_id
    assert outcomes(house, passed) == [("pass", None), ("fail", trainer)]
    with house.db.read() as connection:
        row = connection.execute(select(certificate)).one()
    assert (row.id, row.revoked_by, row.revoke_reason) == (given, trainer, "He was.")
    told = kinds(house, passed)[-3:]
    assert told == ["appealed", "appeal-answered", "decided"]
    assert again(house, passed).same  # the rule's own decision still comes out


def test_erasing_the_person_keeps_record_and_log(house, crew, closed):
    people.erase(house, crew["owner"], crew["hire"].person_id, house.clock())
    assert record.record(house, crew["owner"], closed).name == ""
    assert again(house, closed).same
    assert clean(house)


def make_older(house):
    """Every scenario as if it had been made with other coefficients."""
    with house.db.write() as connection:
        coefficients.keep(connection, "d" * 64, "{}")
        connection.execute(update(scenario).values(coefficient_digest="d" * 64))


def turned(one):
    """A part with another key, and the answer right by it; None for other kinds."""
    if one["kind"] == "go-or-stop":
        one["key"] = {"go": "stop", "stop": "go"}[one["key"]]
        return {"choice": one["key"]}
    if one["kind"] == "direction":
        one["key"] = next(way for way in WAYS if way != one["key"])
        return {"way": one["key"]}
    if one["kind"] == "inspection":
        one["bad"], one["good"] = one["good"], one["bad"]
        return {"ticked": one["bad"]}
    return None


def turn_keys(house):
    """Parts of scenarios as if key and answer had been other ones."""
    with house.db.write() as connection:
        asked = select(scenario).join(assessment_step)
        for row in connection.execute(asked.where(SCENARIOS)).all():
            payload = json.loads(row.payload)
            for place, one in enumerate(payload["parts"], start=1):
                if (given := turned(one)) is None:
                    continue
                this = select(part.c.id).where(
                    part.c.scenario_id == row.id, part.c.position == place
                )
                connection.execute(
                    update(answer)
                    .where(answer.c.part_id == this.scalar_subquery())
                    .values(answer=given)
                )
            text = canonical_text(payload)
            connection.execute(
                update(scenario).where(scenario.c.id == row.id).values(payload=text)
            )


def test_a_changed_bank_lists_the_certificates_it_would_have_decided_otherwise(
    house, crew, passed, tmp_path
):
    place = Installation(tmp_path, house.db, tmp_path / "pepper")
    given = give_certificate(house, crew, passed)
    report = rejudged.certificates(place)
    assert (report.certificates, report.older, report.otherwise) == (1, 0, ())
    make_older(house)
    report = rejudged.certificates(place)
    assert (report.certificates, report.older, report.otherwise) == (1, 1, ())
    turn_keys(house)
    before = outcomes(house, passed)
    (found,) = rejudged.certificates(place).otherwise
    assert (found.certificate_id, found.kept) == (given, "pass")
    assert found.today in ("fail", "open")
    assert found.evidence_today < found.evidence_kept
    assert outcomes(house, passed) == before
    with house.db.write() as connection:
        connection.execute(
            update(certificate).values(
                revoked_at=house.clock(), revoke_reason="A mistake in the bank."
            )
        )
    assert rejudged.certificates(place).certificates == 0


def test_regrading_judges_every_decision_again(house, closed, tmp_path):
    place = Installation(tmp_path, house.db, tmp_path / "pepper")
    report = regrade.regrade(place, house.catalog)
    assert (report.decisions, report.clean) == (1, True)
    with house.db.write() as connection:
        connection.execute(update(decision).values(outcome="pass"))
    report = regrade.regrade(place, house.catalog)
    assert not report.clean
    (found,) = report.decision_differences
    assert (found.where, found.kept, found.found) == (closed, "pass", "gate")
