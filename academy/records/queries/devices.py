"""Enrolled devices: a PIN counts only on a device that a slip opened for a person."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import (
    ColumnElement,
    Connection,
    bindparam,
    delete,
    func,
    insert,
    select,
    type_coerce,
    update,
)

from academy.records.rows import every, first, new_id, put
from academy.records.tables.people import person, person_name
from academy.records.tables.sign_in import device, device_person


@dataclass(frozen=True, slots=True)
class Device:
    """A phone or a computer with a token of its own."""

    id: str
    token_hash: str
    kind: str
    enrolled_at: datetime
    revoked_at: datetime | None


@dataclass(frozen=True, slots=True)
class Enrolment:
    """A person on a device, with the hash of the PIN and the wrong tries so far."""

    device_id: str
    person_id: str
    pin_hash: str
    failures: int
    locked: bool
    enrolled_at: datetime | None


@dataclass(frozen=True, slots=True)
class PersonDevice:
    """One of a person's devices; it is shared when it has more ``people`` than one."""

    device_id: str
    kind: str
    enrolled_at: datetime
    people: int


@dataclass(frozen=True, slots=True)
class Enrolled:
    """One line of the person list of a shared device."""

    person_id: str
    name: str | None
    locked: bool


def add(
    connection: Connection, token_hash: str, now: datetime, kind: str = "unknown"
) -> str:
    """A newly enrolled device; its id."""
    device_id = new_id()
    connection.execute(
        insert(device).values(
            id=device_id, token_hash=token_hash, kind=kind, enrolled_at=now
        )
    )
    return device_id


def by_token(connection: Connection, token_hash: str) -> Device | None:
    """The device with this token, unless revoked."""
    query = select(device).where(
        device.c.token_hash == token_hash, device.c.revoked_at.is_(None)
    )
    return first(connection, query, Device)


def revoke(connection: Connection, device_id: str, now: datetime) -> None:
    """Close a device that was lost."""
    connection.execute(
        update(device).where(device.c.id == device_id).values(revoked_at=now)
    )


def enrol(
    connection: Connection,
    device_id: str,
    person_id: str,
    pin_hash: str,
    now: datetime | None = None,
) -> None:
    """Open a device for a person with a fresh PIN; wrong tries are forgotten."""
    put(
        connection,
        device_person,
        device_id=device_id,
        person_id=person_id,
        pin_hash=pin_hash,
        failures=0,
        locked=False,
        enrolled_at=now,
    )


def enrolment(
    connection: Connection, device_id: str, person_id: str
) -> Enrolment | None:
    """The enrolment of a person on a device."""
    query = select(device_person).where(*_pair(device_id, person_id))
    return first(connection, query, Enrolment)


def people_on(connection: Connection, device_id: str) -> tuple[Enrolled, ...]:
    """The active people a device was opened for, by name."""
    return every(connection, _ENROLLED, Enrolled, {"of": device_id})


_ENROLLED = (
    select(device_person.c.person_id, person_name.c.name, device_person.c.locked)
    .select_from(device_person.join(person).outerjoin(person_name))
    .where(device_person.c.device_id == bindparam("of"), person.c.active)
    .order_by(person_name.c.name, device_person.c.person_id)
)


def of_person(connection: Connection, person_id: str) -> tuple[PersonDevice, ...]:
    """The devices that open with a person's PIN, the newest enrolment first."""
    others = device_person.alias()
    active = others.join(person, others.c.person_id == person.c.id)
    people = (
        select(func.count())
        .select_from(active)
        .where(others.c.device_id == device.c.id, person.c.active)
        .scalar_subquery()
    )
    since = func.coalesce(device_person.c.enrolled_at, device.c.enrolled_at)
    query = (
        select(
            device.c.id.label("device_id"),
            device.c.kind,
            type_coerce(since, device.c.enrolled_at.type).label("enrolled_at"),
            people.label("people"),
        )
        .select_from(device_person.join(device))
        .where(device_person.c.person_id == person_id, device.c.revoked_at.is_(None))
        .order_by(since.desc(), device.c.id)
    )
    return every(connection, query, PersonDevice)


def forget(connection: Connection, device_id: str, person_id: str) -> None:
    """A person's PIN opens this device no longer."""
    connection.execute(delete(device_person).where(*_pair(device_id, person_id)))


def _pair(device_id: str, person_id: str) -> tuple[ColumnElement[bool], ...]:
    return (
        device_person.c.device_id == device_id,
        device_person.c.person_id == person_id,
    )
