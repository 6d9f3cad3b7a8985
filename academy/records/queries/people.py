"""People: who is there, under which name, in which crew, in which role."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from typing import Any

from sqlalchemy import Connection, Select, bindparam, delete, insert, select, update

from academy.records.rows import every, first, new_id, put, put_once
from academy.records.tables.people import person, person_name, person_role
from academy.records.tables.sign_in import device_person, sign_in, slip


@dataclass(frozen=True, slots=True)
class Person:
    """A person; ``name`` is None once it was erased."""

    id: str
    crew_id: str
    name: str | None
    active: bool
    language: str
    units: str
    created_at: datetime


def add(
    connection: Connection,
    *,
    crew_id: str,
    name: str,
    language: str,
    units: str,
    roles: Iterable[str],
    now: datetime,
) -> str:
    """Take a person in; the new random id."""
    person_id = new_id()
    connection.execute(
        insert(person).values(
            id=person_id,
            crew_id=crew_id,
            active=True,
            language=language,
            units=units,
            created_at=now,
        )
    )
    connection.execute(insert(person_name).values(person_id=person_id, name=name))
    for role in roles:
        put_once(connection, person_role, person_id=person_id, role=role)
    return person_id


def get(connection: Connection, person_id: str) -> Person | None:
    """One person."""
    return first(connection, _one_person(), Person, {"of": person_id})


def active(connection: Connection, crew_id: str | None = None) -> tuple[Person, ...]:
    """The active people of a crew, or of the whole farm, by name."""
    query = _people().where(person.c.active)
    if crew_id is not None:
        query = query.where(person.c.crew_id == crew_id)
    return every(connection, query.order_by(person_name.c.name, person.c.id), Person)


def former(connection: Connection) -> tuple[Person, ...]:
    """Who was let go and not erased, of the whole farm, by name."""
    query = _people().where(person.c.active.is_(False), person_name.c.name.is_not(None))
    return every(connection, query.order_by(person_name.c.name, person.c.id), Person)


def roles(connection: Connection, person_id: str) -> frozenset[str]:
    """The roles of a person: hire, lead, instructor, owner."""
    query = select(person_role.c.role).where(person_role.c.person_id == person_id)
    return frozenset(connection.scalars(query))


def give_role(connection: Connection, person_id: str, role: str) -> None:
    """Give a person a role; once is enough."""
    put_once(connection, person_role, person_id=person_id, role=role)


def take_role(connection: Connection, person_id: str, role: str) -> None:
    """Take a role away from a person."""
    connection.execute(
        delete(person_role).where(
            person_role.c.person_id == person_id, person_role.c.role == role
        )
    )


def set_reader(
    connection: Connection, person_id: str, language: str, units: str
) -> None:
    """The language and the units a person reads."""
    connection.execute(
        update(person)
        .where(person.c.id == person_id)
        .values(language=language, units=units)
    )


def set_active(connection: Connection, person_id: str, is_active: bool) -> None:
    """Whether a person is with the crew now."""
    connection.execute(
        update(person).where(person.c.id == person_id).values(active=is_active)
    )


def move(connection: Connection, person_id: str, crew_id: str) -> None:
    """Put a person into another crew."""
    connection.execute(
        update(person).where(person.c.id == person_id).values(crew_id=crew_id)
    )


def rename(connection: Connection, person_id: str, name: str) -> None:
    """Correct a person's name."""
    put(connection, person_name, person_id=person_id, name=name)


def erase(connection: Connection, person_id: str, now: datetime) -> None:
    """Forget who a person was: name, PINs, slips and sign-ins; the answers stay."""
    connection.execute(delete(person_name).where(person_name.c.person_id == person_id))
    connection.execute(
        delete(device_person).where(device_person.c.person_id == person_id)
    )
    connection.execute(
        update(slip)
        .where(slip.c.person_id == person_id)
        .values(pin_hash=None, word=None, revoked_at=now)
    )
    connection.execute(
        update(sign_in)
        .where(sign_in.c.person_id == person_id, sign_in.c.ended_at.is_(None))
        .values(ended_at=now)
    )
    set_active(connection, person_id, False)


@cache
def _one_person() -> Select[Any]:
    return _people().where(person.c.id == bindparam("of"))


def _people() -> Select[tuple[str, str, str, bool, str, str, datetime]]:
    return select(
        person.c.id,
        person.c.crew_id,
        person_name.c.name,
        person.c.active,
        person.c.language,
        person.c.units,
        person.c.created_at,
    ).select_from(person.outerjoin(person_name))
