"""Certificates as they were given out and taken back, and what one is given for."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from datetime import date, datetime

from sqlalchemy import ColumnElement, Connection, Join, func, select, update

from academy.records.queries.assessments import Assessment
from academy.records.queries.sign_offs import SignOff
from academy.records.rows import every, first, put_once
from academy.records.tables.answers import answer
from academy.records.tables.assessments import (
    appeal,
    assessment,
    assessment_step,
)
from academy.records.tables.certificates import certificate
from academy.records.tables.scenarios import part, scenario
from academy.records.tables.yard import sign_off


@dataclass(frozen=True, slots=True)
class Certificate:
    """One certificate; ``credential`` is the signed document, byte by byte."""

    id: str
    person_id: str
    certificate: str
    assessment_id: str
    sign_off_id: str
    header_key: str
    issued_by: str
    issued_at: datetime
    valid_until: date
    language: str
    one_person: bool
    model_line: bool
    key_id: str
    credential: str
    revoked_at: datetime | None = None
    revoked_by: str | None = None
    revoke_reason: str | None = None


@dataclass(frozen=True, slots=True)
class Judged:
    """A part that an assessment was decided by, and what was scored in it.

    ``scenario_id`` tells which parts share a stem.
    """

    scenario_id: str
    par: float
    floor: float
    score: float


def add(connection: Connection, made: Certificate) -> bool:
    """Keep a certificate; False when its assessment has one in force already."""
    return put_once(connection, certificate, **asdict(made))


def get(connection: Connection, certificate_id: str) -> Certificate | None:
    """One certificate."""
    query = select(certificate).where(certificate.c.id == certificate_id)
    return first(connection, query, Certificate)


def in_force(connection: Connection, assessment_id: str) -> Certificate | None:
    """The certificate for an assessment that was not taken back."""
    query = select(certificate).where(
        certificate.c.assessment_id == assessment_id, certificate.c.revoked_at.is_(None)
    )
    return first(connection, query, Certificate)


def of_people(connection: Connection, people: Iterable[str]) -> tuple[Certificate, ...]:
    """All certificates of some people, the newest first."""
    query = select(certificate).where(certificate.c.person_id.in_(sorted(people)))
    order = (certificate.c.issued_at.desc(), certificate.c.id)
    return every(connection, query.order_by(*order), Certificate)


def revoke(
    connection: Connection, certificate_id: str, by: str, reason: str, now: datetime
) -> bool:
    """Take a certificate back; False when somebody did already."""
    changed = connection.execute(
        update(certificate)
        .where(certificate.c.id == certificate_id, certificate.c.revoked_at.is_(None))
        .values(revoked_at=now, revoked_by=by, revoke_reason=reason)
    )
    return changed.rowcount == 1


def revoked(connection: Connection) -> tuple[str, ...]:
    """Ids of all that were taken back, the oldest first."""
    query = select(certificate.c.id).where(certificate.c.revoked_at.is_not(None))
    order = (certificate.c.revoked_at, certificate.c.id)
    return tuple(connection.scalars(query.order_by(*order)))


def key_ids(connection: Connection) -> tuple[str, ...]:
    """Every public key that ever signed a certificate."""
    query = select(certificate.c.key_id).distinct().order_by(certificate.c.key_id)
    return tuple(connection.scalars(query))


def ended(connection: Connection, people: Iterable[str]) -> tuple[Assessment, ...]:
    """The assessments of some people that came to an end, the newest first."""
    query = select(assessment).where(
        assessment.c.person_id.in_(sorted(people)), assessment.c.state == "ended"
    )
    order = (assessment.c.ended_at.desc(), assessment.c.id)
    return every(connection, query.order_by(*order), Assessment)


def disputed(connection: Connection, assessments: Iterable[str]) -> frozenset[str]:
    """Those of some assessments whose appeal waits for its answer."""
    query = select(appeal.c.assessment_id).where(
        appeal.c.assessment_id.in_(sorted(assessments)), appeal.c.answered_at.is_(None)
    )
    return frozenset(connection.scalars(query))


def sign_offs(connection: Connection, people: Iterable[str]) -> tuple[SignOff, ...]:
    """The signed yard sign-offs of some people, the newest first."""
    query = select(sign_off).where(
        sign_off.c.person_id.in_(sorted(people)), sign_off.c.signed_at.is_not(None)
    )
    order = (sign_off.c.signed_at.desc(), sign_off.c.id)
    return every(connection, query.order_by(*order), SignOff)


def judged(connection: Connection, assessment_id: str) -> tuple[Judged, ...]:
    """What an assessment's scenarios were scored, in the order of asking."""
    query = (
        select(part.c.scenario_id, part.c.par, part.c.floor, answer.c.score)
        .select_from(_answered())
        .where(*_counts(assessment_id), assessment_step.c.stage == "scenario")
        .order_by(assessment_step.c.position, part.c.position)
    )
    return every(connection, query, Judged)


def unsettled(connection: Connection, assessment_id: str) -> bool:
    """Whether a mistake that can hurt or kill was not put right face to face yet."""
    query = (
        select(answer.c.marks)
        .select_from(_answered())
        .where(*_counts(assessment_id), assessment_step.c.corrected_at.is_(None))
    )
    return any(marks.get("critical_miss") for marks in connection.scalars(query))


def engine_version(connection: Connection, assessment_id: str) -> int:
    """The newest version of the engine that an assessment's scenarios were made by."""
    query = (
        select(func.max(scenario.c.engine_version))
        .join(assessment_step, assessment_step.c.scenario_id == scenario.c.id)
        .where(assessment_step.c.assessment_id == assessment_id)
    )
    return int(connection.scalar(query) or 0)


def _answered() -> Join:
    steps = assessment_step.join(
        part, part.c.scenario_id == assessment_step.c.scenario_id
    )
    return steps.join(answer, answer.c.part_id == part.c.id)


def _counts(assessment_id: str) -> tuple[ColumnElement[bool], ...]:
    return (
        assessment_step.c.assessment_id == assessment_id,
        assessment_step.c.voided_at.is_(None),
    )
