"""Who may release an assessment, when, how often; and what a dangerous mistake does."""

import json
import math
from datetime import timedelta

import pytest

from academy.catalog import blueprints
from academy.errors import Conflict, NotAllowed, NotFound, NotUnderstood
from academy.records.queries import answers as answer_rows
from academy.records.queries import assessments, coefficients, scenarios, stock
from academy.records.rows import new_id
from academy.service import (
    assessment,
    assessment_lead,
    assessment_release,
    assessment_result,
    assessment_state,
    card,
    farm,
    readiness,
)
from academy.service import stock as shelf

HOUR = timedelta(hours=1)
KEY = "yard-helper"


@pytest.fixture
def release(house, owner):
    """Release one as the owner, or as somebody else."""
    shelf.keep_coefficients(house)

    def _release(hire, now=None, by=None, key=KEY, until="today"):
        return assessment_release.release(
            house, by or owner, hire.person_id, key, until, now or house.clock()
        )

    return _release


@pytest.fixture
def decided(house, release):
    """Let one be over with an outcome, as the rule would keep it."""

    def _decided(hire, outcome, now, by=None):
        made = release(hire, now, by=by)
        with house.db.write() as connection:
            assessments.change(
                connection, made, state="ended", started_at=now, ended_at=now
            )
            assessments.add_decision(connection, made, outcome, 0.0, 8, now)
        return made

    return _decided


@pytest.fixture
def practised(answer):
    """Let practice show much in every topic of the certificate."""

    def _practised(hire, now):
        for topic in blueprints.load(KEY).weights:
            for _ in range(8):
                answer(hire.person_id, topic, 1.0, now, "practice")

    return _practised


def attempt_of(house, assessment_id):
    with house.db.read() as connection:
        return assessments.get(connection, assessment_id).attempt


def test_owner_lead_and_instructor_release_and_nobody_for_themselves(
    house, owner, join, release
):
    crew = farm.add_crew(house, owner, "South")
    hire, lead = join("Hedda Ames").viewer, join("Pia Lund", "lead").viewer
    elsewhere = join("Ewa Roth", "lead", crew_id=crew).viewer
    teacher = join("Ines Vidal", "instructor", crew_id=crew).viewer
    for by in (owner, lead, teacher):
        made = release(hire, by=by)
        assert release_of(house, by, made)
        assessment_release.cancel(house, by, made, house.clock())
    for by in (hire, elsewhere, join("Olav Brandt").viewer):
        with pytest.raises(NotFound):
            release(join(f"Somebody {by.name}").viewer, by=by)
    for by in (owner, lead, teacher):
        with pytest.raises(Conflict, match="not_for_oneself"):
            release(by, by=by)


def release_of(house, by, assessment_id):
    found = assessment_lead.lists(house, by, house.clock()).released
    return assessment_id in {one.assessment_id for one in found}


def test_who_has_no_part_in_it_finds_nothing(house, owner, join, release):
    crew = farm.add_crew(house, owner, "South")
    hire, other = join("Hedda Ames").viewer, join("Olav Brandt").viewer
    lead = join("Pia Lund", "lead").viewer
    elsewhere = join("Ewa Roth", "lead", crew_id=crew).viewer
    teacher = join("Ines Vidal", "instructor", crew_id=crew).viewer
    made, now = release(hire), house.clock()
    for who in (hire, other, elsewhere, teacher):
        with pytest.raises(NotFound):
            assessment_lead.supervise(house, who, made, now)
        for deed in (assessment_release.cancel, assessment_release.let_go):
            with pytest.raises(NotFound):
                deed(house, who, made, now)
        with pytest.raises(NotFound):
            assessment_release.reopen(house, who, made, "week", now)
        with pytest.raises(NotFound):
            assessment_lead.correct(house, who, made, new_id(), now)
        with pytest.raises(NotFound):
            assessment_lead.void(house, who, made, new_id(), "why", now)
    for who in (owner, lead):
        assert assessment_lead.supervise(house, who, made, now).name == "Hedda Ames"
        with pytest.raises(NotFound):
            assessment.place(house, who, made, now)
    for who in (hire, other):
        with pytest.raises(NotFound):
            assessment_lead.lists(house, who, now)


