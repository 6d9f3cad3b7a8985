"""Walk-rounds and orders of steps: each mistake is answered by a thought of its own."""

import json
import re
from dataclasses import asdict, replace
from datetime import UTC, datetime

import pytest

from academy import paths
from academy.catalog import misconceptions as general
from academy.catalog import procedures, walk_round
from academy.catalog.directions import WAYS
from academy.catalog.toml_files import parse
from academy.errors import ContentError
from academy.language import Reader, sentence_for
from academy.records.queries import scenarios
from academy.service import card, check_thoughts, coming_back, practice
from academy.service import misconceptions as met_in
from academy.service.misconceptions import Recurring, Wrong, recurring

NOW = datetime(2026, 9, 1, 16, 0, tzinfo=UTC)
FAMILY = "before-harvest-check"  # two walk-rounds first; an order last
LONGEST = 180  # of a thought, in characters: it stands in a list on a phone


def _own():
    """Key and twin of every thought of a finding or a procedure."""
    wanted = check_thoughts.wanted()
    keys = [key for key in wanted if key.split(".")[0] in ("findings", "orders")]
    return {key: met_in.thought(key) for key in keys}


def test_every_finding_and_every_procedure_has_its_own():
    keys = set(_own())
    assert len([key for key in keys if key.startswith("findings.")]) == 2 * len(
        walk_round.load()
    )
    # nothing about rephasing, or about somebody caught, was read in a source as a pair
    # that fails a person alone; all other procedures have such pairs
    mild = {"rephase-series", "caught-or-injected"}
    for key in procedures.known():
        assert f"orders.{key}.plain" in keys
        assert (f"orders.{key}.critical" in keys) == (key not in mild)


@pytest.mark.parametrize("language", ["en", "es"])
def test_a_thought_is_thought_and_then_answered_in_a_breath(language):
    for key, twin in _own().items():
        text = twin.for_language(language)
        assert 2 <= len(re.findall(r"[.!?](?:\s|$)", text)) <= 4, key
        assert len(text) <= LONGEST, key
        assert not re.search(r"\d", text), key  # figures stand in the sourced rule


def test_what_can_hurt_comes_first_and_faults_before_sound_things():
    part = {"kind": "inspection"}
    # by their own entries: couplers fail alone, hoses can hurt, tires cannot
    detail = {"missed": ["tires", "hoses", "couplers"], "false": ["register", "horn"]}
    marks = {"reason": "critical_finding", "detail": detail, "critical_miss": True}
    assert met_in.met(part, {}, {}, marks) == [
        "findings.couplers.passed",
        "findings.hoses.passed",
        "findings.tires.passed",
        "findings.horn.doubted",
        "findings.register.doubted",
    ]


def test_an_order_tells_the_shortcut_of_its_procedure():
    part = {"kind": "order", "procedure": "safe-stop"}
    marks = {"reason": "critical_pair", "detail": {}, "critical_miss": True}
    assert met_in.met(part, {}, {}, marks) == ["orders.safe-stop.critical"]
    marks = {"reason": "partly", "detail": {}, "critical_miss": False}
    assert met_in.met(part, {}, {}, marks) == ["orders.safe-stop.plain"]
    belief = procedures.known()["safe-stop"].belief
    assert met_in.thought("orders.safe-stop.critical") == belief.critical
    assert met_in.thought("orders.safe-stop.plain") == belief.plain


def test_what_content_knows_no_more_is_answered_in_general():
    known = general.load()
    for old, new in (
        ("findings.beak.passed", "ticking.missed"),
        ("findings.beak.doubted", "ticking.false"),
        ("orders.gone.plain", "order.plain"),
        ("orders.rephase-series.critical", "order.critical"),
    ):
        assert met_in.thought(old) == met_in.thought(new) == known[new]


def test_the_same_finding_twice_comes_back_by_itself():
    back = recurring(
        [
            Wrong("walk-round", ("findings.horn.passed",)),
            Wrong("walk-round", ("findings.horn.passed", "findings.hoses.doubted")),
        ]
    )
    assert [(one.key, one.times) for one in back] == [("findings.horn.passed", 2)]


def test_another_finding_each_time_comes_back_as_the_habit():
    back = recurring(
        [
            Wrong("knife", ("findings.register.passed", "findings.sections.passed")),
            Wrong("walk-round", ("findings.horn.passed", "leak.header")),
            Wrong("safe-stop", ("orders.safe-stop.plain",)),
            Wrong("attaching", ("orders.attach-header.plain",)),
            Wrong("attaching", ("orders.attach-header.critical",)),
        ]
    )
    # two answers passed something over; two orders had milder pairs turned
    assert [(one.key, one.times, one.topic) for one in back] == [
        ("order.plain", 2, "safe-stop"),
        ("ticking.missed", 2, "knife"),
    ]


