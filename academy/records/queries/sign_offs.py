"""Yard sign-offs: one row as opened and signed, one per item as last entered.

``lead_id`` is who has it now; who had it before stands among those taken over.
"""

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, insert, select, update

from academy.records.rows import every, first, new_id, put
from academy.records.tables.people import person
from academy.records.tables.yard import sign_off, sign_off_item, sign_off_take_over


@dataclass(frozen=True, slots=True)
class SignOff:
    """One sign-off; ``outcome`` is None while it is open, else done or not-yet."""

    id: str
    person_id: str
    list_key: str
    list_digest: str
    header_key: str
    lead_id: str
    opened_at: datetime
    signed_at: datetime | None
    outcome: str | None
    note: str | None


@dataclass(frozen=True, slots=True)
class TakeOver:
    """Who took a list over from whom; places count from 1."""

    sign_off_id: str
    place: int
    from_id: str
    by_id: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Entry:
    """What was last entered for an item; ``keys`` are those of all its entries.

    ``entered`` holds what was typed and chosen by name, None for a step seen.
    """

    item: str
    tries: int
    right: bool
    entered: dict[str, Any] | None
    keys: tuple[str, ...]
    at: datetime


def hold_person(connection: Connection, person_id: str) -> None:
    """Let one write at a time open a sign-off for this person."""
    query = select(person.c.id).where(person.c.id == person_id)
    connection.execute(query.with_for_update(key_share=True))


def open_one(
    connection: Connection,
    *,
    person_id: str,
    list_key: str,
    list_digest: str,
    header_key: str,
    lead_id: str,
    now: datetime,
) -> str:
    """A fresh sign-off; its random id."""
    made = new_id()
    connection.execute(
        insert(sign_off).values(
            id=made,
            person_id=person_id,
            list_key=list_key,
            list_digest=list_digest,
            header_key=header_key,
            lead_id=lead_id,
            opened_at=now,
        )
    )
    return made


def get(connection: Connection, sign_off_id: str) -> SignOff | None:
    """One sign-off."""
    return first(
        connection, select(sign_off).where(sign_off.c.id == sign_off_id), SignOff
    )


def hold(connection: Connection, sign_off_id: str) -> SignOff | None:
    """One sign-off, held so that no other write comes between."""
    query = select(sign_off).where(sign_off.c.id == sign_off_id).with_for_update()
    return first(connection, query, SignOff)


def of_person(connection: Connection, person_id: str) -> tuple[SignOff, ...]:
    """All sign-offs of a person, the newest first."""
    query = select(sign_off).where(sign_off.c.person_id == person_id)
    newest = query.order_by(sign_off.c.opened_at.desc(), sign_off.c.id)
    return every(connection, newest, SignOff)


def done_of(connection: Connection, person_id: str, list_key: str) -> SignOff | None:
    """The sign-off of a list that was last done by a person, if any was."""
    query = select(sign_off).where(
        sign_off.c.person_id == person_id,
        sign_off.c.list_key == list_key,
        sign_off.c.outcome == "done",
    )
    newest = query.order_by(sign_off.c.signed_at.desc(), sign_off.c.id).limit(1)
    return first(connection, newest, SignOff)


def entries(connection: Connection, sign_off_id: str) -> dict[str, Entry]:
    """What was last entered, by item."""
    query = select(sign_off_item).where(sign_off_item.c.sign_off_id == sign_off_id)
    found = {}
    for row in connection.execute(query):
        value = row.value or {}
        found[row.item] = Entry(
            row.item,
            row.tries,
            row.right,
            value.get("entered"),
            tuple(value.get("keys", ())),
            row.at,
        )
    return found


def keep(connection: Connection, sign_off_id: str, entry: Entry) -> None:
    """Keep what was last entered for an item."""
    value: dict[str, Any] = {"keys": list(entry.keys)}
    if entry.entered is not None:
        value["entered"] = entry.entered
    put(
        connection,
        sign_off_item,
        sign_off_id=sign_off_id,
        item=entry.item,
        tries=entry.tries,
        right=entry.right,
        value=value,
        at=entry.at,
        client_key=entry.keys[-1],
    )


def take_over(connection: Connection, told: TakeOver) -> None:
    """Let another lead have the list from now on."""
    connection.execute(insert(sign_off_take_over).values(asdict(told)))
    connection.execute(
        update(sign_off)
        .where(sign_off.c.id == told.sign_off_id)
        .values(lead_id=told.by_id)
    )


def taken_over(
    connection: Connection, sign_offs: Iterable[str]
) -> dict[str, tuple[TakeOver, ...]]:
    """Who took some lists over, in order, by the list's id; empty for all others."""
    table = sign_off_take_over
    query = select(table).where(table.c.sign_off_id.in_(sorted(sign_offs)))
    found: dict[str, tuple[TakeOver, ...]] = {}
    for one in every(connection, query.order_by(table.c.place), TakeOver):
        found[one.sign_off_id] = (*found.get(one.sign_off_id, ()), one)
    return found


def takes_of(connection: Connection, sign_off_id: str) -> tuple[TakeOver, ...]:
    """Who took one list over, in order."""
    return taken_over(connection, [sign_off_id]).get(sign_off_id, ())


def sign(
    connection: Connection,
    sign_off_id: str,
    outcome: str,
    note: str | None,
    now: datetime,
) -> None:
    """Close a sign-off for ever."""
    connection.execute(
        update(sign_off)
        .where(sign_off.c.id == sign_off_id, sign_off.c.signed_at.is_(None))
        .values(outcome=outcome, note=note, signed_at=now)
    )
