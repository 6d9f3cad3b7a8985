"""Assessments: what was released, every step asked, and what was decided.

Steps are never deleted: a voided one stays with its reason. The newest decision holds.
"""

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, bindparam, insert, select, update

from academy.records.queries.answers import Answer
from academy.records.queries.scenarios import Part, Scenario
from academy.records.rows import every, first, new_id
from academy.records.tables.answers import answer
from academy.records.tables.assessments import assessment, assessment_step, decision
from academy.records.tables.scenarios import part, scenario


@dataclass(frozen=True, slots=True)
class Assessment:
    """One assessment; ``state`` is released, running, ended or cancelled.

    ``rules`` is the digest of those it was released with; ``void_reason`` a word for
    why a cancelled one never counts.
    """

    id: str
    person_id: str
    certificate: str
    blueprint_digest: str
    header_key: str
    attempt: int
    credit: float
    line: int | None
    released_by: str
    released_at: datetime
    open_until: datetime
    device_id: str | None
    state: str
    started_at: datetime | None
    ended_at: datetime | None
    rules: str | None
    void_reason: str | None


@dataclass(frozen=True, slots=True)
class Step:
    """One question of an assessment; positions count from 1, in the order of asking.

    How it was shown stands apart: ``shown``.
    """

    id: str
    assessment_id: str
    position: int
    stage: str
    slot: str
    scenario_id: str
    token_hash: str | None
    asked_at: datetime
    answered_at: datetime | None
    corrected_at: datetime | None
    corrected_by: str | None
    voided_at: datetime | None
    voided_by: str | None
    void_reason: str | None


@dataclass(frozen=True, slots=True)
class Decision:
    """What was decided; ``decided_by`` is None for what the rule decided."""

    id: str
    assessment_id: str
    outcome: str
    evidence: float
    scenarios: int
    decided_by: str | None
    decided_at: datetime
    reason: str | None


_STEP = [assessment_step.c[name] for name in Step.__slots__]
_OWN_STEP = assessment_step.c.assessment_id == bindparam("of")
_ONE = select(assessment).where(assessment.c.id == bindparam("of"))
_HELD = _ONE.with_for_update()
_STEPS = select(*_STEP).where(_OWN_STEP).order_by(assessment_step.c.position)
_WITH_FAMILIES = (
    select(*_STEP, scenario.c.family)
    .join(scenario, scenario.c.id == assessment_step.c.scenario_id)
    .where(_OWN_STEP)
    .order_by(assessment_step.c.position)
)
_PARTS = (
    select(part)
    .join(assessment_step, assessment_step.c.scenario_id == part.c.scenario_id)
    .where(_OWN_STEP)
    .order_by(part.c.position)
)
_ANSWERS = (
    select(answer)
    .join(part, answer.c.part_id == part.c.id)
    .join(assessment_step, assessment_step.c.scenario_id == part.c.scenario_id)
    .where(_OWN_STEP)
)


def add(connection: Connection, made: Assessment) -> None:
    """Keep a released assessment."""
    connection.execute(insert(assessment).values(asdict(made)))


def get(connection: Connection, assessment_id: str) -> Assessment | None:
    """One assessment."""
    return first(connection, _ONE, Assessment, {"of": assessment_id})


def held(connection: Connection, assessment_id: str) -> Assessment | None:
    """One assessment, which nobody else changes until this write is over."""
    return first(connection, _HELD, Assessment, {"of": assessment_id})


def of_person(connection: Connection, person_id: str) -> tuple[Assessment, ...]:
    """All assessments of a person, the newest first."""
    return of_people(connection, [person_id])


def of_people(connection: Connection, people: Iterable[str]) -> tuple[Assessment, ...]:
    """All assessments of some people, the newest first."""
    query = select(assessment).where(assessment.c.person_id.in_(sorted(people)))
    order = (assessment.c.released_at.desc(), assessment.c.id)
    return every(connection, query.order_by(*order), Assessment)


def released_by(connection: Connection, person_id: str) -> tuple[Assessment, ...]:
    """All assessments that this person released, the newest first."""
    query = select(assessment).where(assessment.c.released_by == person_id)
    order = (assessment.c.released_at.desc(), assessment.c.id)
    return every(connection, query.order_by(*order), Assessment)


def change(connection: Connection, assessment_id: str, **values: object) -> None:
    """Change state, device, window or moments of an assessment."""
    connection.execute(
        update(assessment).where(assessment.c.id == assessment_id).values(**values)
    )


