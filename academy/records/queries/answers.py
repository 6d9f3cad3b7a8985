"""Answers: kept once per part, never changed; and days of harvest work."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import Connection, bindparam, exists, select, update

from academy.records.queries.counting import counts
from academy.records.rows import every, put_once, upsert
from academy.records.tables.answers import answer as answer_table
from academy.records.tables.answers import use_day
from academy.records.tables.beliefs import belief
from academy.records.tables.scenarios import part, scenario

SCORE_DECIMALS = 4
NO_MODEL = "none"
"""The version that no model has: a belief of it is to be counted anew."""


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer to one part, as it was marked."""

    id: int
    part_id: str
    answer: Any
    score: float
    marks: Any
    answered_at: datetime
    client_key: str | None


@dataclass(frozen=True, slots=True)
class Logged:
    """What a belief is counted from: an answer with the part it answers."""

    id: int
    part_id: str
    scenario_id: str
    sitting: str
    purpose: str
    family: str
    family_key: str
    kind: str
    topic: str
    par: float
    floor: float
    weight_parts: int
    weight: float
    score: float
    answered_at: datetime


_LOGGED = (
    answer_table.c.id,
    answer_table.c.part_id,
    part.c.scenario_id,
    scenario.c.sitting,
    scenario.c.purpose,
    scenario.c.family,
    part.c.family_key,
    part.c.kind,
    part.c.topic,
    part.c.par,
    part.c.floor,
    part.c.weight_parts,
    part.c.weight,
    answer_table.c.score,
    answer_table.c.answered_at,
)


@dataclass(frozen=True, slots=True)
class Given:
    """One answer to keep: to which part, what was said, how it was marked."""

    part_id: str
    answer: Any
    score: float
    marks: Any


def record(
    connection: Connection,
    part_id: str,
    *,
    answer: Any,
    score: float,
    marks: Any,
    now: datetime,
    client_key: str | None = None,
) -> bool:
    """Keep an answer; False when the part was answered before, and that one stays.

    The score is kept to four decimals. The scenario is closed with its last part.
    """
    given = [Given(part_id, answer, score, marks)]
    return bool(record_all(connection, given, now, client_key))


def record_all(
    connection: Connection,
    given: Sequence[Given],
    now: datetime,
    client_key: str | None = None,
) -> frozenset[str]:
    """Keep answers to parts of one scenario; the parts not answered before.

    The others keep the answer they have.
    """
    rows = [
        {
            "part_id": one.part_id,
            "answer": one.answer,
            "score": round(one.score, SCORE_DECIMALS),
            "marks": one.marks,
            "answered_at": now,
            "client_key": client_key,
        }
        for one in given
    ]
    insert = upsert(connection, answer_table).on_conflict_do_nothing()
    kept = connection.execute(insert.returning(answer_table.c.part_id), rows)
    new = frozenset(kept.scalars())
    if new:
        _close_when_complete(connection, given[0].part_id, now)
    return new


def for_scenario(connection: Connection, scenario_id: str) -> dict[str, Answer]:
    """The answers to a scenario so far, by part id."""
    query = (
        select(answer_table)
        .join(part, answer_table.c.part_id == part.c.id)
        .where(part.c.scenario_id == scenario_id)
        .order_by(answer_table.c.id)
    )
    return {kept.part_id: kept for kept in every(connection, query, Answer)}


def log_for(
    connection: Connection,
    person_id: str,
    topics: Collection[str] | None = None,
    after: int = 0,
) -> tuple[Logged, ...]:
    """A person's answers in some topics, or in all, in the order they were given.

    Those of an assessment come in when it has ended. ``after`` leaves out what was
    counted already: ids up to it.
    """
    values: dict[str, object] = {"person": person_id, "after": after}
    if topics is None:
        return every(connection, _LOG, Logged, values)
    return every(connection, _LOG_IN, Logged, values | {"topics": list(topics)})


_LOG = (
    select(*_LOGGED)
    .join(part, answer_table.c.part_id == part.c.id)
    .join(scenario, part.c.scenario_id == scenario.c.id)
    .where(
        scenario.c.person_id == bindparam("person"),
        answer_table.c.id > bindparam("after"),
        counts(),
    )
    .order_by(answer_table.c.id)
)
_LOG_IN = _LOG.where(part.c.topic.in_(bindparam("topics", expanding=True)))


def add_use_day(connection: Connection, person_id: str, topic: str, day: date) -> bool:
    """Note a day of harvest work or practice in a topic; whether it was new.

    A belief kept in that topic is to be counted anew: the day may be an older one.
    """
    connection.execute(
        update(belief)
        .where(belief.c.person_id == person_id, belief.c.topic == topic)
        .values(model_version=NO_MODEL)
    )
    return put_once(connection, use_day, person_id=person_id, topic=topic, day=day)


def use_days(
    connection: Connection, person_id: str, topics: Collection[str]
) -> tuple[tuple[str, date], ...]:
    """The days a person worked in some topics, each with its topic, in order."""
    query = select(use_day.c.topic, use_day.c.day).where(
        use_day.c.person_id == person_id, use_day.c.topic.in_(topics)
    )
    found = connection.execute(query.order_by(use_day.c.day, use_day.c.topic))
    return tuple((row.topic, row.day) for row in found)


def _close_when_complete(connection: Connection, part_id: str, now: datetime) -> None:
    connection.execute(_CLOSE, {"of_part": part_id, "at": now})


_CLOSE = (
    update(scenario)
    .where(
        scenario.c.id
        == select(part.c.scenario_id)
        .where(part.c.id == bindparam("of_part"))
        .scalar_subquery(),
        ~exists().where(
            part.c.scenario_id == scenario.c.id,
            ~exists().where(answer_table.c.part_id == part.c.id),
        ),
        scenario.c.answered_at.is_(None),
    )
    .values(answered_at=bindparam("at"))
)
