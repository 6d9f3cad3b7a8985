"""What the check of all content finds, and that ours has nothing to find."""

from typing import Any

import pytest

from academy.catalog import families, situations, walk_round
from academy.catalog.families import Family
from academy.errors import AcademyError
from academy.language import Reader, sentence_for
from academy.service import (
    check,
    check_certificates,
    check_gate,
    check_lessons,
    making,
)


def _changed(**changes: Any) -> Family:
    return families.load("dry-afternoon").model_copy(update=changes)


def _found(monkeypatch: pytest.MonkeyPatch, family: Family) -> list[AcademyError]:
    monkeypatch.setattr(families, "known", lambda: {"tried": family})
    monkeypatch.setattr(making, "known", families.known)
    for other in (
        check_lessons,
        check_gate,
        check_certificates,
    ):  # they name other families
        monkeypatch.setattr(other, "problems", list)
    return check.check()


def _keys(found: list[AcademyError]) -> list[tuple[str, object]]:
    return [(problem.key, problem.values.get("field")) for problem in found]


def test_our_content_is_in_order() -> None:
    assert check.check(1) == []  # .ci/run tries more draws of each family


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"crop": "moonbean"}, "crop"),
        ({"combine": "none-such"}, "combine"),
        ({"headers": ("flex40", "none-such")}, "headers"),
        ({"grounds": ("lunar",)}, "grounds"),
    ],
)
def test_a_family_that_names_what_is_not_there_is_told(
    monkeypatch: pytest.MonkeyPatch, change: dict[str, Any], field: str
) -> None:
    found = _found(monkeypatch, _changed(**change))
    assert _keys(found) == [("names_unknown", field)]
    sentence = sentence_for(found[0], Reader("es", "metric"))
    assert "questions/tried" in sentence


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"topic": "dancing"}, "parts #1.topic"),
        ({"controls": ("horn",)}, "parts #1.controls"),
        ({"controls": ()}, "parts #1.controls"),
        ({"kind": "direction", "setting": "horn"}, "parts #1.setting"),
        ({"kind": "number", "computable": "horn"}, "parts #1.computable"),
        ({"kind": "order", "procedure": "horn"}, "parts #1.procedure"),
    ],
)
def test_a_part_that_names_what_is_not_there_is_told(
    monkeypatch: pytest.MonkeyPatch, change: dict[str, Any], field: str
) -> None:
    part, *_ = families.load("dry-afternoon").parts
    family = _changed(parts=(part.model_copy(update=change),))
    assert _keys(_found(monkeypatch, family)) == [("names_unknown", field)]


def test_a_situation_with_an_unlisted_source_or_topic_is_told(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    pool = situations.load("fire")
    case = pool.cases[0].model_copy(update={"source": "hearsay"})
    changed = pool.model_copy(update={"topic": "dancing", "cases": (case,)})
    monkeypatch.setattr(situations, "load", lambda _key: changed)
    file = "situations/fire"
    found = [one for one in check.check(0) if one.values["file"] == file]
    assert _keys(found) == [("names_unknown", "topic"), ("names_unknown", "source")]


def test_a_finding_with_an_unlisted_source_is_told(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    horn = walk_round.load()["horn"].model_copy(update={"source": "hearsay"})
    changed = walk_round.load() | {"horn": horn}
    monkeypatch.setattr(walk_round, "load", lambda: changed)
    assert _keys(check.check(0)) == [("names_unknown", "horn.source")]


def test_every_problem_is_told_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    family = _changed(crop="moonbean", combine="none-such")
    assert len(_found(monkeypatch, family)) == 2


def test_a_family_with_few_sets_of_facts_is_told(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # 1 header, 1 ground, nothing drawn but 11 ground speeds: 11 sets
    content = families.load("dry-afternoon")
    few = {"ground_speed": content.as_found["ground_speed"]}
    family = _changed(
        headers=("flex40",),
        grounds=("smooth",),
        field={},
        as_found=few,
        givens={},
        parts=content.parts[:1],
    )
    (problem,) = _found(monkeypatch, family)
    assert (problem.key, problem.values["value"]) == ("too_few_facts", 11)


def test_a_family_that_gives_no_fair_question_is_told(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def refuse(key: str, seed: int) -> None:
        raise AcademyError("no_fair_draw", file=f"questions/{key}", seed=seed)

    monkeypatch.setattr(making, "make", refuse)
    found = _found(monkeypatch, _changed())
    assert [problem.key for problem in found] == ["no_fair_draw"]


def test_a_gate_that_names_another_family_is_told(monkeypatch) -> None:
    stray = families.load("gate-fire").model_copy(update={"gate": "floods"})
    shown = {**families.known(), "gate-fire": stray}
    monkeypatch.setattr(families, "known", lambda: shown)
    found = [one.values["value"] for one in check_gate.problems()]
    assert found == ["gate-fire"]  # of the concept it was named for
    unnamed = {**families.known(), "gate-flood": stray}
    monkeypatch.setattr(families, "known", lambda: unnamed)
    assert {one.values["value"] for one in check_gate.problems()} >= {"floods"}