def test_one_at_a_time_of_what_fits_the_header_in_its_time(house, join, release):
    hire, now = join("Hedda Ames").viewer, house.clock()
    for wrong in ({"key": "no-such"}, {"until": "for ever"}):
        with pytest.raises(NotUnderstood):
            release(hire, **wrong)
    made = release(hire)
    with pytest.raises(Conflict, match="assessment_open_already"):
        release(hire)
    # the farm's clock: 2026-09-01 15:00 UTC is 10 in the morning in Chicago, so today
    # ends at 05:00 UTC
    with pytest.raises(Conflict, match="assessment_not_open"):
        assessment.begin(house, hire, made, now + 15 * HOUR)
    assert assessment.place(house, hire, made, now + 15 * HOUR).kind == "lapsed"
    assert assessment.begin(house, hire, made, now + 13 * HOUR) == 1


def test_another_attempt_waits_a_day_and_for_practice(
    house, join, release, decided, practised
):
    hire, now = join("Hedda Ames").viewer, house.clock()
    decided(hire, "fail", now)
    with pytest.raises(Conflict, match="wait_after_fail"):
        release(hire, now + 23 * HOUR)
    with pytest.raises(Conflict, match="practice_before_retake"):
        release(hire, now + 24 * HOUR)
    practised(hire, now + HOUR)
    made = release(hire, now + 24 * HOUR)
    assert attempt_of(house, made) == 2
    with house.db.read() as connection:
        row = assessments.get(connection, made)
        bar = assessment_state.kept(connection, row).bar
    # alpha halves with each attempt, the last limit rises by ln 2
    assert bar.false_pass == pytest.approx(0.01)
    assert bar.last_evidence == pytest.approx(1.5 + math.log(2))


def test_after_three_that_failed_an_instructor_must_release(
    house, owner, join, release, decided, practised
):
    hire, now = join("Hedda Ames").viewer, house.clock()
    teacher = join("Ines Vidal", "instructor").viewer
    practised(hire, now)
    for number, outcome in enumerate(("fail", "gate", "fail")):
        decided(hire, outcome, now + 25 * number * HOUR)
    later = now + 100 * HOUR
    practised(hire, later - HOUR)
    with pytest.raises(NotAllowed, match="instructor_must_release"):
        release(hire, later)
    assert attempt_of(house, release(hire, later, by=teacher)) == 4
    assert owner.owns


def test_a_pass_starts_the_count_again_and_breaking_off_counts(
    house, owner, join, release, decided
):
    hire, now = join("Hedda Ames").viewer, house.clock()
    untouched = release(hire)
    assessment_release.cancel(house, owner, untouched, now)
    begun = release(hire)
    assert attempt_of(house, begun) == 1  # taken back before it began: no attempt
    assessment.begin(house, hire, begun, now)
    assessment_release.cancel(house, owner, begun, now)
    with pytest.raises(Conflict, match="assessment_over"):
        assessment_release.cancel(house, owner, begun, now)
    assert attempt_of(house, decided(hire, "pass", now + HOUR)) == 2
    assert attempt_of(house, release(hire, now + 2 * HOUR)) == 1


def test_earlier_assessments_give_credit_and_practice_never_does(
    house, join, release, decided, answer, monkeypatch
):
    """Where a certificate allows it: the cap is ln 3, odds of three to one."""
    plain = blueprints.load(KEY)
    renewing = plain.model_copy(update={"starting_credit": True})
    monkeypatch.setattr(blueprints, "load", lambda _key: renewing)
    hire, now = join("Hedda Ames").viewer, house.clock()

    def credit(made):
        with house.db.read() as connection:
            row = assessments.get(connection, made)
            bar = assessment_state.kept(connection, row).bar
        with house.db.write() as connection:
            assessments.change(connection, made, state="cancelled")
        return row.credit, bar

    def answered(purpose):
        for topic in plain.weights:
            for _ in range(8):
                answer(hire.person_id, topic, 1.0, now, purpose)

    answered("assessment")
    assert credit(release(hire, now))[0] == 0  # a first one starts from nothing
    decided(hire, "pass", now)
    found, bar = credit(release(hire, now + HOUR))
    assert found == pytest.approx(math.log(3))
    assert (bar.least_scenarios, bar.most_scenarios) == (6, 12)
    other = join("Pia Lund").viewer
    decided(other, "pass", now)
    hire = other
    answered("practice")
    assert credit(release(other, now + HOUR))[0] == 0


