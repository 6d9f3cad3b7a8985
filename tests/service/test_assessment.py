"""An assessment from its release to its decision."""

import json
import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import timedelta

import pytest

from academy.catalog import demo_farm
from academy.errors import Conflict, NotFound, NotUnderstood
from academy.records.queries import answers as answer_rows
from academy.records.queries import assessments, scenarios
from academy.scenarios.dice import Dice
from academy.service import (
    assessment,
    assessment_lead,
    assessment_release,
    assessment_result,
    assessment_state,
    card,
    log_check,
    practice,
    readiness,
    stock,
)
from academy.service.simulated import Simulated

# assessment rule by hand: pass at ln((1 - 0.10) / 0.02) = ln 45 = 3.807 and fail at
# ln(0.10 / (1 - 0.02)) = ln(0.10204) = -2.282, from 8 scenarios on; Wald 1947
PASSES, FAILS, LEAST = math.log(45), math.log(0.10 / 0.98), 8


@dataclass
class Going:
    """One assessment with what drives it: ``say`` answers the question that waits."""

    house: object
    hire: object
    lead: object
    id: str
    now: object

    def place(self):
        return assessment.place(self.house, self.hire, self.id, self.now)

    def waiting(self):
        place = self.place()
        return assessment.asked(
            self.house, self.hire, self.id, place.position, self.now
        )

    def answers(self, asked, skill):
        person = Simulated(
            demo_farm.load(), skill, "us", Dice("test", asked.step.id, skill)
        )
        return person.answers(json.loads(asked.payload))

    def say(self, skill=1.0, asked=None, token=None):
        asked = asked or self.waiting()
        self.now += timedelta(seconds=20)
        assessment.take(
            self.house,
            self.hire,
            asked,
            asked.token if token is None else token,
            self.answers(asked, skill),
            self.now,
        )
        return asked

    def gate(self, misses=()):
        for number in range(1, 11):
            self.say(0.0 if number in misses else 1.0)

    def until_end(self, skill):
        for _ in range(20):
            if self.place().kind != "question":
                break
            self.say(skill)

    def steps(self):
        with self.house.db.read() as connection:
            return assessments.steps(connection, self.id)

    def decisions(self):
        with self.house.db.read() as connection:
            return assessments.decisions(connection, [self.id]).get(self.id, [])

    def misses(self):
        found = assessment_lead.supervise(self.house, self.lead, self.id, self.now)
        return found.misses


@pytest.fixture
def begun(house, owner, join) -> Callable[..., Going]:
    """An assessment that somebody begins on their own phone."""
    stock.keep_coefficients(house)

    def _begun(name="Hedda Ames", hire=None, now=None):
        hire, now = hire or join(name).viewer, now or house.clock()
        made = assessment_release.release(
            house, owner, hire.person_id, "yard-helper", "today", now
        )
        assessment.begin(house, hire, made, now)
        return Going(house, hire, owner, made, now)

    return _begun


def test_right_answers_pass_after_the_gate_and_the_fewest_scenarios(house, begun):
    going = begun()
    assert going.place().of == 10
    going.gate()
    assert (going.place().stage, going.place().number) == ("scenario", 1)
    going.until_end(1.0)
    assert going.place().kind == "ended"
    (decided,) = going.decisions()
    assert (decided.outcome, decided.scenarios) == ("pass", LEAST)
    assert decided.evidence >= PASSES
    assert decided.decided_by is None
    steps = going.steps()
    assert [one.position for one in steps] == list(range(1, 19))
    assert all(one.answered_at - one.asked_at == timedelta(seconds=20) for one in steps)
    assert len({one.slot for one in steps if one.stage == "gate"}) == 10
    told = assessment_result.result(house, going.hire, going.id, going.now)
    assert (told.outcome, told.minutes) == ("pass", 6)  # 18 times 20 s
    # the running line ends where the decision is: evidence over 3 is points
    assert told.points.running[-1] == pytest.approx(decided.evidence / 3)
    assert told.points.passes == pytest.approx(1.27, abs=0.005)  # printed in the rule
    assert told.points.fails == pytest.approx(-0.76, abs=0.005)
    assert told.again is None
    with house.db.read() as connection:
        assert log_check.check(connection).flaws == ()


