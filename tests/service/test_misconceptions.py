"""Mistaken thoughts: found in wrong answers of every kind, counted, and led back to."""

import json
from datetime import UTC, datetime, timedelta
from typing import get_args

import pytest

from academy.catalog import changes, families, faults, misconceptions, procedures
from academy.catalog.directions import WAYS
from academy.catalog.families import Kind
from academy.catalog.reading_grade import flesch_kincaid, inflesz
from academy.catalog.toml_files import keys, parse
from academy.errors import ContentError
from academy.records.queries import scenarios
from academy.scenarios.draw import draw
from academy.service import (
    card,
    check_thoughts,
    coming_back,
    next_practice,
    practice,
    readiness,
)
from academy.service import misconceptions as met_in
from academy.service.bench_choice import CONTROLS
from academy.service.misconceptions import Wrong, recurring

START = datetime(2026, 9, 1, 16, 0, tzinfo=UTC)


def test_every_graded_control_and_direction_has_its_thoughts() -> None:
    known = misconceptions.load()
    for name in CONTROLS:
        assert {f"settings.{name}.above", f"settings.{name}.below"} <= set(known)
    for setting in keys("directions"):
        assert {f"directions.{setting}.{way}" for way in WAYS} <= set(known)


def test_every_wrong_choice_has_a_thought_of_its_own_in_plain_words() -> None:
    told = {key: met_in.thought(key) for key in check_thoughts.wanted()}
    assert {"faults.belt_slack", "calls.fire.go", "leak.nowhere"} <= set(told)
    assert sum(key.startswith("faults.") for key in told) == len(faults.load())
    for language in ("en", "es"):
        texts = [twin.for_language(language) for twin in told.values() if twin]
        assert len(texts) == len(told)
        assert len(set(texts)) == len(texts)
    # graded as the bank is: Flesch and Kincaid's grade, the INFLESZ scale
    assert max(flesch_kincaid(twin.en) for twin in told.values() if twin) <= 8
    assert min(inflesz(twin.es) for twin in told.values() if twin) >= 55


def test_the_thought_is_that_of_the_option_one_took() -> None:
    wrong = {"reason": "wrong_choice", "detail": {}, "critical_miss": False}
    for kind in ("find-the-cause", "read-the-stubble"):
        part = {"kind": kind, "key": "belts_slow"}
        given = {"choice": "belt_slack"}
        assert met_in.met(part, {}, given, wrong) == ["faults.belt_slack"]
    call = {"kind": "go-or-stop", "situation": "fire", "key": "stop"}
    assert met_in.met(call, {}, {"choice": "go"}, wrong) == ["calls.fire.go"]
    way = {"kind": "direction", "setting": "divider", "key": "higher"}
    assert met_in.met(way, {}, {"way": "keep"}, wrong) == ["directions.divider.keep"]


def test_the_check_names_what_has_no_thought_or_another_s(monkeypatch) -> None:
    assert check_thoughts.problems() == []
    known = dict(misconceptions.load())
    del known["directions.divider.keep"]
    known["leak.header"] = known["leak.behind"]
    monkeypatch.setattr(misconceptions, "load", lambda: known)
    found = [(one.key, one.values["field"]) for one in check_thoughts.problems()]
    assert found[0] == ("thought_missing", "directions.divider.keep")
    shared = [field for key, field in found if key == "thought_shared"]
    assert shared == ["leak.behind"] * 2  # in both languages


def test_a_fault_without_a_thought_is_refused() -> None:
    told = "[faults.loose]\ncause = { en = 'a', es = 'b' }\n"
    told += "shows = { en = 'a', es = 'b' }\ncure = { en = 'a', es = 'b' }\n"
    told += "evidence = 'judgement'\nsource = 'judgement'\n"
    with pytest.raises(ContentError) as refused:
        parse(faults._File, told, "faults/tried.toml")
    assert "belief" in str(refused.value.values["field"])
    belief = "belief = { en = 'a', es = 'b' }\n"
    assert parse(faults._File, told + belief, "faults/tried.toml").faults["loose"]


def test_a_thought_that_content_knows_no_more_is_none() -> None:
    for key in ("settings.beak.above", "changes.none", "slips.reel_speed.99"):
        assert met_in.thought(key) is None


def test_a_single_change_tells_the_belief_of_its_own_file() -> None:
    for key, change in changes.load().items():
        assert met_in.thought(f"changes.{key}") == change.belief


