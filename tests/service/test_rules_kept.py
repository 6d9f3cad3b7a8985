"""An assessment ends by the rules it was released with, whatever content says since."""

import json
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from academy.catalog import assessment as measures
from academy.catalog import blueprints, competence, demo_farm, families
from academy.errors import Conflict
from academy.records.queries import assessments
from academy.scenarios.dice import Dice
from academy.service import (
    assessment,
    assessment_lead,
    assessment_release,
    assessment_state,
    certificate_standing,
    log_check,
    making,
    record,
    replayed,
    stock,
)
from academy.service.assessment_void import NOTHING_LEFT, RULES_GONE
from academy.service.simulated import Simulated

KEY = "yard-helper"


class Going:
    """One assessment, and the person who answers it."""

    def __init__(self, house: Any, owner: Any, hire: Any) -> None:
        self.house, self.owner, self.hire, self.now = house, owner, hire, house.clock()
        self.id = assessment_release.release(
            house, owner, hire.person_id, KEY, "week", self.now
        )
        assessment.begin(house, hire, self.id, self.now)

    def place(self) -> Any:
        return assessment.place(self.house, self.hire, self.id, self.now)

    def say(self, skill: float = 1.0) -> Any:
        at = self.place().position
        asked = assessment.asked(self.house, self.hire, self.id, at, self.now)
        dice = Dice("kept", at)
        person = Simulated(demo_farm.load(), skill, "us", dice)
        answers = person.answers(json.loads(asked.payload))
        self.now += timedelta(seconds=20)
        assessment.take(self.house, self.hire, asked, asked.token, answers, self.now)
        return asked

    def until_end(self, skill: float = 1.0) -> None:
        for _ in range(30):
            if self.place().kind != "question":
                return
            self.say(skill)

    def row(self) -> Any:
        with self.house.db.read() as connection:
            return assessments.get(connection, self.id)

    def attempt_after(self) -> int:
        with self.house.db.read() as connection:
            return assessment_release.past_of(
                connection, self.hire.person_id, KEY
            ).attempt

    def again(self) -> Any:
        with self.house.db.read() as connection:
            assert log_check.check(connection).flaws == ()
            return replayed.replay(connection, self.row())


@pytest.fixture
def going(house, owner, join) -> Going:
    stock.keep_coefficients(house)
    return Going(house, owner, join("Hedda Ames").viewer)


