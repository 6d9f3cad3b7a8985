"""Which rows must stand in the log, by kind of entry and by the names of the row."""

from collections.abc import Mapping
from typing import Any, TypeAlias

from sqlalchemy import Connection, Select, select

from academy.records.tables.assessments import (
    appeal,
    assessment,
    assessment_step,
    decision,
)
from academy.records.tables.certificates import certificate
from academy.records.tables.people import person_role
from academy.records.tables.standard import line_version, rating
from academy.records.tables.yard import (
    instruction,
    sign_off,
    sign_off_item,
    sign_off_take_over,
    withdrawn_instruction,
    yearly_instruction,
)

Names: TypeAlias = tuple[Any, ...]

_STEP = assessment_step.c
_ROWS: Mapping[str, Select[Any]] = {
    "released": select(assessment.c.id),
    "assessment-voided": select(assessment.c.id).where(
        assessment.c.void_reason.is_not(None)
    ),
    "asked": select(_STEP.id),
    "answered": select(_STEP.id).where(_STEP.answered_at.is_not(None)),
    "corrected": select(_STEP.id).where(_STEP.corrected_at.is_not(None)),
    "voided": select(_STEP.id).where(_STEP.voided_at.is_not(None)),
    "decided": select(decision.c.id),
    "appealed": select(appeal.c.id),
    "appeal-answered": select(appeal.c.id).where(appeal.c.answered_at.is_not(None)),
    "sign-off-opened": select(sign_off.c.id),
    "sign-off-item": select(sign_off_item.c.sign_off_id, sign_off_item.c.item),
    "sign-off-taken-over": select(
        sign_off_take_over.c.sign_off_id, sign_off_take_over.c.place
    ),
    "signed-off": select(sign_off.c.id).where(sign_off.c.signed_at.is_not(None)),
    "instructed": select(
        instruction.c.person_id, instruction.c.task, instruction.c.step
    ),
    "instructed-yearly": select(
        yearly_instruction.c.person_id,
        yearly_instruction.c.item,
        yearly_instruction.c.day,
    ),
    "instruction-withdrawn": select(withdrawn_instruction.c.id),
    "certificate-issued": select(certificate.c.id),
    "certificate-revoked": select(certificate.c.id).where(
        certificate.c.revoked_at.is_not(None)
    ),
    "role-changed": select(person_role.c.person_id).distinct(),
    "rated": select(rating.c.rater_id, rating.c.family),
    "line-set": select(line_version.c.version),
}


def due(connection: Connection) -> dict[str, list[Names]]:
    """The names of every row that must stand in the log, by kind; days as text."""
    return {
        kind: sorted(
            tuple(each if isinstance(each, str | int) else str(each) for each in row)
            for row in connection.execute(query)
        )
        for kind, query in _ROWS.items()
    }
