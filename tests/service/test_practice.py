"""Practice: issued once, answered once, marked as stored, told in two languages."""

import json
from collections.abc import Iterator
from dataclasses import asdict, replace
from datetime import UTC, datetime, timedelta
from functools import partial

import pytest
from sqlalchemy import func, select
from sqlalchemy.exc import IntegrityError
from together import run_all

from academy import units
from academy.catalog import procedures
from academy.catalog.families import known, practised
from academy.competence.belief import chance, prior, unpack
from academy.errors import Conflict, NotFound, NotUnderstood, OutOfRange, WrongUnit
from academy.records.queries import beliefs as cache
from academy.records.queries import scenarios, stock
from academy.records.queries.scenarios import Issue
from academy.records.tables.answers import answer as answer_table
from academy.service import practice
from academy.service import stock as shelf
from academy.service.making import make
from academy.service.simulated import offered

NOW = datetime(2026, 9, 1, 15, 0, tzinfo=UTC)
FAMILIES = sorted(practised())
# each family on both databases: its best answers on one, its bad ones on the other
BEST_ON = [(("sqlite", "postgres")[n % 2], FAMILIES[n::4]) for n in range(4)]
BAD_ON = [(("postgres", "sqlite")[n % 2], FAMILIES[n::4]) for n in range(4)]
SET_UP, NUMBERS, STEPS = "dry-afternoon", "field-capacity", "safe-stop"
BUSHEL = 60 * 0.45359237  # kg, of soybean
POUNDS = {"barley": 48, "canola": 50}  # of a bushel, as the trade has it; others 60
DISPLAY = {
    # what is typed, rounded as the cab shows it
    "ground_speed": ("mph", 1),
    "reel_rate": ("rpm", 0),
    "reel_height": ("in", 1),
    "reel_lead": ("in", 1),
    "cut_height": ("in", 2),
}
LABELS = {
    "reel_speed": "rpm",
    "loss_mass": "bu/ac",
    "money_per_area": "$/ac",
    "area_rate": "ac/h",
    "time": "h",
    "share": "%",
    "length": "ft",
    "slope": "slope %",
}
CHOICES = ("one-change", "find-the-leak", "read-the-stubble", "go-or-stop")
CHOICES += ("find-the-cause",)


@pytest.fixture
def pia(house, join):
    """A hire with the coefficients kept."""
    shelf.keep_coefficients(house)
    return join("Pia Lund").viewer


def payload(house, viewer, scenario_id):
    with house.db.read() as connection:
        return json.loads(
            scenarios.get(connection, scenario_id, viewer.person_id).payload
        )


def digest_of(house, viewer, scenario_id):
    with house.db.read() as connection:
        return scenarios.get(connection, scenario_id, viewer.person_id).digest


def on_shelf(house):
    with house.db.read() as connection:
        return sum(stock.count_by_family(connection).values())


def kept_answers(house):
    with house.db.read() as connection:
        return connection.scalar(select(func.count()).select_from(answer_table))


def put_on_shelf(house, draft):
    with house.db.write() as connection:
        stock.add(connection, draft, NOW)


def right(part, own=BUSHEL):
    """The best answer to a stored part, as a person would type it.

    ``own`` is the mass of a bushel of its crop [kg].
    """
    if part["kind"] == "set-up":
        typed = {}
        for name, value in part["best"].items():
            label, decimals = DISPLAY[name]
            typed[name] = [round(units.from_si(value, label), decimals), label]
        return {"controls": typed}
    if part["kind"] == "direction":
        return {"way": part["key"]}
    if part["kind"] == "number":
        label = LABELS[part["kind_of"]]
        return {"value": [units.from_si(part["key"], label, own), label]}
    if part["kind"] == "inspection":
        return {"ticked": part["bad"]}
    if part["kind"] in CHOICES:
        return {"choice": part["key"]}
    steps = procedures.known()[part["procedure"]].steps
    return {"order": [step.key for step in steps]}


def wrong(part, facts):
    """A bad answer to a stored part: as found, the other way, tenfold, upside down."""
    if part["kind"] == "set-up":
        return {"controls": {name: facts[f"as_found.{name}"] for name in part["best"]}}
    if part["kind"] == "direction":
        return {"way": next(w for w in ("lower", "keep") if w != part["key"])}
    if part["kind"] == "inspection":
        return {"ticked": part["good"]}
    if part["kind"] in CHOICES:
        return {"choice": next(k for k in offered(part) if k != part["key"])}
    answer = right(part)
    if part["kind"] == "number":
        return {"value": [answer["value"][0] * 7, answer["value"][1]]}
    return {"order": answer["order"][::-1]}


