"""Labs: laid out, given to a group, answered, debriefed."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Row, delete, func, insert, select, update

from academy.records.queries.stock import Draft, PartDraft
from academy.records.rows import every, first, new_id
from academy.records.tables.answers import answer
from academy.records.tables.labs import lab, lab_field, lab_member, lab_scenario
from academy.records.tables.people import person_name
from academy.records.tables.scenarios import part, scenario


@dataclass(frozen=True, slots=True)
class Lab:
    """One lab; ``fields`` is ``same`` (one for all) or ``each`` (one for each)."""

    id: str
    made_by: str
    fields: str
    made_at: datetime
    debriefed_at: datetime | None


@dataclass(frozen=True, slots=True)
class LabField:
    """One field of a lab: the family, and a scenario of it (the one for all)."""

    position: int
    draft: Draft


@dataclass(frozen=True, slots=True)
class Member:
    """One of the group; ``name`` is None once it was erased."""

    person_id: str
    name: str | None
    number: int


@dataclass(frozen=True, slots=True)
class Given:
    """A field that a member has opened; ``answered_at`` is None until answered."""

    position: int
    person_id: str
    scenario_id: str
    answered_at: datetime | None


@dataclass(frozen=True, slots=True)
class LabAnswer:
    """One answered part: of which field, by whom, with all it was marked from.

    ``place`` is the part's place in its scenario, from 1.
    """

    position: int
    person_id: str
    payload: str
    place: int
    topic: str
    answer: Any
    score: float
    marks: Any
    answered_at: datetime


_LABS = [lab.c[name] for name in Lab.__slots__]


def add(
    connection: Connection,
    *,
    made_by: str,
    fields: str,
    drafts: Sequence[Draft],
    people: Sequence[str],
    now: datetime,
) -> str:
    """A new lab; its people get their numbers in the given order. The id."""
    lab_id = new_id()
    made = {"id": lab_id, "made_by": made_by, "fields": fields, "made_at": now}
    connection.execute(insert(lab).values(made))
    rows = [
        {"lab_id": lab_id, "position": position, **asdict(draft)}
        for position, draft in enumerate(drafts, start=1)
    ]
    connection.execute(insert(lab_field), rows)
    group = [
        {"lab_id": lab_id, "person_id": person_id, "number": number}
        for number, person_id in enumerate(people, start=1)
    ]
    connection.execute(insert(lab_member), group)
    return lab_id


def get(connection: Connection, lab_id: str) -> Lab | None:
    """One lab."""
    return first(connection, select(*_LABS).where(lab.c.id == lab_id), Lab)


def made(connection: Connection, made_by: str | None = None) -> tuple[Lab, ...]:
    """The labs that one person laid out, or all, the newest first."""
    query = select(*_LABS).order_by(lab.c.made_at.desc(), lab.c.id)
    if made_by is not None:
        query = query.where(lab.c.made_by == made_by)
    return every(connection, query, Lab)


def of_person(connection: Connection, person_id: str) -> tuple[Lab, ...]:
    """The labs that a person belongs to, the newest first."""
    query = select(*_LABS).join(lab_member, lab_member.c.lab_id == lab.c.id)
    mine = query.where(lab_member.c.person_id == person_id)
    return every(connection, mine.order_by(lab.c.made_at.desc(), lab.c.id), Lab)


def of_scenario(connection: Connection, scenario_id: str) -> Lab | None:
    """The lab a scenario was issued for; None for every other."""
    query = select(*_LABS).join(lab_scenario, lab_scenario.c.lab_id == lab.c.id)
    own = query.where(lab_scenario.c.scenario_id == scenario_id)
    return first(connection, own, Lab)


def families(
    connection: Connection, lab_ids: Sequence[str]
) -> dict[str, tuple[str, ...]]:
    """The families of some labs, by lab, in their order."""
    query = select(lab_field.c.lab_id, lab_field.c.family)
    chosen = query.where(lab_field.c.lab_id.in_(lab_ids))
    found: dict[str, tuple[str, ...]] = {}
    for row in connection.execute(chosen.order_by(lab_field.c.position)):
        found[row.lab_id] = (*found.get(row.lab_id, ()), row.family)
    return found


def group_sizes(connection: Connection, lab_ids: Sequence[str]) -> dict[str, int]:
    """How many people some labs have."""
    own = lab_member.c.lab_id
    query = select(own, func.count()).where(own.in_(lab_ids)).group_by(own)
    return {row[0]: int(row[1]) for row in connection.execute(query)}


def fields(connection: Connection, lab_id: str) -> tuple[LabField, ...]:
    """The fields of a lab in their order."""
    query = select(lab_field).where(lab_field.c.lab_id == lab_id)
    rows = connection.execute(query.order_by(lab_field.c.position))
    return tuple(LabField(row.position, _draft(row)) for row in rows)


def members(connection: Connection, lab_id: str) -> tuple[Member, ...]:
    """The group by name; those whose name was erased come last."""
    name = person_name.c.name
    query = (
        select(lab_member.c.person_id, name, lab_member.c.number)
        .outerjoin(person_name, person_name.c.person_id == lab_member.c.person_id)
        .where(lab_member.c.lab_id == lab_id)
        .order_by(name.is_(None), name, lab_member.c.number)
    )
    return every(connection, query, Member)


def number_of(connection: Connection, lab_id: str, person_id: str) -> int | None:
    """A person's number in a lab; None for one who does not belong to it."""
    query = select(lab_member.c.number).where(
        lab_member.c.lab_id == lab_id, lab_member.c.person_id == person_id
    )
    return connection.scalar(query)