@pytest.fixture
def missed(house):
    """Put one dangerous mistake into the log, or the same question answered right."""
    digest = "d" * 64

    def _missed(hire, now, purpose="practice", score=0.0):
        part = stock.PartDraft(
            "go-or-stop", "safe-stop", "people-near@1", 0.8, 0.5, 1, 1.0
        )
        facts = new_id() + new_id()
        draft = stock.Draft("people-near", 1, facts, "{}", 1, digest, parts=[part])
        issue = scenarios.Issue(hire.person_id, facts, purpose, now)
        with house.db.write() as connection:
            coefficients.keep(connection, digest, "{}")
            issued = scenarios.issue_draft(connection, draft, issue)
            (one,) = scenarios.parts(connection, issued.id)
            marks = {"reason": "went_on", "critical_miss": score < 1, "detail": {}}
            answer_rows.record(
                connection,
                one.id,
                answer={"choice": "go"},
                score=score,
                marks=marks,
                now=now,
            )
        return issued.id

    return _missed


def word_of(house, owner, hire, now, topic="safe-stop"):
    board = readiness.board(house, owner, now)
    row = next(one for one in board.people if one.person_id == hire.person_id)
    return row.topics[topic].word, row


def test_after_a_dangerous_mistake_ready_does_not_stand_without_a_remark(
    house, owner, join, answer, missed
):
    hire, now = join("Hedda Ames").viewer, house.clock()
    for topic in ("safe-stop", "emergencies", "pace"):
        for _ in range(10):
            answer(hire.person_id, topic, 1.0, now)
    assert word_of(house, owner, hire, now)[0] == "ready"
    missed(hire, now)
    word, row = word_of(house, owner, hire, now)
    assert word == "talk_first"
    assert row.missed
    assert row.topics["emergencies"].word == "talk_first"  # safety, too
    assert row.topics["pace"].word == "ready"  # nobody is hurt by the pace
    assert row.jobs["yard-helper"].word == "talk_first"
    assert row.jobs["yard-helper"].today == 0.0  # nobody counts as ready today
    own = card.card(house, hire, hire.person_id, now)
    assert {one.key: one.word for one in own.topics}["safe-stop"] == "talk_first"
    # a week later, or once that question was answered right, it stands no longer
    assert word_of(house, owner, hire, now + timedelta(days=8))[0] == "ready"
    missed(hire, now + HOUR, score=1.0)
    assert word_of(house, owner, hire, now + HOUR)[0] == "ready"


def test_a_dangerous_mistake_of_an_assessment_stands_until_it_is_ticked(
    house, owner, join, release
):
    hire, now = join("Hedda Ames").viewer, house.clock()
    made = release(hire)
    assessment.begin(house, hire, made, now)
    for _ in range(2):
        position = assessment.place(house, hire, made, now).position
        asked = assessment.asked(house, hire, made, position, now)
        wrong = all_wrong(json.loads(asked.payload))
        assessment.take(house, hire, asked, asked.token, wrong, now)
    result = assessment_result.result(house, owner, made, now)
    assert result.outcome == "gate"
    late = now + timedelta(days=60)
    for left in (2, 1, 0):
        open_ones = [one for one in result.misses if not one.corrected]
        assert len(open_ones) == left
        assert bool(word_of(house, owner, hire, late)[1].missed) == (left > 0)
        if open_ones:
            step = open_ones[0].step_id
            for _ in range(2):  # once is enough, twice is no harm
                assessment_lead.correct(house, owner, made, step, late)
        result = assessment_result.result(house, owner, made, late)


def all_wrong(payload):
    other = {"go": "stop", "stop": "go"}
    return {
        place: {"order": part["shown"][::-1]}
        if part["kind"] == "order"
        else {"choice": other[part["key"]]}
        for place, part in enumerate(payload["parts"], start=1)
    }
