"""Rows that the log tells of, as plain facts of ids, figures and digests.

What a row says is put together here once: when it is logged, and again when the log is
verified. Free text is told by its digest, so that no name ever gets into the log.
What is not there raises LookupError.
"""

from datetime import date
from functools import cache
from hashlib import sha256
from typing import Any

from sqlalchemy import Connection, Row, Select, Table, bindparam, select

from academy.records.tables.answers import answer
from academy.records.tables.assessments import (
    appeal,
    assessment,
    assessment_step,
    decision,
)
from academy.records.tables.certificates import certificate
from academy.records.tables.columns import canonical_text
from academy.records.tables.people import person_role
from academy.records.tables.scenarios import part, scenario
from academy.records.tables.standard import line_version, rating
from academy.records.tables.yard import (
    instruction,
    sign_off,
    sign_off_item,
    sign_off_take_over,
    withdrawn_instruction,
    yearly_instruction,
)


def digest_of(value: Any) -> str:
    """SHA-256, as hexadecimal text, of a plain value's canonical JSON."""
    return sha256(canonical_text(value).encode()).hexdigest()


def released(connection: Connection, assessment_id: str) -> dict[str, Any]:
    """Whom an assessment was released for, by whom, of which blueprint."""
    row = _one(connection, assessment, assessment_id)
    return {
        "assessment": row.id,
        "person": row.person_id,
        "certificate": row.certificate,
        "blueprint": row.blueprint_digest,
        "header": row.header_key,
        "attempt": row.attempt,
        "credit": row.credit,
        "line": row.line,
        "rules": row.rules,
        "by": row.released_by,
    }


def assessment_voided(connection: Connection, assessment_id: str) -> dict[str, Any]:
    """Why a whole assessment never counts, in a word."""
    row = _one(connection, assessment, assessment_id)
    return {"assessment": row.id, "reason": row.void_reason}


def asked(connection: Connection, step_id: str) -> dict[str, Any]:
    """A step, and a digest of its question: facts, keys, par, floor and weights."""
    row = _only(connection.execute(_ASKED, {"row_id": step_id}).first())
    parts = [
        [one.kind, one.topic, one.par, one.floor, one.weight_parts, one.weight]
        for one in connection.execute(_PARTS, {"of_scenario": row.scenario_id})
    ]
    return {
        "step": row.id,
        "scenario": row.scenario_id,
        "position": row.position,
        "stage": row.stage,
        "slot": row.slot,
        "question": digest_of([row.payload, parts, row.shown]),
    }


def answered(connection: Connection, step_id: str) -> dict[str, Any]:
    """A step's answers by their digest, and their scores, in the order of its parts."""
    row = _one(connection, assessment_step, step_id)
    kept = _answers(connection, row.scenario_id)
    return {
        "step": row.id,
        "scenario": row.scenario_id,
        "answers": digest_of([[one.position, one.answer] for one in kept]),
        "scores": [one.score for one in kept],
        "marks": digest_of([one.marks for one in kept]),
    }


def corrected(connection: Connection, step_id: str) -> dict[str, Any]:
    """Who corrected a miss face to face."""
    row = _one(connection, assessment_step, step_id)
    return {"step": row.id, "by": row.corrected_by}


def voided(connection: Connection, step_id: str) -> dict[str, Any]:
    """Who voided a step, and the reason by its digest."""
    row = _one(connection, assessment_step, step_id)
    return {"step": row.id, "by": row.voided_by, "reason": _text(row.void_reason)}


def decided(connection: Connection, decision_id: str) -> dict[str, Any]:
    """A decision on an assessment: outcome, evidence, and who overturned, if anyone."""
    row = _one(connection, decision, decision_id)
    return {
        "decision": row.id,
        "assessment": row.assessment_id,
        "outcome": row.outcome,
        "evidence": row.evidence,
        "scenarios": row.scenarios,
        "by": row.decided_by,
        "reason": _text(row.reason),
    }


def appealed(connection: Connection, appeal_id: str) -> dict[str, Any]:
    """An appeal as it was raised."""
    row = _one(connection, appeal, appeal_id)
    return {
        "appeal": row.id,
        "assessment": row.assessment_id,
        "by": row.raised_by,
        "reason": _text(row.reason),
    }