def test_wrong_answers_fail_and_say_what_now(house, begun, owner):
    going = begun()
    going.gate()
    going.until_end(0.0)
    (decided,) = going.decisions()
    assert (decided.outcome, decided.scenarios) == ("fail", LEAST)
    assert decided.evidence <= FAILS
    told = assessment_result.result(house, going.hire, going.id, going.now)
    assert told.again.start == going.now + timedelta(hours=24)
    assert told.again.topics
    assert told.thoughts
    assert len(told.explained) == 18
    assert assessment_result.result(house, owner, going.id, going.now).explained == ()


def test_one_miss_waits_for_the_lead_and_six_fresh_ones(house, begun, owner):
    going = begun()
    going.gate(misses=(4,))
    assert going.place().kind == "correct"
    assessment.go_on(house, going.hire, going.id, going.now)
    assert len(going.steps()) == 10  # nothing is asked before it was put right
    (miss,) = going.misses()
    assert miss.parts
    assessment_lead.correct(house, owner, going.id, miss.step_id, going.now)
    assert going.place().kind == "go-on"
    assessment.go_on(house, going.hire, going.id, going.now)
    missed = going.steps()[3].slot
    for number in range(1, 7):
        assert (going.place().stage, going.place().number) == ("fresh", number)
        going.say(1.0)
    fresh = [one.slot for one in going.steps() if one.stage == "fresh"]
    assert fresh.count(missed) == 4  # drawn mainly from the missed concept
    assert going.place().stage == "scenario"


def test_a_miss_among_the_first_ten_is_told_at_once_and_ticked_later(begun, owner):
    going = begun()
    going.say(0.0)
    (miss,) = going.misses()
    with pytest.raises(Conflict, match="correct_later"):
        assessment_lead.correct(going.house, owner, going.id, miss.step_id, going.now)


@pytest.mark.parametrize("misses", [(2, 5), (9, 10)])
def test_two_misses_end_it_at_the_gate(begun, misses):
    going = begun()
    for number in range(1, misses[-1] + 1):
        going.say(0.0 if number in misses else 1.0)
    (decided,) = going.decisions()
    assert (decided.outcome, decided.scenarios) == ("gate", 0)
    assert len(going.steps()) == misses[-1]


def test_a_miss_among_the_fresh_ones_ends_it(house, begun, owner):
    going = begun()
    going.gate(misses=(1,))
    (miss,) = going.misses()
    assessment_lead.correct(house, owner, going.id, miss.step_id, going.now)
    assessment.go_on(house, going.hire, going.id, going.now)
    going.say(1.0)
    going.say(0.0)
    assert going.decisions()[0].outcome == "gate"


def test_a_token_counts_once_and_only_for_its_question(house, begun):
    going = begun()
    first = going.say(1.0)
    second = going.waiting()
    with pytest.raises(Conflict, match="answer_stale"):
        going.say(1.0, second, token=first.token)
    with pytest.raises(Conflict, match="answer_stale"):
        going.say(1.0, second, token="")
    going.say(1.0, first)  # the very same answer once more: taken as one
    late = assessment.asked(house, going.hire, going.id, 1, going.now)
    with pytest.raises(Conflict, match="answer_stale"):
        going.say(0.0, late)  # another answer to the same question
    with house.db.read() as connection:
        kept = answer_rows.for_scenario(connection, first.step.scenario_id)
        assert {one.score for one in kept.values()} == {1.0}
    assert len(going.steps()) == 2
    assert second.step.token_hash not in (None, second.token)


def test_only_one_device_goes_on_until_a_lead_frees_it(house, begun, join, owner):
    going = begun()
    other = join("Pia Lund")
    with pytest.raises(NotFound):
        assessment.place(house, other.viewer, going.id, going.now)
    phone = going.hire
    tablet = _on(phone, other.viewer.device_id)
    asked = going.waiting()
    assert assessment.place(house, tablet, going.id, going.now).kind == "elsewhere"
    with pytest.raises(Conflict, match="assessment_other_device"):
        assessment.begin(house, tablet, going.id, going.now)
    with pytest.raises(Conflict, match="assessment_other_device"):
        assessment.take(
            house, tablet, asked, asked.token, going.answers(asked, 1.0), going.now
        )
    assessment_release.let_go(house, owner, going.id, going.now)
    assert assessment.begin(house, tablet, going.id, going.now) == 1
    assert going.place().kind == "elsewhere"  # the phone is shut out
    with pytest.raises(Conflict, match="assessment_other_device"):
        going.say(1.0, asked)
    going.hire = tablet
    assert going.waiting().step.id == asked.step.id  # where it was
    going.say(1.0)
    assert going.place().number == 2