def answered(house, viewer, family, well=True, now=NOW):
    """Issue a scenario and answer all of it; its id."""
    scenario_id = practice.issue(house, viewer, family, now)
    stored = payload(house, viewer, scenario_id)
    own = POUNDS.get(stored["facts"]["crop"], 60) * 0.45359237
    given = {
        place: right(part, own) if well else wrong(part, stored["facts"])
        for place, part in enumerate(stored["parts"], start=1)
    }
    practice.take_answers(house, viewer, scenario_id, given, now)
    return scenario_id


def texts(view: object) -> Iterator[str]:
    """Every text a person reads in a view."""
    if isinstance(view, str):
        yield view
    elif isinstance(view, dict):
        for name, inside in view.items():
            if name not in ("scenario_id", "family", "topic", "kind", "href", "svg"):
                yield from texts(inside)
    elif isinstance(view, list | tuple):
        for inside in view:
            yield from texts(inside)


def test_a_ready_scenario_is_issued_once(house, pia):
    shelf.add_one(house, STEPS)
    assert on_shelf(house) == 1
    first = practice.issue(house, pia, STEPS, NOW)
    assert on_shelf(house) == 0
    second = practice.issue(house, pia, STEPS, NOW)  # made on the spot
    assert digest_of(house, pia, first) != digest_of(house, pia, second)


def test_nobody_gets_the_same_facts_twice(house, pia):
    draft = make(NUMBERS, 5)
    put_on_shelf(house, draft)
    first = practice.issue(house, pia, NUMBERS, NOW)
    put_on_shelf(house, draft)
    later = practice.issue(house, pia, NUMBERS, NOW + timedelta(days=300))
    assert digest_of(house, pia, first) == draft.digest
    assert digest_of(house, pia, later) != draft.digest
    assert on_shelf(house) == 1


def test_two_in_one_sitting_never_get_the_same_facts(house, pia, join):
    draft = make(NUMBERS, 5)
    put_on_shelf(house, draft)
    practice.issue(house, pia, NUMBERS, NOW)
    put_on_shelf(house, draft)
    beside = replace(join("Hedda Ames").viewer, crew_id=pia.crew_id)
    today = practice.issue(house, beside, NUMBERS, NOW)
    tomorrow = practice.issue(house, beside, NUMBERS, NOW + timedelta(days=1))
    assert digest_of(house, beside, today) != draft.digest
    assert digest_of(house, beside, tomorrow) == draft.digest


@pytest.mark.parametrize(("who", "sitting"), [("same", "another"), ("other", "same")])
def test_the_tables_refuse_the_same_facts_again(house, pia, join, who, sitting):
    draft, other = make(NUMBERS, 5), join("Hedda Ames").viewer
    person = pia if who == "same" else other
    with house.db.write() as connection:
        scenarios.issue_draft(
            connection, draft, Issue(pia.person_id, "same", "practice", NOW)
        )
    with pytest.raises(IntegrityError), house.db.write() as connection:
        scenarios.issue_draft(
            connection, draft, Issue(person.person_id, sitting, "practice", NOW)
        )


def test_an_unknown_family_is_not_there(house, pia):
    with pytest.raises(NotFound, match="no_such_family"):
        practice.issue(house, pia, "no-such", NOW)


def test_when_nothing_fresh_can_be_made_it_says_so(house, pia, monkeypatch):
    draft = make(NUMBERS, 5)
    monkeypatch.setattr(practice, "make", lambda *_: draft)
    practice.issue(house, pia, NUMBERS, NOW)
    with pytest.raises(Conflict, match="no_fresh_scenario"):
        practice.issue(house, pia, NUMBERS, NOW)


@pytest.mark.parametrize(("database", "keys"), BEST_ON, indirect=["database"])
def test_the_best_answers_score_full_in_every_family(house, pia, keys):
    run_all(keys, [partial(_best_answers, house, pia, key) for key in keys])


def _best_answers(house, viewer, family):
    scenario_id = answered(house, viewer, family)
    told = both_languages_say_everything_in_their_own_words(house, viewer, scenario_id)
    assert [part.score for part in told.parts] == [1.0] * len(known()[family].parts)
    assert not any(part.critical_miss for part in told.parts)
    assert practice.question(house, viewer, scenario_id).answered


