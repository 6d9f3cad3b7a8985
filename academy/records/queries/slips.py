"""Slips: one-time personal links that enrol a device for a person."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, insert, select, update

from academy.records.rows import every, first, new_id
from academy.records.tables.sign_in import slip


@dataclass(frozen=True, slots=True)
class Slip:
    """A slip; of its link and its PIN only the hashes are kept."""

    id: str
    kind: str
    person_id: str | None
    token_hash: str
    pin_hash: str | None
    word: str | None
    made_at: datetime
    used_at: datetime | None
    revoked_at: datetime | None


def add(
    connection: Connection,
    *,
    kind: str,
    person_id: str | None,
    token_hash: str,
    pin_hash: str | None,
    word: str | None,
    now: datetime,
) -> str:
    """A fresh slip; older unused ones of that kind and demo links are void."""
    if person_id is not None:
        for void in {kind, "demo"}:
            _revoke(connection, person_id, void, now)
    slip_id = new_id()
    connection.execute(
        insert(slip).values(
            id=slip_id,
            kind=kind,
            person_id=person_id,
            token_hash=token_hash,
            pin_hash=pin_hash,
            word=word,
            made_at=now,
        )
    )
    return slip_id


def usable(connection: Connection, token_hash: str) -> Slip | None:
    """The slip of this link when it is neither used nor revoked."""
    query = select(slip).where(
        slip.c.token_hash == token_hash,
        slip.c.used_at.is_(None),
        slip.c.revoked_at.is_(None),
    )
    return first(connection, query, Slip)


def use(connection: Connection, slip_id: str, now: datetime) -> bool:
    """Use a slip up; False when somebody was faster or it was revoked."""
    used = connection.execute(
        update(slip)
        .where(
            slip.c.id == slip_id, slip.c.used_at.is_(None), slip.c.revoked_at.is_(None)
        )
        .values(used_at=now)
    )
    return used.rowcount == 1


def of_person(connection: Connection, person_id: str) -> tuple[Slip, ...]:
    """A person's slips, the newest first."""
    query = select(slip).where(slip.c.person_id == person_id)
    return every(connection, query.order_by(slip.c.made_at.desc()), Slip)


def _revoke(connection: Connection, person_id: str, kind: str, now: datetime) -> None:
    connection.execute(
        update(slip)
        .where(
            slip.c.person_id == person_id,
            slip.c.kind == kind,
            slip.c.used_at.is_(None),
            slip.c.revoked_at.is_(None),
        )
        .values(revoked_at=now)
    )
