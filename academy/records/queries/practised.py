"""What a person has had to practise, and who works in a crew."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, select

from academy.records.rows import every
from academy.records.tables.people import person, person_role
from academy.records.tables.scenarios import scenario


@dataclass(frozen=True, slots=True)
class Had:
    """One scenario a person was given; ``answered_at`` is None while it waits."""

    id: str
    family: str
    purpose: str
    issued_at: datetime
    answered_at: datetime | None


def of_person(connection: Connection, person_id: str) -> tuple[Had, ...]:
    """Everything a person was given but assessments, in the order of issue."""
    columns = [scenario.c[name] for name in Had.__slots__]
    query = select(*columns).where(
        scenario.c.person_id == person_id, scenario.c.purpose != "assessment"
    )
    return every(connection, query.order_by(scenario.c.issued_at, scenario.c.id), Had)


def workers(connection: Connection, crew_id: str) -> frozenset[str]:
    """Ids of a crew's active people who work as hire or lead."""
    query = (
        select(person.c.id)
        .join(person_role, person_role.c.person_id == person.c.id)
        .where(
            person.c.crew_id == crew_id,
            person.c.active,
            person_role.c.role.in_(("hire", "lead")),
        )
    )
    return frozenset(connection.scalars(query))