def appeal_answered(connection: Connection, appeal_id: str) -> dict[str, Any]:
    """What a second person answered to an appeal."""
    row = _one(connection, appeal, appeal_id)
    return {
        "appeal": row.id,
        "by": row.answered_by,
        "overturned": row.overturned,
        "answer": _text(row.answer),
    }


def issued(connection: Connection, certificate_id: str) -> dict[str, Any]:
    """A certificate as it was given out."""
    row = _one(connection, certificate, certificate_id)
    return {
        "certificate": row.id,
        "person": row.person_id,
        "key": row.certificate,
        "assessment": row.assessment_id,
        "sign_off": row.sign_off_id,
        "header": row.header_key,
        "by": row.issued_by,
        "valid_until": row.valid_until.isoformat(),
        "one_person": row.one_person,
        "model_line": row.model_line,
        "credential": digest_of(row.credential),
    }


def revoked(connection: Connection, certificate_id: str) -> dict[str, Any]:
    """Who took a certificate back, and the reason by its digest."""
    row = _one(connection, certificate, certificate_id)
    return {
        "certificate": row.id,
        "by": row.revoked_by,
        "reason": _text(row.revoke_reason),
    }


def sign_off_opened(connection: Connection, sign_off_id: str) -> dict[str, Any]:
    """A yard sign-off as it was opened."""
    row = _one(connection, sign_off, sign_off_id)
    table = sign_off_take_over
    first = select(table.c.from_id).where(
        table.c.sign_off_id == sign_off_id, table.c.place == 1
    )
    opened_by = connection.scalar(first) or row.lead_id
    return {
        "sign_off": row.id,
        "person": row.person_id,
        "list": row.list_key,
        "list_digest": row.list_digest,
        "header": row.header_key,
        "by": opened_by,
    }


def sign_off_taken_over(
    connection: Connection, sign_off_id: str, place: int
) -> dict[str, Any]:
    """Who took a yard sign-off over from whom."""
    query = select(sign_off_take_over).where(
        sign_off_take_over.c.sign_off_id == sign_off_id,
        sign_off_take_over.c.place == place,
    )
    row = _only(connection.execute(query).first())
    return {
        "sign_off": row.sign_off_id,
        "place": row.place,
        "from": row.from_id,
        "by": row.by_id,
    }


def sign_off_entered(
    connection: Connection, sign_off_id: str, item: str
) -> dict[str, Any]:
    """What was last entered for one item of a yard sign-off."""
    query = select(sign_off_item).where(
        sign_off_item.c.sign_off_id == sign_off_id, sign_off_item.c.item == item
    )
    row = _only(connection.execute(query).first())
    return {
        "sign_off": row.sign_off_id,
        "item": row.item,
        "tries": row.tries,
        "right": row.right,
        "value": row.value,
    }


def signed_off(connection: Connection, sign_off_id: str) -> dict[str, Any]:
    """A signed yard sign-off: outcome, and all its items by their digest."""
    row = _one(connection, sign_off, sign_off_id)
    items = connection.execute(
        select(sign_off_item)
        .where(sign_off_item.c.sign_off_id == sign_off_id)
        .order_by(sign_off_item.c.item)
    )
    told = [[one.item, one.tries, one.right, one.value] for one in items]
    return {
        "sign_off": row.id,
        "person": row.person_id,
        "list_digest": row.list_digest,
        "by": row.lead_id,
        "outcome": row.outcome,
        "items": digest_of(told),
    }


def instructed(
    connection: Connection, person_id: str, task: str, step: str
) -> dict[str, Any]:
    """One step of a record of instruction, also one that was withdrawn since."""
    query = select(instruction).where(
        instruction.c.person_id == person_id,
        instruction.c.task == task,
        instruction.c.step == step,
    )
    found = connection.execute(query).first()
    row = found or _withdrawn(connection, person_id, task, step)
    return {
        "person": row.person_id,
        "task": row.task,
        "step": row.step,
        "day": row.day.isoformat(),
        "by": row.by_id,
    }