@pytest.mark.parametrize(("database", "keys"), BAD_ON, indirect=["database"])
def test_bad_answers_score_nothing_in_every_family(house, pia, keys):
    run_all(keys, [partial(_bad_answers, house, pia, key) for key in keys])


def _bad_answers(house, viewer, family):
    scenario_id = answered(house, viewer, family, well=False)
    told = both_languages_say_everything_in_their_own_words(house, viewer, scenario_id)
    assert [part.score for part in told.parts] == [0.0] * len(known()[family].parts)


def both_languages_say_everything_in_their_own_words(house, pia, scenario_id):
    """The explanation in the person's own language."""
    said, told = {}, {}
    for language in ("en", "es"):
        reader = replace(pia, language=language)
        told[language] = practice.explanation(house, reader, scenario_id)
        question = practice.question(house, reader, scenario_id)
        said[language] = list(texts((asdict(question), asdict(told[language]))))
        assert not [text for text in said[language] if "%(" in text or "{" in text]
    assert len(said["en"]) == len(said["es"])
    sentences = [
        (one, other)
        for one, other in zip(said["en"], said["es"], strict=True)
        if one.count(" ") >= 3 and not one[0].isdigit()
    ]
    sources = [one for one, other in sentences if one == other]
    assert len(sentences) > 5
    # only titles of sources are the same in both languages
    own = told[pia.language]
    titles = {row.source for part in own.parts for row in part.how}
    assert set(sources) <= titles
    return own


def test_metric_readers_see_other_figures_for_the_same_facts(house, pia):
    scenario_id = practice.issue(house, pia, SET_UP, NOW)
    us, metric = (
        practice.question(house, replace(pia, units=units_), scenario_id)
        for units_ in ("us", "metric")
    )
    assert [row.label for row in us.facts] == [row.label for row in metric.facts]
    assert us.facts != metric.facts
    controls = {control.name: control.unit for control in metric.parts[0].controls}
    assert controls["ground_speed"] == "km/h"


def test_a_double_submit_counts_once(house, pia):
    scenario_id = practice.issue(house, pia, STEPS, NOW)
    (part,) = payload(house, pia, scenario_id)["parts"]
    good, bad = {1: right(part)}, {1: wrong(part, {})}
    practice.take_answers(house, pia, scenario_id, good, NOW, client_key="k1")
    with house.db.read() as connection:
        before = cache.get(connection, pia.person_id, "safe-stop")
    for again in (good, bad):
        practice.take_answers(house, pia, scenario_id, again, NOW, client_key="k1")
    with house.db.read() as connection:
        assert cache.get(connection, pia.person_id, "safe-stop") == before
    assert kept_answers(house) == 1
    (told,) = practice.explanation(house, pia, scenario_id).parts
    assert told.score == 1.0


def test_somebody_elses_scenario_is_not_there(house, pia, join):
    other = join("Hedda Ames").viewer
    scenario_id = answered(house, pia, STEPS)
    (part,) = payload(house, pia, scenario_id)["parts"]
    with pytest.raises(NotFound, match="no_such_scenario"):
        practice.question(house, other, scenario_id)
    with pytest.raises(NotFound, match="no_such_scenario"):
        practice.explanation(house, other, scenario_id)
    with pytest.raises(NotFound, match="no_such_scenario"):
        practice.take_answers(house, other, scenario_id, {1: right(part)}, NOW)


def test_an_unanswered_scenario_is_not_explained(house, pia):
    scenario_id = practice.issue(house, pia, STEPS, NOW)
    assert not practice.question(house, pia, scenario_id).answered
    with pytest.raises(Conflict, match="not_answered_yet"):
        practice.explanation(house, pia, scenario_id)


def spoilt_set_up(house, viewer, name, pair):
    scenario_id = practice.issue(house, viewer, SET_UP, NOW)
    parts = payload(house, viewer, scenario_id)["parts"]
    given = {place: right(part) for place, part in enumerate(parts, start=1)}
    given[1]["controls"][name] = pair
    practice.take_answers(house, viewer, scenario_id, given, NOW)
    return len(given)


