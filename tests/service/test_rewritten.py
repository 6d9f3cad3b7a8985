"""Scenarios of a family that was rewritten since: nothing breaks, nothing is lost."""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from academy.catalog import families
from academy.catalog.families import Family
from academy.records.queries import scenarios
from academy.service import (
    as_asked,
    lab,
    lab_debrief,
    lab_own,
    lab_paper,
    making,
    practice,
)
from academy.service import stock as shelf
from academy.service.lab import LabForm
from academy.service.lab_key import right_answers
from academy.service.practice import reader_of

NOW = datetime(2026, 9, 1, 16, 0, tzinfo=UTC)
LATER = NOW + timedelta(minutes=30)
FAMILY = "walk-round-safety"  # an inspection and three calls
LONGER = "people-near"  # four calls and an order


@pytest.fixture
def rewrite(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Give the family the parts of another one, turned round, and the next version."""

    def _rewrite() -> Family:
        now = families.load(FAMILY)
        parts = (*families.load(LONGER).parts[::-1], *now.parts[2:])
        changed = now.model_copy(update={"version": now.version + 1, "parts": parts})
        bank = {**families.known(), FAMILY: changed}
        monkeypatch.setattr(families, "known", lambda: bank)
        for other in (making, shelf):
            monkeypatch.setattr(other, "known", families.known)
        return changed

    return _rewrite


def answered(house: Any, who: Any, scenario_id: str) -> dict[str, Any]:
    with house.db.read() as connection:
        found = scenarios.get(connection, scenario_id, who.person_id)
    payload: dict[str, Any] = json.loads(found.payload)
    right = right_answers(payload)
    practice.take_answers(house, who, scenario_id, right, LATER)
    return payload


def test_an_answered_one_is_explained_as_it_was_asked(house, owner, rewrite):
    given = practice.issue(house, owner, FAMILY, NOW)
    answered(house, owner, given)
    before = practice.explanation(house, owner, given)
    assert before.rewritten == ""
    rewrite()
    after = practice.explanation(house, owner, given)
    assert "rewritten since" in after.rewritten
    assert "score stay" in after.rewritten
    kept = [(one.kind, one.score, one.best, one.yours) for one in before.parts]
    assert [(one.kind, one.score, one.best, one.yours) for one in after.parts] == kept
    assert after.parts[3].prompt == before.parts[3].prompt  # it still asks about roads
    assert after.parts[0].prompt == "Which of these must be put right?"


def test_an_open_one_can_still_be_answered_and_counts(house, owner, rewrite):
    given = practice.issue(house, owner, FAMILY, NOW)
    before = practice.question(house, owner, given)
    rewrite()
    after = practice.question(house, owner, given)
    assert "may still answer" in after.rewritten
    assert [one.options for one in after.parts] == [one.options for one in before.parts]
    answered(house, owner, given)
    explained = practice.explanation(house, owner, given)
    assert [one.score for one in explained.parts] == [1.0] * len(before.parts)


def test_the_sentence_is_told_in_spanish_too(house, join, rewrite):
    hire = replace(join("Ilse Quade").viewer, language="es")
    given = practice.issue(house, hire, FAMILY, NOW)
    rewrite()
    assert "contestarla" in practice.question(house, hire, given).rewritten


def test_a_lab_of_an_older_version_is_answered_debriefed_and_printed(
    house, join, rewrite
):
    teacher = join("Lino Prado", "instructor").viewer
    hire = join("Hedda Ames").viewer
    form = LabForm((FAMILY,), "same", people=(hire.person_id,))
    lab_id = lab.lay_out(house, teacher, form, NOW)
    rewrite()
    given = lab_own.open_field(house, hire, lab_id, 1, NOW)
    payload = answered(house, hire, given)
    lab.open_debrief(house, teacher, lab_id, LATER)
    told = lab_debrief.debrief(house, teacher, lab_id)
    assert len(told.fields[0].parts) == len(payload["parts"])
    printed = lab_paper.paper(house, teacher, lab_id, reader_of(teacher))
    assert len(printed.fields[0].keys) == len(payload["parts"])


def test_what_the_shelf_holds_of_an_older_version_is_thrown_away(house, rewrite):
    shelf.keep_coefficients(house)
    for family in (FAMILY, "safe-stop"):
        shelf.add_one(house, family)
    changed = rewrite()
    shelf.keep_coefficients(house)
    with house.db.read() as connection:
        left = shelf.stock.count_by_family(connection)
    assert left == {"safe-stop": 1}
    shelf.add_one(house, FAMILY)
    shelf.keep_coefficients(house)
    with house.db.read() as connection:
        assert shelf.stock.count_by_family(connection)[FAMILY] == 1
    assert as_asked.rewritten(FAMILY, f"{FAMILY}@{changed.version - 1}")
    assert not as_asked.rewritten(FAMILY, f"{FAMILY}@{changed.version}")