def test_a_voided_question_is_replaced_in_its_slot_and_never_counts(
    house, begun, owner
):
    going = begun()
    open_one = going.waiting()
    with pytest.raises(NotUnderstood, match="void_reason_needed"):
        assessment_lead.void(house, owner, going.id, open_one.step.id, "  ", going.now)
    assessment_lead.void(
        house, owner, going.id, open_one.step.id, "The picture did not load", going.now
    )
    with pytest.raises(Conflict, match="question_voided"):
        going.say(1.0, open_one)
    assert going.place().kind == "go-on"
    assessment.go_on(house, going.hire, going.id, going.now)
    fresh = going.waiting().step
    assert (fresh.stage, fresh.slot) == (open_one.step.stage, open_one.step.slot)
    assert fresh.scenario_id != open_one.step.scenario_id
    going.gate()
    gate_step = going.steps()[3]
    with pytest.raises(Conflict, match="gate_answer_stays"):
        assessment_lead.void(house, owner, going.id, gate_step.id, "why", going.now)
    lost = going.say(0.0).step  # an answer that went wrong for a technical reason
    going.say(1.0)
    assessment_lead.void(house, owner, going.id, lost.id, "Screen broke", going.now)
    going.say(1.0)
    assert going.waiting().step.slot == lost.slot
    going.until_end(1.0)
    (decided,) = going.decisions()
    assert (decided.outcome, decided.scenarios) == ("pass", LEAST)
    steps = {one.id: one for one in going.steps()}
    assert steps[lost.id].void_reason == "Screen broke"
    assert steps[lost.id].voided_by == owner.person_id
    with house.db.read() as connection:
        kept = answer_rows.for_scenario(connection, lost.scenario_id)
        counted = answer_rows.log_for(connection, going.hire.person_id)
    assert kept  # everything stays
    assert lost.scenario_id not in {one.scenario_id for one in counted}


def test_after_its_time_an_answer_is_taken_and_nothing_more_is_asked(
    house, begun, owner
):
    going = begun()
    going.now += timedelta(days=2)
    going.say(1.0)
    assert going.place().kind == "window"
    assessment_release.reopen(house, owner, going.id, "today", going.now)
    assert going.place().kind == "go-on"
    assessment.go_on(house, going.hire, going.id, going.now)
    assert going.place().number == 2


def test_nothing_shows_on_card_board_and_practice_before_the_end(house, begun, owner):
    going = begun()
    going.gate()
    first = going.say(0.0).step
    hire = going.hire
    own = card.card(house, hire, hire.person_id, going.now)
    assert not any(topic.answered for topic in own.topics)
    assert own.coming_back == own.missed == ()
    board = readiness.board(house, owner, going.now)
    row = next(one for one in board.people if one.person_id == hire.person_id)
    assert {chance.word for chance in row.topics.values()} == {"untested"}
    for deed in (practice.question, practice.explanation):
        with pytest.raises((NotFound, Conflict)):
            deed(house, hire, first.scenario_id)
    with pytest.raises(NotFound):
        assessment_result.result(house, owner, going.id, going.now)
    assert going.misses() == ()  # a scenario's miss waits for the end
    going.until_end(0.0)
    own = card.card(house, hire, hire.person_id, going.now)
    assert sum(topic.answered for topic in own.topics) > 30
    assert practice.explanation(house, hire, first.scenario_id).parts


def test_nobody_gets_facts_that_anybody_in_the_sitting_had(house, begun):
    digests = []
    for name in ("Hedda Ames", "Pia Lund"):
        going = begun(name)
        going.gate()
        going.until_end(1.0)
        with house.db.read() as connection:
            digests += [
                scenarios.get(connection, one.scenario_id, going.hire.person_id).digest
                for one in going.steps()
            ]
    assert len(set(digests)) == len(digests) == 36


def test_the_decision_hangs_on_answers_alone(house, begun):
    """Another person, crew and device under the same rows: the same next step."""
    going = begun()
    going.gate()
    going.say(1.0)
    with house.db.read() as connection:
        row = assessments.get(connection, going.id)
        state = assessment_state.kept(connection, row)
    other = replace(row, person_id="f" * 32, device_id="e" * 32, released_by="d" * 32)
    assert state.following == assessment_state.next_of(other, state.rules, state.done)


def _on(viewer, device_id):
    return replace(viewer, device_id=device_id)