@pytest.mark.parametrize(
    ("name", "pair", "refusal", "key"),
    [
        ("ground_speed", [9.0, "mph"], OutOfRange, "beyond_the_control"),
        ("reel_rate", [-5, "rpm"], OutOfRange, "beyond_the_control"),
        ("cut_height", [float("nan"), "in"], NotUnderstood, "not_a_number"),
        ("cut_height", [2.0, "mph"], WrongUnit, "wrong_dimension"),
        ("cut_height", [2.0, "cubits"], WrongUnit, "unknown_unit"),
    ],
)
def test_a_setting_that_cannot_be_is_refused_and_nothing_kept(
    house, pia, name, pair, refusal, key
):
    with pytest.raises(refusal, match=key):
        spoilt_set_up(house, pia, name, pair)
    assert kept_answers(house) == 0


def test_a_setting_just_beyond_the_end_as_shown_is_the_end(house, pia):
    # the reel stops at 60 rpm; 60.4 is nearer to that step than to any other
    parts = spoilt_set_up(house, pia, "reel_rate", [60.4, "rpm"])
    assert kept_answers(house) == parts


@pytest.mark.parametrize(
    ("family", "given", "refusal", "key"),
    [
        (NUMBERS, {}, NotUnderstood, "part_missing"),
        (NUMBERS, {2: {"value": [3, "mph"]}}, WrongUnit, "wrong_dimension"),
        (NUMBERS, {2: {"value": [float("inf"), "h"]}}, NotUnderstood, "not_a_number"),
        (STEPS, {1: {"order": ["halt", "halt"]}}, NotUnderstood, "steps_not_all_once"),
        (SET_UP, {1: {"controls": {}}}, NotUnderstood, "setting_missing"),
    ],
)
def test_half_an_answer_is_refused_and_nothing_kept(
    house, pia, family, given, refusal, key
):
    scenario_id = practice.issue(house, pia, family, NOW)
    if given:  # the other parts are in order
        parts = payload(house, pia, scenario_id)["parts"]
        whole = {place: right(part) for place, part in enumerate(parts, start=1)}
        given = whole | given
    with pytest.raises(refusal, match=key):
        practice.take_answers(house, pia, scenario_id, given, NOW)
    assert kept_answers(house) == 0


@pytest.mark.parametrize("way", [None, "sideways", "topic"])
def test_only_the_three_ways_can_be_chosen(house, pia, way):
    scenario_id = practice.issue(house, pia, "rough-ground", NOW)
    parts = payload(house, pia, scenario_id)["parts"]
    given = {place: right(part) for place, part in enumerate(parts, start=1)}
    given[2] = {"way": way}
    with pytest.raises(NotUnderstood, match="choose_one"):
        practice.take_answers(house, pia, scenario_id, given, NOW)
    assert kept_answers(house) == 0


def test_a_belief_rises_with_right_answers_and_falls_with_wrong(house, pia):
    chances = [chance(prior(house.catalog.model))]
    for turn, well in enumerate((True, True, True, False, False, False)):
        answered(house, pia, STEPS, well, NOW + timedelta(minutes=turn))
        with house.db.read() as connection:
            kept = cache.get(connection, pia.person_id, "safe-stop")
        chances.append(chance(unpack(kept.grid)))
    assert chances[:4] == sorted(chances[:4])
    assert chances[3:] == sorted(chances[3:], reverse=True)
    assert len(set(chances)) == 7


def test_a_refill_brings_every_family_to_its_number(house, pia):
    assert shelf.refill(house, 1) == len(known())
    assert shelf.refill(house, 1) == 0
    practice.issue(house, pia, STEPS, NOW)
    assert shelf.refill(house, 1) == 1


def test_every_family_stands_under_the_topics_it_asks(house, pia):
    del house
    rows = practice.topics(practice.reader_of(pia))
    listed = [(row.key, family.key) for row in rows for family in row.families]
    asked = [(t, f.key) for row in rows for f in row.families for t in f.topics]
    assert sorted(listed) == sorted(set(asked))
    assert sorted({key for _topic, key in listed}) == FAMILIES


@pytest.mark.parametrize(
    "key", [k for k, f in known().items() if {p.kind for p in f.parts} == {"number"}]
)
def test_every_number_is_explained_with_its_working(house, pia, key):
    scenario_id = practice.issue(house, pia, key, NOW)
    asked = practice.question(house, pia, scenario_id).parts
    answers = {part.index: {"value": [1.0, part.units[0][0]]} for part in asked}
    practice.take_answers(house, pia, scenario_id, answers, NOW)
    for part in practice.explanation(house, pia, scenario_id).parts:
        assert [line.count(" = ") for line in part.advice] == [1]