def given(
    connection: Connection, lab_id: str, person_id: str | None = None
) -> tuple[Given, ...]:
    """What was opened in a lab, by all or by one, field by field."""
    query = (
        select(
            lab_scenario.c.position,
            lab_scenario.c.person_id,
            lab_scenario.c.scenario_id,
            scenario.c.answered_at,
        )
        .join(scenario, scenario.c.id == lab_scenario.c.scenario_id)
        .where(lab_scenario.c.lab_id == lab_id)
    )
    if person_id is not None:
        query = query.where(lab_scenario.c.person_id == person_id)
    return every(connection, query.order_by(lab_scenario.c.position), Given)


def give(
    connection: Connection, lab_id: str, position: int, person_id: str, scenario_id: str
) -> None:
    """Note which scenario a member was given for a field; only once."""
    values = {"lab_id": lab_id, "position": position, "person_id": person_id}
    connection.execute(insert(lab_scenario).values(scenario_id=scenario_id, **values))


def set_debriefed(
    connection: Connection, lab_id: str, debriefed_at: datetime | None
) -> None:
    """When the debrief was opened; None takes answers again."""
    connection.execute(
        update(lab).where(lab.c.id == lab_id).values(debriefed_at=debriefed_at)
    )


def remove(connection: Connection, lab_id: str) -> bool:
    """Take a lab away that nobody has answered; False when somebody has.

    Scenarios handed out for it stay with their people, as practice not asked for.
    """
    if any(one.answered_at for one in given(connection, lab_id)):
        return False
    for table in (lab_scenario, lab_member, lab_field):
        connection.execute(delete(table).where(table.c.lab_id == lab_id))
    connection.execute(delete(lab).where(lab.c.id == lab_id))
    return True


def answers(connection: Connection, lab_id: str) -> tuple[LabAnswer, ...]:
    """Every answer given in a lab, by field and part, in the order of giving."""
    query = (
        select(
            lab_scenario.c.position,
            lab_scenario.c.person_id,
            scenario.c.payload,
            part.c.position.label("place"),
            part.c.topic,
            answer.c.answer,
            answer.c.score,
            answer.c.marks,
            answer.c.answered_at,
        )
        .join(scenario, scenario.c.id == lab_scenario.c.scenario_id)
        .join(part, part.c.scenario_id == scenario.c.id)
        .join(answer, answer.c.part_id == part.c.id)
        .where(lab_scenario.c.lab_id == lab_id)
        .order_by(lab_scenario.c.position, part.c.position, answer.c.id)
    )
    return every(connection, query, LabAnswer)


def _draft(row: Row[Any]) -> Draft:
    return Draft(
        family=row.family,
        seed=row.seed,
        digest=row.digest,
        payload=row.payload,
        engine_version=row.engine_version,
        coefficient_digest=row.coefficient_digest,
        parts=[PartDraft(**values) for values in row.parts],
    )