def add_step(
    connection: Connection,
    *,
    step_id: str,
    assessment_id: str,
    position: int,
    stage: str,
    slot: str,
    scenario_id: str,
    shown: Any,
    token_hash: str,
    now: datetime,
) -> None:
    """Keep a step that is asked now."""
    values = {
        "id": step_id,
        "assessment_id": assessment_id,
        "position": position,
        "stage": stage,
        "slot": slot,
        "scenario_id": scenario_id,
        "shown": shown,
        "token_hash": token_hash,
        "asked_at": now,
    }
    connection.execute(insert(assessment_step), values)


def change_step(connection: Connection, step_id: str, **values: object) -> None:
    """Note that a step was answered, corrected or voided."""
    connection.execute(
        update(assessment_step).where(assessment_step.c.id == step_id).values(**values)
    )


def steps(connection: Connection, assessment_id: str) -> tuple[Step, ...]:
    """All steps of an assessment by position, also the voided ones."""
    return every(connection, _STEPS, Step, {"of": assessment_id})


def sent(
    connection: Connection, assessment_id: str, position: int
) -> tuple[Step, Any, Scenario] | None:
    """A step by its place, how it was shown, and its scenario."""
    own = [scenario.c[name].label(f"of_{name}") for name in Scenario.__slots__]
    query = (
        select(*_STEP, assessment_step.c.shown, *own)
        .join(scenario, scenario.c.id == assessment_step.c.scenario_id)
        .where(
            assessment_step.c.assessment_id == assessment_id,
            assessment_step.c.position == position,
        )
    )
    row = connection.execute(query).first()
    if row is None:
        return None
    told = row._mapping
    step = Step(**{name: told[name] for name in Step.__slots__})
    issued = Scenario(**{name: told[f"of_{name}"] for name in Scenario.__slots__})
    return step, told["shown"], issued


def shown(connection: Connection, step_id: str) -> Any:
    """The question of a step just as it was first shown."""
    query = select(assessment_step.c.shown).where(assessment_step.c.id == step_id)
    return connection.scalar(query)


def with_families(
    connection: Connection, assessment_id: str
) -> tuple[tuple[Step, str], ...]:
    """All steps of an assessment by position, each with its scenario's family."""
    found = connection.execute(_WITH_FAMILIES, {"of": assessment_id})
    return tuple((Step(*row[:-1]), row[-1]) for row in found)


def parts(connection: Connection, assessment_id: str) -> tuple[Part, ...]:
    """All parts of an assessment's scenarios, those of a scenario by position."""
    return every(connection, _PARTS, Part, {"of": assessment_id})


def answers(connection: Connection, assessment_id: str) -> dict[str, Answer]:
    """All answers of an assessment, by the part's id."""
    found = every(connection, _ANSWERS, Answer, {"of": assessment_id})
    return {one.part_id: one for one in found}


def of_scenario(connection: Connection, scenario_id: str) -> Assessment | None:
    """The assessment that a scenario was asked in, if any."""
    query = (
        select(assessment)
        .join(assessment_step, assessment_step.c.assessment_id == assessment.c.id)
        .where(assessment_step.c.scenario_id == scenario_id)
    )
    return first(connection, query, Assessment)


def add_decision(
    connection: Connection,
    assessment_id: str,
    outcome: str,
    evidence: float,
    scenarios: int,
    now: datetime,
) -> str:
    """Keep what the rule decided; the decision's id."""
    decision_id = new_id()
    connection.execute(
        insert(decision).values(
            id=decision_id,
            assessment_id=assessment_id,
            outcome=outcome,
            evidence=evidence,
            scenarios=scenarios,
            decided_by=None,
            decided_at=now,
            reason=None,
        )
    )
    return decision_id


def decisions(
    connection: Connection, assessments: Iterable[str]
) -> dict[str, list[Decision]]:
    """The decisions on some assessments, each list the newest last.

    Of one moment the rule's comes before a person's.
    """
    query = select(decision).where(decision.c.assessment_id.in_(sorted(assessments)))
    found: dict[str, list[Decision]] = {}
    by_person = decision.c.decided_by.is_not(None)
    order = (decision.c.decided_at, by_person, decision.c.id)
    for one in every(connection, query.order_by(*order), Decision):
        found.setdefault(one.assessment_id, []).append(one)
    return found
