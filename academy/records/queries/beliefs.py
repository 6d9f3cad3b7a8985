"""Beliefs: what was counted from the answers, kept so that boards open at once."""

from collections.abc import Collection, Iterable
from dataclasses import asdict, dataclass
from datetime import date

from sqlalchemy import Connection, bindparam, delete, select

from academy.records.rows import every, first, put_all
from academy.records.tables.beliefs import belief
from academy.records.tables.people import person


@dataclass(frozen=True, slots=True)
class Belief:
    """80 numbers as bytes, the day they stand for, and the last answer in them."""

    person_id: str
    topic: str
    as_of: date
    grid: bytes
    last_answer_id: int
    model_version: str


def get(connection: Connection, person_id: str, topic: str) -> Belief | None:
    """The belief about a person in a topic; None for the untested."""
    query = select(belief).where(
        belief.c.person_id == person_id, belief.c.topic == topic
    )
    return first(connection, query, Belief)


def of_topics(
    connection: Connection, person_id: str, topics: Collection[str]
) -> tuple[Belief, ...]:
    """The beliefs about a person in some topics."""
    values = {"person": person_id, "topics": list(topics)}
    return every(connection, _OF_TOPICS, Belief, values)


_OF_TOPICS = select(belief).where(
    belief.c.person_id == bindparam("person"),
    belief.c.topic.in_(bindparam("topics", expanding=True)),
)


def keep(connection: Connection, kept: Iterable[Belief]) -> None:
    """Keep beliefs in place of the older ones."""
    put_all(connection, belief, [asdict(one) for one in kept])


def every_belief(connection: Connection) -> tuple[Belief, ...]:
    """All beliefs by person and topic."""
    query = select(belief).order_by(belief.c.person_id, belief.c.topic)
    return every(connection, query, Belief)


def all_for_person(connection: Connection, person_id: str) -> tuple[Belief, ...]:
    """The beliefs about a person by topic."""
    query = select(belief).where(belief.c.person_id == person_id)
    return every(connection, query.order_by(belief.c.topic), Belief)


def all_for_crew(connection: Connection, crew_id: str) -> tuple[Belief, ...]:
    """The beliefs about a crew's active people, by person and topic."""
    query = (
        select(belief)
        .join(person, belief.c.person_id == person.c.id)
        .where(person.c.crew_id == crew_id, person.c.active)
        .order_by(belief.c.person_id, belief.c.topic)
    )
    return every(connection, query, Belief)


def forget_all(connection: Connection, person_id: str) -> None:
    """Throw a person's beliefs away; replay counts them anew."""
    connection.execute(delete(belief).where(belief.c.person_id == person_id))
