"""A stored scenario as it is asked, its answers marked, and the marks kept.

Practice and assessments share this; what may be seen or answered when is theirs.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from academy.errors import NotUnderstood
from academy.grading.mark import Mark
from academy.grading.rules import RULE
from academy.language import Reader
from academy.records.connection import Connection
from academy.records.queries import answered
from academy.records.queries import answers as answer_rows
from academy.records.queries.answers import Given
from academy.records.queries.scenarios import Part, Scenario
from academy.service import as_asked, asking, marking, shown_facts
from academy.service.views import Question

Answers = Mapping[int, Mapping[str, Any]]
"""What was answered, by the part's place from 1."""


def view(found: Scenario, payload: Mapping[str, Any], reader: Reader) -> Question:
    """The scenario as it is asked, in the reader's words and units."""
    content, facts = as_asked.family_of(found.family, payload), payload["facts"]
    return Question(
        scenario_id=found.id,
        family=found.family,
        title=content.title.for_language(reader.language),
        story=content.story.for_language(reader.language),
        facts=shown_facts.fact_rows(content, facts, reader),
        parts=tuple(
            asking.part_view(index, asked, part, facts, reader)
            for index, (asked, part) in enumerate(
                zip(content.parts, payload["parts"], strict=True), start=1
            )
        ),
        answered=found.answered_at is not None,
        asks_sure=found.purpose in ("practice", "starting"),
    )


def marked(payload: Mapping[str, Any], answers: Answers) -> dict[int, Mark]:
    """The mark of each part; raises NotUnderstood, OutOfRange, WrongUnit."""
    places = range(1, len(payload["parts"]) + 1)
    if missing := [place for place in places if place not in answers]:
        raise NotUnderstood("part_missing", value=missing[0])
    return {
        place: marking.mark(
            payload["parts"][place - 1], payload["facts"], answers[place]
        )
        for place in places
    }


def keep(
    connection: Connection,
    person_id: str,
    parts: Sequence[Part],
    answers: Answers,
    marks: Mapping[int, Mark],
    now: datetime,
    client_key: str | None,
) -> set[str]:
    """Keep answers with their marks, each part once; topics where one was new.

    From here to the end of the write nobody else keeps answers of this person, so that
    the numbers of answers are also their order.
    """
    answered.hold(connection, person_id)
    given = [
        Given(
            part.id,
            dict(answers[part.position]),
            marks[part.position].score,
            _told(marks[part.position]),
        )
        for part in parts
    ]
    new = answer_rows.record_all(connection, given, now, client_key)
    return {part.topic for part in parts if part.id in new}


def _told(mark: Mark) -> dict[str, Any]:
    return {
        "rule": RULE,
        "reason": mark.reason,
        "critical_miss": mark.critical_miss,
        "detail": mark.detail,
    }