@pytest.fixture
def change_bank(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Raise the version of some families, and drop some from content."""

    def _change(keys: Any, dropped: Any) -> None:
        bank = {
            key: one.model_copy(update={"version": one.version + 1})
            if key in keys
            else one
            for key, one in families.known().items()
            if key not in dropped
        }
        monkeypatch.setattr(families, "known", lambda: bank)
        for other in (making, stock):
            monkeypatch.setattr(other, "known", families.known)

    return _change


@pytest.fixture
def change_rules(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Another blueprint, a bar nobody passes, and a model that trusts nothing."""

    def _change() -> None:
        was = blueprints.load(KEY)
        first, second, *_ = was.weights
        weights = dict(was.weights)
        weights[first] += weights.pop(second)
        tasks = tuple(one for one in was.tasks if one.topic != second)
        other = was.model_copy(
            update={"weights": weights, "tasks": tasks, "concepts": was.concepts[::-1]}
        )
        monkeypatch.setattr(blueprints, "load", lambda _key: other)
        monkeypatch.setattr(blueprints, "known", lambda: {KEY: other})
        monkeypatch.setattr(blueprints, "digest", blueprints.digest.__wrapped__)
        bar, model = measures.bar(), competence.load()
        high = replace(bar, last_evidence=99.0, false_pass=1e-9)
        monkeypatch.setattr(measures, "bar", lambda: high)
        monkeypatch.setattr(measures, "gate", lambda: measures.Gate(3, 2))
        deaf = replace(model, part_correlation=1.0, difficulty_sd=3.0)
        monkeypatch.setattr(competence, "load", lambda: deaf)

    return _change


def test_it_ends_by_the_bar_gate_weights_and_model_of_its_release(
    house, going, change_rules
):
    plain = going.row()
    with going.house.db.read() as connection:
        state = _state(connection, plain)
    weights, bar = dict(state.rules.blueprint.weights), state.bar
    for _ in range(5):
        going.say()
    change_rules()
    assert measures.bar().last_evidence == 99.0
    assert going.place().of == 10  # the gate is as long as it was
    going.until_end()
    assert going.place().kind == "ended"
    found = going.again()
    assert found.same
    # right answers pass after the fewest scenarios by the old bar, Wald's ln 45
    assert (found.ruled.outcome, found.ruled.scenarios) == ("pass", 8)
    assert found.terms["bar"]["last_evidence"] == bar.last_evidence == 1.5
    assert found.terms["gate"] == {"questions": 10, "fresh": 6}
    slots = [one.step.slot for one in found.steps if one.step.stage == "scenario"]
    for topic, weight in weights.items():  # within one of its share at any length
        assert abs(slots.count(topic) - weight * len(slots) / 16) <= 1
    # and it stands for the certificate by the plan it was released with
    with house.db.read() as connection:
        (one,) = certificate_standing.grounds(
            connection, house.catalog, [going.hire.person_id], going.now
        )[going.hire.person_id]
    assert one.assessment == "passed"
    assert set(one.blueprint.weights) > set(blueprints.load(KEY).weights)


def test_families_dropped_or_rewritten_since_are_not_drawn(going, change_bank):
    with going.house.db.read() as connection:
        state = _state(connection, going.row())
    slots = [*state.rules.topics.values(), *state.rules.concepts.values()]
    left = {min(keys) for keys in slots}  # of each slot one
    gone = sorted({key for keys in slots for key in keys} - left)
    change_bank(gone, dropped=gone[::2])
    for _ in range(14):
        going.say()
    with going.house.db.read() as connection:
        asked = assessments.with_families(connection, going.id)
    later = [family for step, family in asked if step.position > 1]
    assert len(later) == 14
    assert set(later) <= left


def test_a_question_asked_stays_as_it_was_though_its_family_is_gone(
    house, owner, going, change_bank
):
    before = assessment.asked(house, going.hire, going.id, 1, going.now)
    with house.db.read() as connection:
        ((_, family),) = assessments.with_families(connection, going.id)
    change_bank({family}, dropped={family})
    other = replace(going.hire, language="en", units="us")  # they read Spanish
    shown = assessment.asked(house, other, going.id, 1, going.now)
    assert (shown.question.title, shown.question.story) == (
        before.question.title,
        before.question.story,
    )
    assert shown.question.parts == before.question.parts
    going.say(0.0)
    (miss,) = assessment_lead.supervise(house, owner, going.id, going.now).misses
    assert miss.parts  # and it can still be talked over


def stuck(going, change_bank):
    """Answer one, then drop every family, then answer the one that waits."""
    going.say()
    with going.house.db.read() as connection:
        state = _state(connection, going.row())
    gone = {
        key
        for keys in (*state.rules.concepts.values(), *state.rules.topics.values())
        for key in keys
    }
    change_bank(gone, dropped=gone)
    going.say()


def test_with_nothing_left_to_ask_it_is_voided_and_counts_for_nothing(
    house, owner, going, change_bank
):
    stuck(going, change_bank)
    place = going.place()
    assert (place.kind, place.why) == ("voided", NOTHING_LEFT)
    row = going.row()
    assert (row.state, row.void_reason) == ("cancelled", NOTHING_LEFT)
    assert going.attempt_after() == 1
    found = assessment_lead.supervise(house, owner, going.id, going.now)
    assert found.void_reason == NOTHING_LEFT
    (listed,) = assessment_lead.lists(house, owner, going.now).over
    assert listed.outcome == "voided"
    told = record.record(house, owner, going.id)
    assert told.void_reason == NOTHING_LEFT
    assert "assessment-voided" in [one.kind for one in told.log]
    assert going.again().decisions == ()
    with pytest.raises(Conflict, match="assessment_over"):
        assessment_release.cancel(house, owner, going.id, going.now)


def test_one_of_older_rules_that_are_gone_makes_way_for_a_new_one(
    house, owner, going, change_rules
):
    """Released before rules were kept: nothing of them is left once content changes."""
    going.say()
    with house.db.write() as connection:
        assessments.change(connection, going.id, rules=None)
    assert going.place().kind == "question"  # content still is as it was
    change_rules()
    fresh = assessment_release.release(
        house, owner, going.hire.person_id, KEY, "week", going.now
    )
    assert going.row().void_reason == RULES_GONE
    with house.db.read() as connection:
        row = assessments.get(connection, fresh)
    assert row.attempt == 1
    assert row.rules is not None


def test_breaking_off_one_that_cannot_go_on_counts_for_nothing(
    house, owner, going, change_rules
):
    with house.db.write() as connection:
        assessments.change(connection, going.id, rules=None)
    change_rules()
    assessment_release.cancel(house, owner, going.id, going.now)
    assert going.row().void_reason == RULES_GONE
    assert going.attempt_after() == 1


def _state(connection: Any, row: Any) -> Any:
    return assessment_state.kept(connection, row)
