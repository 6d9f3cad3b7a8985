"""The append-only log: each entry's hash covers the entry and the hash before it.

Every assessment has its own chain, under its id; all else stands in the farm's chain.
An entry is appended in the transaction of what it tells, so both are kept or neither.
Bodies hold random ids and figures, never a name: erasing a person keeps a chain whole.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from hashlib import sha256
from typing import Any

from sqlalchemy import Connection, bindparam, func, insert, select

from academy.records.rows import every, first, put_once
from academy.records.tables.columns import canonical_text
from academy.records.tables.ledger import log_entry, log_seal

FARM = "0" * 32
"""The chain of everything that belongs to no single assessment."""

NOTHING = "0" * 64
"""What stands before the first entry of a chain, and before the first seal."""

_ALL = "all chains"


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry as it is kept; places count from 1 in each chain."""

    id: int
    chain: str
    place: int
    kind: str
    at: datetime
    body: Mapping[str, Any]
    before: str
    hash: str


@dataclass(frozen=True, slots=True)
class Seal:
    """A day's seal over the ends of all chains and over the seal before it.

    ``entries`` is the id of the newest entry that it covers.
    """

    day: date
    entries: int
    before: str
    hash: str
    sealed_at: datetime


def append(
    connection: Connection,
    chain: str,
    kind: str,
    body: Mapping[str, Any],
    now: datetime,
) -> str:
    """Append an entry to a chain; its hash.

    Whoever appends to the same chain at the same moment waits for this write to end.
    """
    _in_turn(connection, chain)
    last = _last(connection, chain)
    place = 1 if last is None else last.place + 1
    before = NOTHING if last is None else last.hash
    found = hash_of(chain, place, kind, now, body, before)
    values = {
        "chain": chain,
        "place": place,
        "kind": kind,
        "at": now,
        "body": dict(body),
        "before": before,
        "hash": found,
    }
    connection.execute(insert(log_entry), values)
    return found


def hash_of(
    chain: str,
    place: int,
    kind: str,
    at: datetime,
    body: Mapping[str, Any],
    before: str,
) -> str:
    """SHA-256, as hexadecimal text, of an entry's canonical JSON."""
    told = {
        "at": at.astimezone(UTC).isoformat(timespec="microseconds"),
        "before": before,
        "body": dict(body),
        "chain": chain,
        "kind": kind,
        "place": place,
    }
    return sha256(canonical_text(told).encode()).hexdigest()


def seal_hash(day: date, ends: Mapping[str, str], before: str) -> str:
    """SHA-256, as hexadecimal text, over the last hash of each chain."""
    told = {"before": before, "day": day.isoformat(), "ends": dict(ends)}
    return sha256(canonical_text(told).encode()).hexdigest()


def entries(connection: Connection, chain: str) -> tuple[Entry, ...]:
    """A chain from its beginning."""
    query = select(log_entry).where(log_entry.c.chain == chain)
    return every(connection, query.order_by(log_entry.c.place), Entry)


def everything(connection: Connection, upto: int | None = None) -> tuple[Entry, ...]:
    """All entries by chain and place; ``upto`` an id."""
    query = select(log_entry)
    if upto is not None:
        query = query.where(log_entry.c.id <= upto)
    return every(
        connection, query.order_by(log_entry.c.chain, log_entry.c.place), Entry
    )


def newest(connection: Connection) -> int:
    """The id of the newest entry; 0 when there is none."""
    return int(connection.scalar(select(func.max(log_entry.c.id))) or 0)


def seals(connection: Connection) -> tuple[Seal, ...]:
    """All seals, the oldest first."""
    return every(connection, select(log_seal).order_by(log_seal.c.day), Seal)


def last_seal(connection: Connection) -> Seal | None:
    """The newest seal."""
    query = select(log_seal).order_by(log_seal.c.day.desc()).limit(1)
    return first(connection, query, Seal)


def unsealed(connection: Connection, before: datetime) -> list[tuple[int, datetime]]:
    """Ids and moments of entries made before a moment that no seal covers yet."""
    sealed = select(func.coalesce(func.max(log_seal.c.entries), 0)).scalar_subquery()
    query = select(log_entry.c.id, log_entry.c.at).where(
        log_entry.c.at < before, log_entry.c.id > sealed
    )
    return [(row.id, row.at) for row in connection.execute(query)]


def ends(connection: Connection, upto: int) -> dict[str, str]:
    """The last hash of each chain, of the entries up to an id."""
    query = select(log_entry.c.chain, log_entry.c.hash).where(log_entry.c.id <= upto)
    rows = connection.execute(query.order_by(log_entry.c.chain, log_entry.c.place))
    return {row.chain: row.hash for row in rows}


def keep_seal(connection: Connection, seal: Seal) -> bool:
    """Keep a day's seal; False when that day is sealed already."""
    return put_once(
        connection,
        log_seal,
        day=seal.day,
        entries=seal.entries,
        before=seal.before,
        hash=seal.hash,
        sealed_at=seal.sealed_at,
    )


def hold_all(connection: Connection) -> None:
    """Let nobody append until this write ends; every entry up to now is then seen."""
    if connection.dialect.name == "postgresql":
        connection.execute(select(func.pg_advisory_xact_lock(_number(_ALL))))


def _in_turn(connection: Connection, chain: str) -> None:
    """One writer per chain; SQLite has only one writer anyway."""
    if connection.dialect.name == "postgresql":
        connection.execute(select(func.pg_advisory_xact_lock_shared(_number(_ALL))))
        connection.execute(select(func.pg_advisory_xact_lock(_number(chain))))


def _number(name: str) -> int:
    """The 64-bit number of an advisory lock."""
    found = sha256(f"log {name}".encode()).digest()[:8]
    return int.from_bytes(found, "big", signed=True)


def _last(connection: Connection, chain: str) -> Entry | None:
    return first(connection, _NEWEST, Entry, {"of_chain": chain})


_NEWEST = (
    select(log_entry)
    .where(log_entry.c.chain == bindparam("of_chain"))
    .order_by(log_entry.c.place.desc())
    .limit(1)
)
