"""Appeals, and the decisions that people made in place of the rule's."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, insert, select, update

from academy.records.queries.assessments import Decision
from academy.records.rows import every, first, new_id
from academy.records.tables.assessments import appeal, decision
from academy.records.tables.certificates import certificate
from academy.records.tables.yard import sign_off, sign_off_take_over


@dataclass(frozen=True, slots=True)
class Appeal:
    """One appeal; what concerns the answer is None while it is open."""

    id: str
    assessment_id: str
    raised_by: str
    raised_at: datetime
    reason: str
    answered_by: str | None
    answered_at: datetime | None
    overturned: bool | None
    answer: str | None


def add(
    connection: Connection, assessment_id: str, by: str, reason: str, now: datetime
) -> str:
    """Keep an appeal; its id."""
    appeal_id = new_id()
    connection.execute(
        insert(appeal).values(
            id=appeal_id,
            assessment_id=assessment_id,
            raised_by=by,
            raised_at=now,
            reason=reason,
        )
    )
    return appeal_id


def answer(
    connection: Connection,
    appeal_id: str,
    *,
    by: str,
    overturned: bool,
    told: str,
    now: datetime,
) -> None:
    """Keep what was answered to an appeal."""
    connection.execute(
        update(appeal)
        .where(appeal.c.id == appeal_id)
        .values(answered_by=by, answered_at=now, overturned=overturned, answer=told)
    )


def of_assessment(connection: Connection, assessment_id: str) -> tuple[Appeal, ...]:
    """The appeals against an assessment, the oldest first."""
    query = select(appeal).where(appeal.c.assessment_id == assessment_id)
    return every(connection, query.order_by(appeal.c.raised_at, appeal.c.id), Appeal)


def newest(connection: Connection, most: int) -> tuple[Appeal, ...]:
    """Open appeals first, the oldest of them on top; then the newest answered ones."""
    waiting = select(appeal).where(appeal.c.answered_at.is_(None))
    done = select(appeal).where(appeal.c.answered_at.is_not(None))
    return (
        *every(connection, waiting.order_by(appeal.c.raised_at, appeal.c.id), Appeal),
        *every(
            connection, done.order_by(appeal.c.answered_at.desc()).limit(most), Appeal
        ),
    )


def get(connection: Connection, appeal_id: str) -> Appeal | None:
    """One appeal."""
    return first(connection, select(appeal).where(appeal.c.id == appeal_id), Appeal)


def decide(connection: Connection, made: Decision) -> None:
    """Keep a decision that a person made; the ones before it stay."""
    connection.execute(
        insert(decision).values(
            id=made.id,
            assessment_id=made.assessment_id,
            outcome=made.outcome,
            evidence=made.evidence,
            scenarios=made.scenarios,
            decided_by=made.decided_by,
            decided_at=made.decided_at,
            reason=made.reason,
        )
    )


def had_part_in(connection: Connection, assessment_ids: Iterable[str]) -> set[str]:
    """Who issued the certificates of some assessments, saw the yard list, or signed."""
    query = (
        select(
            certificate.c.issued_by, sign_off.c.lead_id, sign_off_take_over.c.from_id
        )
        .join(sign_off, certificate.c.sign_off_id == sign_off.c.id)
        .outerjoin(
            sign_off_take_over, sign_off_take_over.c.sign_off_id == sign_off.c.id
        )
        .where(certificate.c.assessment_id.in_(sorted(assessment_ids)))
    )
    found = {who for row in connection.execute(query) for who in row}
    return found - {None}
