"""What an ended assessment is judged again from: parts, answers, terms, as stored."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, exists, select

from academy.records.queries.assessments import Assessment
from academy.records.rows import every
from academy.records.tables.answers import answer
from academy.records.tables.assessments import assessment, assessment_step, decision
from academy.records.tables.certificates import certificate
from academy.records.tables.ledger import log_entry
from academy.records.tables.scenarios import part, scenario


@dataclass(frozen=True, slots=True)
class Asked:
    """One part of one step; ``answer``, ``score`` and ``marks`` are None unanswered."""

    step_id: str
    position: int
    kind: str
    topic: str
    par: float
    floor: float
    family: str
    payload: str
    engine_version: int
    coefficient_digest: str
    answer: Any
    score: float | None
    marks: Any
    answered_at: datetime | None


def asked(connection: Connection, assessment_id: str) -> dict[str, list[Asked]]:
    """The parts of every step of an assessment by the step's id, voided steps too."""
    joined = (
        assessment_step.join(scenario, assessment_step.c.scenario_id == scenario.c.id)
        .join(part, part.c.scenario_id == scenario.c.id)
        .outerjoin(answer, answer.c.part_id == part.c.id)
    )
    query = (
        select(
            assessment_step.c.id.label("step_id"),
            part.c.position,
            part.c.kind,
            part.c.topic,
            part.c.par,
            part.c.floor,
            scenario.c.family,
            scenario.c.payload,
            scenario.c.engine_version,
            scenario.c.coefficient_digest,
            answer.c.answer,
            answer.c.score,
            answer.c.marks,
            answer.c.answered_at,
        )
        .select_from(joined)
        .where(assessment_step.c.assessment_id == assessment_id)
        .order_by(assessment_step.c.position, part.c.position)
    )
    found: dict[str, list[Asked]] = {}
    for one in every(connection, query, Asked):
        found.setdefault(one.step_id, []).append(one)
    return found


def decided(connection: Connection) -> tuple[Assessment, ...]:
    """Every assessment that the rule decided."""
    ruled = exists().where(
        decision.c.assessment_id == assessment.c.id, decision.c.decided_by.is_(None)
    )
    query = select(assessment).where(ruled)
    order = (assessment.c.released_at, assessment.c.id)
    return every(connection, query.order_by(*order), Assessment)


def in_force(connection: Connection) -> dict[str, Assessment]:
    """The assessments behind certificates that were not taken back, by certificate."""
    query = (
        select(certificate.c.id.label("certificate_id"), assessment)
        .join(assessment, certificate.c.assessment_id == assessment.c.id)
        .where(certificate.c.revoked_at.is_(None))
        .order_by(certificate.c.issued_at, certificate.c.id)
    )
    found = {}
    for row in connection.execute(query):
        values = row._asdict()
        certificate_id = values.pop("certificate_id")
        found[certificate_id] = Assessment(**values)
    return found


def terms(connection: Connection, assessment_id: str) -> Mapping[str, Any] | None:
    """The terms that the rule decided by, as the log keeps them; None without."""
    query = select(log_entry.c.body).where(
        log_entry.c.chain == assessment_id, log_entry.c.kind == "decided"
    )
    for body in connection.scalars(query.order_by(log_entry.c.place)):
        if body.get("terms") is not None:
            return dict(body["terms"])
    return None
