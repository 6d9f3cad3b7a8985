"""Who answered in which topic, and holding a person while beliefs are counted."""

from sqlalchemy import Connection, delete, select

from academy.records.tables.answers import answer
from academy.records.tables.beliefs import belief
from academy.records.tables.people import person
from academy.records.tables.scenarios import part, scenario


def pairs(connection: Connection) -> tuple[tuple[str, str], ...]:
    """Every person and topic with at least one answer, in order."""
    query = (
        select(scenario.c.person_id, part.c.topic)
        .select_from(answer.join(part).join(scenario))
        .distinct()
        .order_by(scenario.c.person_id, part.c.topic)
    )
    return tuple((row.person_id, row.topic) for row in connection.execute(query))


def hold(connection: Connection, person_id: str) -> None:
    """Let one transaction at a time count this person's beliefs.

    SQLite writes one at a time anyway; PostgreSQL locks the person's row.
    """
    if connection.dialect.name == "postgresql":
        query = select(person.c.id).where(person.c.id == person_id)
        connection.execute(query.with_for_update(key_share=True))


def forget_beliefs(connection: Connection) -> None:
    """Throw all beliefs away; replay counts them anew."""
    connection.execute(delete(belief))
