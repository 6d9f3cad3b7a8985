"""Practice: a scenario is issued, asked, answered once per part, and explained."""

import json
from dataclasses import replace
from datetime import datetime
from secrets import randbelow
from typing import Any

from academy.catalog import coefficients
from academy.catalog import families as families_content
from academy.catalog import topics as topics_content
from academy.errors import Conflict, NotFound
from academy.language import Reader, gettext
from academy.records.connection import Connection
from academy.records.queries import answers as answer_rows
from academy.records.queries import assessments, scenarios
from academy.records.queries import coefficients as coefficient_rows
from academy.records.queries.scenarios import Issue, Scenario
from academy.service import answering, as_asked, explaining, lab_own, shown_facts
from academy.service.answering import Answers
from academy.service.beliefs import refresh
from academy.service.farm import today
from academy.service.house import House
from academy.service.making import family, make
from academy.service.viewer import Viewer
from academy.service.views import Explanation, FamilyRow, Question, TopicRow

ASSESSMENT = "assessment"
_SEEDS = 2**53
_FRESH_TRIES = 20


def reader_of(viewer: Viewer) -> Reader:
    """Language and units of the person who looks."""
    return Reader(
        "es" if viewer.language == "es" else "en",
        "metric" if viewer.units == "metric" else "us",
    )


def topics(reader: Reader) -> tuple[TopicRow, ...]:
    """Every topic with the families that ask it."""
    rows: dict[str, list[FamilyRow]] = {key: [] for key in topics_content.load()}
    for key, content in families_content.practised().items():
        kinds = tuple(dict.fromkeys(part.kind for part in content.parts))
        asked = tuple(dict.fromkeys(part.topic for part in content.parts))
        title = content.title.for_language(reader.language)
        for topic_key in asked:
            rows[topic_key].append(FamilyRow(key, title, kinds, asked))
    return tuple(
        TopicRow(key, topic.name.for_language(reader.language), tuple(rows[key]))
        for key, topic in topics_content.load().items()
    )


def sitting_of(house: House, viewer: Viewer, now: datetime) -> str:
    """People of one crew practising on one day of the farm sit together."""
    return f"{viewer.crew_id[:24]}/{today(house, now).isoformat()}"


def issue(
    house: House,
    viewer: Viewer,
    family_key: str,
    now: datetime,
    purpose: str = "practice",
) -> str:
    """Issue a scenario of a family; its id. ``purpose`` is practice or starting.

    It comes off the shelf; on an empty shelf it is made on the spot. Raises NotFound
    for an unknown family, Conflict when no unseen one could be made.
    """
    family(family_key)
    to = Issue(viewer.person_id, sitting_of(house, viewer, now), purpose, now)
    with house.db.write() as connection:
        ready = scenarios.consume_ready(connection, family_key, to)
    return ready.id if ready is not None else _issue_made(house, family_key, to)


def _issue_made(house: House, family_key: str, to: Issue) -> str:
    for _ in range(_FRESH_TRIES):
        draft = make(family_key, randbelow(_SEEDS))
        known_set = coefficients.load(family(family_key).crop)
        with house.db.write() as connection:
            coefficient_rows.keep(connection, known_set.digest, known_set.body)
            if not scenarios.had(connection, draft.digest, to.person_id, to.sitting):
                return scenarios.issue_draft(connection, draft, to).id
    raise Conflict("no_fresh_scenario")


def _stored(
    house: House, viewer: Viewer, scenario_id: str
) -> tuple[Scenario, dict[str, Any]]:
    with house.db.read() as connection:
        found = scenarios.get(connection, scenario_id, viewer.person_id)
    if found is None:
        raise NotFound("no_such_scenario")
    return found, json.loads(found.payload)


def _practised(
    house: House, viewer: Viewer, scenario_id: str
) -> tuple[Scenario, dict[str, Any]]:
    """An own scenario, not of an assessment: those are answered in their place."""
    found, payload = _stored(house, viewer, scenario_id)
    if found.purpose == ASSESSMENT:
        raise NotFound("no_such_scenario")
    return found, payload


def question(house: House, viewer: Viewer, scenario_id: str) -> Question:
    """An own scenario as it is asked; raises NotFound for anybody else's."""
    found, payload = _practised(house, viewer, scenario_id)
    reader = reader_of(viewer)
    shown = answering.view(found, payload, reader)
    return replace(
        shown, rewritten=_rewritten(house, found, as_asked.STILL_OPEN, reader)
    )


def _rewritten(house: House, found: Scenario, words: str, reader: Reader) -> str:
    """The words when the family has changed since the scenario was made, else none."""
    with house.db.read() as connection:
        parts = scenarios.parts(connection, found.id)
    changed = as_asked.rewritten(found.family, parts[0].family_key)
    return gettext(words, reader.language) if changed else ""


def take_answers(
    house: House,
    viewer: Viewer,
    scenario_id: str,
    answers: Answers,
    now: datetime,
    client_key: str | None = None,
) -> None:
    """Mark and keep the answers, by the part's place from 1; each part counts once.

    A second answer to a part changes nothing. When this returns, the answers outlive
    the process. Raises NotFound, NotUnderstood, OutOfRange, and Conflict when the
    debrief of a lab is open already; then nothing is kept.
    """
    found, payload = _practised(house, viewer, scenario_id)
    marks = answering.marked(payload, answers)
    with house.db.write() as connection:
        lab_own.refuse_late(connection, found)
        parts = scenarios.parts(connection, found.id)
        touched = answering.keep(
            connection, viewer.person_id, parts, answers, marks, now, client_key
        )
        refresh(connection, house.catalog, viewer.person_id, touched)


def explanation(house: House, viewer: Viewer, scenario_id: str) -> Explanation:
    """An own answered scenario, explained.

    Raises NotFound, Conflict if unanswered, before its lab's debrief, and before its
    assessment has ended.
    """
    found, payload = _stored(house, viewer, scenario_id)
    if found.answered_at is None:
        raise Conflict("not_answered_yet")
    with house.db.read() as connection:
        lab_own.refuse_early(connection, found)
        _refuse_while_assessed(connection, found)
        parts = scenarios.parts(connection, found.id)
        kept = answer_rows.for_scenario(connection, found.id)
    content, reader = as_asked.family_of(found.family, payload), reader_of(viewer)
    answered = [kept[part.id] for part in parts]
    return Explanation(
        scenario_id=found.id,
        family=found.family,
        topic=parts[0].topic,
        title=content.title.for_language(reader.language),
        story=content.story.for_language(reader.language),
        facts=shown_facts.fact_rows(content, payload["facts"], reader),
        parts=explaining.parts(content, payload, answered, reader),
        rewritten=_rewritten(house, found, as_asked.REWRITTEN, reader),
    )


def _refuse_while_assessed(connection: Connection, found: Scenario) -> None:
    if found.purpose != ASSESSMENT:
        return
    going = assessments.of_scenario(connection, found.id)
    if going is None or going.state in ("released", "running"):
        raise Conflict("assessment_not_ended")
