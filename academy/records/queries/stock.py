"""The stock: scenarios made ready beforehand, so that nobody waits for a search."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import datetime

from sqlalchemy import Connection, delete, func, or_, select

from academy.records.rows import new_id, put_once
from academy.records.tables.scenarios import ready_scenario


@dataclass(frozen=True, slots=True)
class PartDraft:
    """A part as a scenario will carry it.

    ``par`` is what a just-qualified operator scores on it, ``floor`` what chance alone
    gives, ``weight_parts`` how many parts of this topic the scenario has, ``weight``
    what one part counts before practice halves it.
    """

    kind: str
    topic: str
    family_key: str
    par: float
    floor: float
    weight_parts: int
    weight: float


@dataclass(frozen=True, slots=True)
class Draft:
    """A scenario ready to be issued; ``payload`` is canonical JSON text."""

    family: str
    seed: int
    digest: str
    payload: str
    engine_version: int
    coefficient_digest: str
    parts: Sequence[PartDraft]


def add(connection: Connection, draft: Draft, now: datetime) -> bool:
    """Put a scenario on the shelf; False when one of this digest lies there."""
    return put_once(
        connection,
        ready_scenario,
        id=new_id(),
        family=draft.family,
        seed=draft.seed,
        digest=draft.digest,
        payload=draft.payload,
        parts=[asdict(part) for part in draft.parts],
        engine_version=draft.engine_version,
        coefficient_digest=draft.coefficient_digest,
        made_at=now,
    )


def count_by_family(connection: Connection) -> dict[str, int]:
    """How many scenarios of each family lie ready."""
    family = ready_scenario.c.family
    rows = connection.execute(select(family, func.count()).group_by(family))
    return {row[0]: int(row[1]) for row in rows}


def clear_other_than(
    connection: Connection, engine_version: int, coefficient_digests: Sequence[str]
) -> int:
    """Throw away what another engine or other coefficients made; how many."""
    stale = or_(
        ready_scenario.c.engine_version != engine_version,
        ready_scenario.c.coefficient_digest.not_in(coefficient_digests),
    )
    return connection.execute(delete(ready_scenario).where(stale)).rowcount


def clear_rewritten(connection: Connection, present: Mapping[str, str]) -> int:
    """Throw away what a family asked before it was changed; how many.

    ``present`` holds each family's ``key@version``, as its parts carry it.
    """
    columns = [ready_scenario.c[name] for name in ("id", "family", "parts")]
    stale = [
        row.id
        for row in connection.execute(select(*columns))
        if any(part["family_key"] != present.get(row.family) for part in row.parts)
    ]
    for old in stale:
        connection.execute(delete(ready_scenario).where(ready_scenario.c.id == old))
    return len(stale)
