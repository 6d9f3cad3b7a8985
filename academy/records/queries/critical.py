"""Answers that fell short, with what an assessment did about them afterwards."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Select, select

from academy.records.rows import every
from academy.records.tables.answers import answer
from academy.records.tables.assessments import assessment, assessment_step
from academy.records.tables.scenarios import part, scenario


@dataclass(frozen=True, slots=True)
class Fell:
    """One answer below full marks; the last five fields are an assessment's."""

    person_id: str
    topic: str
    kind: str
    family: str
    position: int
    score: float
    marks: Any
    answered_at: datetime
    assessment_id: str | None
    stage: str | None
    state: str | None
    corrected_at: datetime | None
    voided_at: datetime | None


def fell_short(
    connection: Connection, people: Collection[str], since: datetime
) -> tuple[Fell, ...]:
    """Answers below full marks: of practice since a moment, of assessments all."""
    query = _answers(
        scenario.c.person_id,
        part.c.topic,
        part.c.kind,
        scenario.c.family,
        part.c.position,
        answer.c.score,
        answer.c.marks,
        answer.c.answered_at,
        assessment_step.c.assessment_id,
        assessment_step.c.stage,
        assessment.c.state,
        assessment_step.c.corrected_at,
        assessment_step.c.voided_at,
    )
    recent = (scenario.c.purpose == "assessment") | (answer.c.answered_at >= since)
    return every(
        connection,
        query.where(
            scenario.c.person_id.in_(sorted(people)), answer.c.score < 1.0, recent
        ).order_by(answer.c.id),
        Fell,
    )


def put_right(
    connection: Connection, people: Collection[str], since: datetime
) -> dict[tuple[str, str, int], datetime]:
    """When a person last got a part of a family all right, since a moment."""
    query = _answers(
        scenario.c.person_id,
        scenario.c.family,
        part.c.position,
        answer.c.answered_at,
    ).where(
        scenario.c.person_id.in_(sorted(people)),
        answer.c.score >= 1.0,
        answer.c.answered_at >= since,
    )
    return {
        (row.person_id, row.family, row.position): row.answered_at
        for row in connection.execute(query.order_by(answer.c.id))
    }


def _answers(*columns: Any) -> Select[Any]:
    joined = (
        answer.join(part)
        .join(scenario)
        .outerjoin(assessment_step, assessment_step.c.scenario_id == scenario.c.id)
        .outerjoin(assessment, assessment.c.id == assessment_step.c.assessment_id)
    )
    return select(*columns).select_from(joined)