def _wrong(part):
    if part["kind"] == "inspection":
        return {"ticked": list(part["good"])}
    if part["kind"] == "direction":
        return {"way": next(way for way in WAYS if way != part["key"])}
    if part["kind"] == "go-or-stop":
        return {"choice": {"go": "stop", "stop": "go"}[part["key"]]}
    steps = procedures.known()[part["procedure"]].steps
    return {"order": [step.key for step in reversed(steps)]}


def _all_wrong(house, looking):
    """A scenario as asked, and explained after every part was answered wrongly."""
    scenario = practice.issue(house, looking, FAMILY, NOW)
    asked = practice.question(house, looking, scenario)
    with house.db.read() as connection:
        kept = scenarios.get(connection, scenario, looking.person_id)
    parts = json.loads(kept.payload)["parts"]
    told = {place: _wrong(part) for place, part in enumerate(parts, start=1)}
    practice.take_answers(house, looking, scenario, told, NOW)
    return asked, practice.explanation(house, looking, scenario)


def test_three_are_told_at_once_and_none_before_the_answer(house, owner):
    for looking in (replace(owner, language="en"), replace(owner, language="es")):
        asked, explained = _all_wrong(house, looking)
        texts = {twin.for_language(looking.language) for twin in _own().values()}
        before = json.dumps(asdict(asked), ensure_ascii=False, default=str)
        assert not [text for text in texts if text in before]
        assert explained.parts[-1].kind == "order"
        assert len(set(explained.parts[-1].thoughts) & texts) == 1
        for part in explained.parts[:2]:
            shown = len(part.tables[0].rows)  # all of them were wrong
            assert len(part.thoughts) == 3
            assert len(part.more_thoughts) == shown - 3 > 0
            # each rule is told under the name of its finding, as the table has it
            names = sorted(name for name, *_ in part.tables[0].rows)
            assert sorted(line.split(": ")[0] for line in part.advice) == names
            assert {*part.thoughts, *part.more_thoughts} <= texts


def test_the_card_names_the_finding_that_comes_back(house, join, monkeypatch):
    monkeypatch.setattr(coming_back, "_SHOWN", 99)  # whatever else came back oftener
    hire = join("Perpetua Voss").viewer
    for _ in range(4):  # nine findings, six shown, all wrong: some come back
        _all_wrong(house, hire)
    own = {twin.for_language(hire.language) for twin in _own().values()}
    told = card.card(house, hire, hire.person_id, NOW).coming_back
    assert {one.thought for one in told} & own


def test_a_habit_is_told_as_no_single_topic_s():
    names = {"knife": "Knife and cutterbar"}
    own = Recurring("findings.register.passed", 2, "knife")
    assert coming_back._where(own, names, "en") == "Knife and cutterbar"
    for key, words in (("ticking.missed", "Walk-rounds"), ("order.plain", "Orders")):
        told = coming_back._where(Recurring(key, 2, "knife"), names, "en")
        assert told.startswith(words)


def test_a_finding_without_its_thought_is_refused_in_plain_words():
    file = paths.content() / "walk_round.toml"
    lost = re.sub(
        r"^belief\.passed = .*$",
        "",
        file.read_text("utf-8"),
        count=1,
        flags=re.MULTILINE,
    )
    with pytest.raises(ContentError) as refused:
        parse(walk_round._Findings, lost, "content/walk_round.toml")
    for language, words in (("en", "has no thought"), ("es", "no tiene el pens")):
        said = sentence_for(refused.value, Reader(language))
        assert "walk_round.toml" in said
        assert "hold_down_gap.belief.passed" in said
        assert words in said


def test_a_procedure_without_its_thought_is_refused_in_plain_words():
    known = procedures.known()["safe-stop"]
    for way in ("critical", "plain"):
        belief = known.belief.model_copy(update={way: None})
        broken = known.model_copy(update={"belief": belief})
        with pytest.raises(ContentError) as refused:
            procedures._check("safe-stop", broken)
        said = sentence_for(refused.value, Reader("en"))
        assert said.startswith(f"procedures/safe-stop.toml has no thought belief.{way}")


def test_two_findings_may_not_share_a_thought(monkeypatch):
    known = walk_round.load()
    shared = known["horn"].model_copy(update={"belief": known["phone"].belief})
    monkeypatch.setattr(walk_round, "load", lambda: known | {"horn": shared})
    found = {(one.key, one.values["field"]) for one in check_thoughts.problems()}
    assert found == {
        ("thought_shared", "findings.phone.passed"),
        ("thought_shared", "findings.phone.doubted"),
    }
