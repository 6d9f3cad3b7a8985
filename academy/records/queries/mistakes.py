"""A person's answers that were not fully right, newest first.

Those of an assessment come in when it has ended.
"""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, select

from academy.records.queries.counting import counts
from academy.records.rows import every
from academy.records.tables.answers import answer
from academy.records.tables.people import person
from academy.records.tables.scenarios import part, scenario


@dataclass(frozen=True, slots=True)
class Mistake:
    """One part that was not fully right, with what it was marked from."""

    payload: str
    position: int
    topic: str
    answer: Any
    marks: Any
    answered_at: datetime


@dataclass(frozen=True, slots=True)
class Said:
    """Who gave an answer that was not fully right, and what it was."""

    person_id: str
    answer: Any


def in_crew(
    connection: Connection, crew_id: str, topics: Collection[str]
) -> tuple[Said, ...]:
    """Answers in some topics of a crew's active people that fell short."""
    query = (
        select(scenario.c.person_id, answer.c.answer)
        .join(part, answer.c.part_id == part.c.id)
        .join(scenario, part.c.scenario_id == scenario.c.id)
        .join(person, scenario.c.person_id == person.c.id)
        .where(person.c.crew_id == crew_id, person.c.active)
        .where(answer.c.score < 1.0, part.c.topic.in_(sorted(topics)), counts())
    )
    return every(connection, query, Said)


def of_person(connection: Connection, person_id: str, most: int) -> tuple[Mistake, ...]:
    """The last ``most`` answers of a person that fell short, newest first."""
    query = (
        select(
            scenario.c.payload,
            part.c.position,
            part.c.topic,
            answer.c.answer,
            answer.c.marks,
            answer.c.answered_at,
        )
        .join(part, answer.c.part_id == part.c.id)
        .join(scenario, part.c.scenario_id == scenario.c.id)
        .where(scenario.c.person_id == person_id, answer.c.score < 1.0, counts())
        .order_by(answer.c.id.desc())
        .limit(most)
    )
    return every(connection, query, Mistake)