def instructed_yearly(
    connection: Connection, person_id: str, item: str, day: str
) -> dict[str, Any]:
    """One item of the yearly instruction on a day, also one withdrawn since."""
    on = date.fromisoformat(day)
    query = select(yearly_instruction).where(
        yearly_instruction.c.person_id == person_id,
        yearly_instruction.c.item == item,
        yearly_instruction.c.day == on,
    )
    found = connection.execute(query).first()
    row = found or _withdrawn(connection, person_id, item, "yearly", on)
    return {
        "person": row.person_id,
        "item": item,
        "day": row.day.isoformat(),
        "by": row.by_id,
    }


def instruction_withdrawn(connection: Connection, line_id: str) -> dict[str, Any]:
    """A line of instruction that was withdrawn, and the reason by its digest."""
    row = _one(connection, withdrawn_instruction, line_id)
    return {
        "line": row.id,
        "person": row.person_id,
        "task": row.task,
        "step": row.step,
        "day": row.day.isoformat(),
        "entered_by": row.by_id,
        "by": row.withdrawn_by,
        "reason": _text(row.reason),
    }


def roles(connection: Connection, person_id: str) -> dict[str, Any]:
    """The roles a person has now."""
    query = select(person_role.c.role).where(person_role.c.person_id == person_id)
    return {"person": person_id, "roles": sorted(connection.scalars(query))}


def people_with_roles(connection: Connection) -> list[str]:
    """Everybody who has a role, by id."""
    query = select(person_role.c.person_id).distinct()
    return list(connection.scalars(query.order_by(person_role.c.person_id)))


def rated(connection: Connection, rater_id: str, family: str) -> dict[str, Any]:
    """What a rater expects of a just-qualified person in a family."""
    query = select(rating).where(
        rating.c.rater_id == rater_id, rating.c.family == family
    )
    row = _only(connection.execute(query).first())
    return {"by": row.rater_id, "family": row.family, "expected": row.expected}


def line_set(connection: Connection, version: int) -> dict[str, Any]:
    """A version of the line."""
    query = select(line_version).where(line_version.c.version == version)
    row = _only(connection.execute(query).first())
    return {
        "line": row.version,
        "by": row.made_by,
        "raters": row.raters,
        "standard_error": row.standard_error,
        "body": digest_of(row.body),
    }


@cache
def _by_id(table: Table) -> Select[Any]:
    return select(table).where(table.c.id == bindparam("row_id"))


_ASKED = (
    select(assessment_step, scenario.c.payload)
    .join(scenario, assessment_step.c.scenario_id == scenario.c.id)
    .where(assessment_step.c.id == bindparam("row_id"))
)
_PARTS = (
    select(part)
    .where(part.c.scenario_id == bindparam("of_scenario"))
    .order_by(part.c.position)
)
_ANSWERS = (
    select(part.c.position, answer.c.answer, answer.c.score, answer.c.marks)
    .select_from(answer.join(part))
    .where(part.c.scenario_id == bindparam("of_scenario"))
    .order_by(part.c.position)
)


def _one(connection: Connection, table: Table, row_id: str) -> Row[Any]:
    return _only(connection.execute(_by_id(table), {"row_id": row_id}).first())


def _only(row: Row[Any] | None) -> Row[Any]:
    if row is None:
        raise LookupError("no such row")
    return row


def _withdrawn(
    connection: Connection,
    person_id: str,
    task: str,
    step: str,
    day: date | None = None,
) -> Row[Any]:
    """The line that was withdrawn last."""
    table = withdrawn_instruction
    query = select(table).where(
        table.c.person_id == person_id, table.c.task == task, table.c.step == step
    )
    if day is not None:
        query = query.where(table.c.day == day)
    newest = query.order_by(table.c.withdrawn_at.desc(), table.c.id).limit(1)
    return _only(connection.execute(newest).first())


def _answers(connection: Connection, scenario_id: str) -> list[Row[Any]]:
    return list(connection.execute(_ANSWERS, {"of_scenario": scenario_id}))


def _text(told: str | None) -> str | None:
    return None if told is None else digest_of(told)


def chain_of(connection: Connection, body: dict[str, Any]) -> str:
    """The assessment that an entry's body belongs to; it is the name of its chain."""
    if "assessment" in body:
        return str(body["assessment"])
    if "step" in body:
        return str(_one(connection, assessment_step, body["step"]).assessment_id)
    return str(_one(connection, appeal, body["appeal"]).assessment_id)
