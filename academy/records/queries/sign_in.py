"""Sign-ins: one row each, found by the hash of an opaque token, ended for good."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, bindparam, insert, select, update

from academy.records.rows import every, first, new_id
from academy.records.tables.people import person
from academy.records.tables.sign_in import sign_in


@dataclass(frozen=True, slots=True)
class SignIn:
    """A person signed in on a device."""

    id: str
    token_hash: str
    person_id: str
    device_id: str | None
    csrf: str
    made_at: datetime
    seen_at: datetime
    ended_at: datetime | None


def begin(
    connection: Connection,
    *,
    token_hash: str,
    person_id: str,
    device_id: str | None,
    csrf: str,
    now: datetime,
) -> str:
    """Sign a person in; the id of the sign-in."""
    sign_in_id = new_id()
    connection.execute(
        insert(sign_in).values(
            id=sign_in_id,
            token_hash=token_hash,
            person_id=person_id,
            device_id=device_id,
            csrf=csrf,
            made_at=now,
            seen_at=now,
        )
    )
    return sign_in_id


def current(connection: Connection, token_hash: str) -> SignIn | None:
    """The sign-in of this token unless ended, or its person is no longer active."""
    return first(connection, _CURRENT, SignIn, {"hash": token_hash})


_CURRENT = (
    select(sign_in)
    .join(person, sign_in.c.person_id == person.c.id)
    .where(
        sign_in.c.token_hash == bindparam("hash"),
        sign_in.c.ended_at.is_(None),
        person.c.active,
    )
)


def person_of(connection: Connection, token_hash: str) -> str | None:
    """Whose sign-in this token was, ended or not; None when it is no more kept."""
    query = select(sign_in.c.person_id).where(sign_in.c.token_hash == token_hash)
    return connection.scalar(query)


def saw(connection: Connection, sign_in_id: str, now: datetime) -> None:
    """Note that the person was there just now."""
    connection.execute(
        update(sign_in).where(sign_in.c.id == sign_in_id).values(seen_at=now)
    )


def end(connection: Connection, sign_in_id: str, now: datetime) -> None:
    """End one sign-in."""
    connection.execute(
        update(sign_in)
        .where(sign_in.c.id == sign_in_id, sign_in.c.ended_at.is_(None))
        .values(ended_at=now)
    )


def end_all(connection: Connection, person_id: str, now: datetime) -> None:
    """End every sign-in of a person."""
    connection.execute(
        update(sign_in)
        .where(sign_in.c.person_id == person_id, sign_in.c.ended_at.is_(None))
        .values(ended_at=now)
    )


def end_on_device(
    connection: Connection, person_id: str, device_id: str, now: datetime
) -> None:
    """End every sign-in of a person on one device."""
    connection.execute(
        update(sign_in)
        .where(
            sign_in.c.person_id == person_id,
            sign_in.c.device_id == device_id,
            sign_in.c.ended_at.is_(None),
        )
        .values(ended_at=now)
    )


def of_person(connection: Connection, person_id: str) -> tuple[SignIn, ...]:
    """A person's sign-ins, ended ones too while they are kept; the last seen first."""
    query = select(sign_in).where(sign_in.c.person_id == person_id)
    return every(connection, query.order_by(sign_in.c.seen_at.desc()), SignIn)
