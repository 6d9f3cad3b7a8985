"""Scenarios that were issued to a person, and their parts."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Row, bindparam, delete, exists, insert, select

from academy.records.queries.stock import Draft, PartDraft
from academy.records.rows import every, first, new_id
from academy.records.tables.scenarios import part, ready_scenario, scenario


@dataclass(frozen=True, slots=True)
class Part:
    """One part of an issued scenario; positions count from 1."""

    id: str
    scenario_id: str
    position: int
    kind: str
    topic: str
    family_key: str
    par: float
    floor: float
    weight_parts: int
    weight: float


@dataclass(frozen=True, slots=True)
class Scenario:
    """A scenario as it was issued; ``payload`` is canonical JSON text."""

    id: str
    person_id: str
    sitting: str
    purpose: str
    family: str
    seed: int
    digest: str
    payload: str
    engine_version: int
    coefficient_digest: str
    issued_at: datetime
    answered_at: datetime | None


@dataclass(frozen=True, slots=True)
class Issue:
    """To whom, in which sitting, for what, and when."""

    person_id: str
    sitting: str
    purpose: str
    now: datetime


def consume_ready(connection: Connection, family: str, issue: Issue) -> Scenario | None:
    """Take a scenario of the family off the shelf and issue it; None when none fits.

    It is one this person never had and nobody had in this sitting. Shelf, scenario and
    parts change in the caller's transaction.
    """
    had = _had(ready_scenario.c.digest, issue.person_id, issue.sitting)
    draft = _taken(connection, family, had)
    return None if draft is None else issue_draft(connection, draft, issue)


def take_ready(
    connection: Connection, family: str, people: Sequence[str]
) -> Draft | None:
    """Take a scenario off the shelf that none of these people ever had."""
    had_it = exists().where(
        scenario.c.person_id.in_(people), scenario.c.digest == ready_scenario.c.digest
    )
    return _taken(connection, family, had_it)


def had_by_any(connection: Connection, digest: str, people: Sequence[str]) -> bool:
    """Whether one of these people ever had these very facts."""
    found = exists().where(
        scenario.c.person_id.in_(people), scenario.c.digest == digest
    )
    return bool(connection.scalar(select(found)))


def issue_draft(connection: Connection, draft: Draft, issue: Issue) -> Scenario:
    """Issue a scenario made on the spot."""
    issued = Scenario(
        id=new_id(),
        person_id=issue.person_id,
        sitting=issue.sitting,
        purpose=issue.purpose,
        family=draft.family,
        seed=draft.seed,
        digest=draft.digest,
        payload=draft.payload,
        engine_version=draft.engine_version,
        coefficient_digest=draft.coefficient_digest,
        issued_at=issue.now,
        answered_at=None,
    )
    connection.execute(insert(scenario), asdict(issued))
    rows = [
        {"id": new_id(), "scenario_id": issued.id, "position": place, **asdict(each)}
        for place, each in enumerate(draft.parts, start=1)
    ]
    connection.execute(insert(part), rows)
    return issued


def had(connection: Connection, digest: str, person_id: str, sitting: str) -> bool:
    """Whether this person ever, or anyone in this sitting, had these very facts."""
    return bool(connection.scalar(select(_had(digest, person_id, sitting))))


def get(connection: Connection, scenario_id: str, person_id: str) -> Scenario | None:
    """A person's own scenario; somebody else's is not there."""
    values = {"of": scenario_id, "person": person_id}
    return first(connection, _OWN, Scenario, values)


_OWN = select(scenario).where(
    scenario.c.id == bindparam("of"), scenario.c.person_id == bindparam("person")
)


def of_sitting(
    connection: Connection, person_id: str, sitting: str
) -> tuple[Scenario, ...]:
    """A person's scenarios of one sitting, in the order of issue."""
    query = select(scenario).where(
        scenario.c.person_id == person_id, scenario.c.sitting == sitting
    )
    order = (scenario.c.issued_at, scenario.c.id)
    return every(connection, query.order_by(*order), Scenario)


def unanswered(connection: Connection, person_id: str, purpose: str) -> Scenario | None:
    """The newest scenario of a purpose that the person has not finished."""
    query = select(scenario).where(
        scenario.c.person_id == person_id,
        scenario.c.purpose == purpose,
        scenario.c.answered_at.is_(None),
    )
    newest = query.order_by(scenario.c.issued_at.desc(), scenario.c.id).limit(1)
    return first(connection, newest, Scenario)


def parts(connection: Connection, scenario_id: str) -> tuple[Part, ...]:
    """The parts of a scenario by position."""
    return every(connection, _PARTS, Part, {"of": scenario_id})


_PARTS = (
    select(part).where(part.c.scenario_id == bindparam("of")).order_by(part.c.position)
)


def _had(digest: Any, person_id: str, sitting: str) -> Any:
    own = exists().where(scenario.c.person_id == person_id, scenario.c.digest == digest)
    near = exists().where(scenario.c.sitting == sitting, scenario.c.digest == digest)
    return own | near


def _taken(connection: Connection, family: str, unfit: Any) -> Draft | None:
    """The oldest fit one of the shelf, which it leaves; others take others."""
    oldest = (
        select(ready_scenario.c.id)
        .where(ready_scenario.c.family == family, ~unfit)
        .order_by(ready_scenario.c.id)
        .limit(1)
        .with_for_update(skip_locked=True)
    )
    gone = delete(ready_scenario).where(ready_scenario.c.id == oldest.scalar_subquery())
    row = connection.execute(gone.returning(ready_scenario)).first()
    return None if row is None else _draft(row)


def _draft(row: Row[Any]) -> Draft:
    return Draft(
        family=row.family,
        seed=row.seed,
        digest=row.digest,
        payload=row.payload,
        engine_version=row.engine_version,
        coefficient_digest=row.coefficient_digest,
        parts=[PartDraft(**values) for values in row.parts],
    )