def test_a_right_answer_has_no_thought_behind_it() -> None:
    assert met_in.met({"kind": "direction"}, {}, {}, {"reason": "full"}) == []


def test_the_control_farthest_from_the_best_gives_the_thought() -> None:
    facts = draw("standing-soybean", families.known()["standing-soybean"], 5, 0)
    controls = ["ground_speed", "reel_rate"]
    best = {"ground_speed": 1.5, "reel_rate": 3.0}  # m/s, rad/s: 28.6 rpm
    answer = {"controls": {"ground_speed": [1.5, "m/s"], "reel_rate": [60, "rpm"]}}
    part = {"kind": "set-up", "controls": controls, "key": best}
    marks = {"reason": "partly", "detail": {}, "critical_miss": False}
    assert met_in.met(part, facts, answer, marks) == ["settings.reel_rate.above"]
    near = {"controls": {"ground_speed": [1.5, "m/s"], "reel_rate": [29, "rpm"]}}
    assert met_in.met(part, facts, near, marks) == []


def test_only_what_came_twice_comes_back_most_often_first() -> None:
    given = [
        Wrong("reel", ("a", "b")),
        Wrong("knife", ("a",)),
        Wrong("reel", ("b",)),
        Wrong("reel", ("a",)),
        Wrong("pace", ("c",)),
    ]
    back = recurring(given)
    assert [(one.key, one.times, one.topic) for one in back] == [
        ("a", 3, "reel"),
        ("b", 2, "reel"),
    ]


def _wrong(part):
    """A wrong answer: the other call, ways that are not the key, steps upside down."""
    if part["kind"] == "go-or-stop":
        return {"choice": {"go": "stop", "stop": "go"}[part["key"]]}
    if part["kind"] == "direction":
        return {"way": next(way for way in WAYS if way != part["key"])}
    if part["kind"] == "inspection":
        return {"ticked": list(part["good"])}
    return {"order": [step.key for step in reversed(_steps(part))]}


def _steps(part):
    return procedures.known()[part["procedure"]].steps


def _wrongly(house, looking, family, sure=True):
    """Answer every part of a scenario wrongly."""
    scenario = practice.issue(house, looking, family, START)
    with house.db.read() as connection:
        kept = scenarios.get(connection, scenario, looking.person_id)
    told = {
        place: {**_wrong(part), "sure": sure}
        for place, part in enumerate(json.loads(kept.payload)["parts"], start=1)
    }
    practice.take_answers(house, looking, scenario, told, START)


def test_what_one_was_sure_of_and_wrong_is_told_to_the_lead_alone(
    house, owner, join
) -> None:
    hire = join("Perpetua Voss").viewer
    _wrongly(house, hire, "people-near")
    own = card.card(house, hire, hire.person_id, START)
    led = card.card(house, owner, hire.person_id, START)
    assert own.sure_but_wrong == ()
    assert led.sure_but_wrong
    assert all(one.thought and one.day == START.date() for one in led.sure_but_wrong)


def test_the_board_names_whom_to_talk_to_whatever_the_word(house, owner, join) -> None:
    sure, unsure = join("Perpetua Voss").viewer, join("Ansel Fenwick").viewer
    _wrongly(house, sure, "people-near")
    _wrongly(house, unsure, "people-near", sure=False)
    rows = readiness.board(house, owner, START).people
    talk = {row.person_id: row.talk for row in rows}
    assert (talk[sure.person_id], talk[unsure.person_id]) == (True, False)


def test_a_thought_that_comes_back_is_shown_and_practised(house, join) -> None:
    hire = join("Perpetua Voss").viewer
    _wrongly(house, hire, "people-near", sure=False)
    _wrongly(house, hire, "people-near", sure=False)
    shown = card.card(house, hire, hire.person_id, START + timedelta(minutes=1))
    assert shown.coming_back
    assert shown.coming_back[0].times >= 2
    assert shown.sure_but_wrong == ()
    with house.db.read() as connection:
        back = coming_back.topics_of(connection, hire.person_id)
        found = next_practice.course(connection, house, hire, START)
    assert found.returning == back
    assert "safe-stop" in back


def test_every_kind_of_part_is_looked_into() -> None:
    assert set(get_args(Kind)) <= set(met_in._MET)
