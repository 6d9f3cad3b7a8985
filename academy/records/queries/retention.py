"""Throwing away what has served its time: old sign-ins and slips nobody opened."""

from datetime import datetime

from sqlalchemy import Connection, delete, or_, update

from academy.records.tables.sign_in import sign_in, slip


def sweep_sign_ins(connection: Connection, before: datetime, idle: datetime) -> int:
    """Delete sign-ins that ended before a moment or stand idle since ``idle``."""
    old = or_(sign_in.c.ended_at < before, sign_in.c.seen_at < idle)
    return connection.execute(delete(sign_in).where(old)).rowcount


def sweep_slips(connection: Connection, before: datetime) -> int:
    """Delete slips made before a moment and never opened; how many.

    An opened one stays: it says that its person has come in.
    """
    old = (slip.c.made_at < before) & slip.c.used_at.is_(None)
    return connection.execute(delete(slip).where(old)).rowcount


def revoke_slips(
    connection: Connection, now: datetime, person_id: str | None = None
) -> None:
    """Make a person's unused slips worthless; without a person the first-run links."""
    whose = (
        slip.c.kind == "first-run"
        if person_id is None
        else slip.c.person_id == person_id
    )
    unused = slip.c.used_at.is_(None) & slip.c.revoked_at.is_(None)
    connection.execute(update(slip).where(whose, unused).values(revoked_at=now))
