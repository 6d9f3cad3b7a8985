"""What raters expect of a just-qualified person, and the versions of the line."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, insert, select, update

from academy.records.rows import every, first, put
from academy.records.tables.assessments import assessment_step
from academy.records.tables.scenarios import part, ready_scenario, scenario
from academy.records.tables.standard import line_version, rating


@dataclass(frozen=True, slots=True)
class Rating:
    """The score that one rater expects in one family."""

    rater_id: str
    family: str
    expected: float
    at: datetime


@dataclass(frozen=True, slots=True)
class Version:
    """One version of the line; ``body`` holds its families and raters."""

    version: int
    made_by: str
    made_at: datetime
    raters: int
    standard_error: float
    body: Mapping[str, Any]


def ratings(connection: Connection) -> tuple[Rating, ...]:
    """All ratings."""
    query = select(rating).order_by(rating.c.family, rating.c.rater_id)
    return every(connection, query, Rating)


def rate(
    connection: Connection, rater_id: str, family: str, expected: float, now: datetime
) -> None:
    """Keep what a rater expects in a family; the newest holds."""
    values = {"expected": expected, "at": now}
    put(connection, rating, rater_id=rater_id, family=family, **values)


def newest(connection: Connection) -> Version | None:
    """The version of the line that holds now."""
    query = select(line_version).order_by(line_version.c.version.desc()).limit(1)
    return first(connection, query, Version)


def versions(connection: Connection) -> tuple[Version, ...]:
    """All versions of the line, the newest first."""
    query = select(line_version).order_by(line_version.c.version.desc())
    return every(connection, query, Version)


def version(connection: Connection, number: int) -> Version | None:
    """One version of the line."""
    query = select(line_version).where(line_version.c.version == number)
    return first(connection, query, Version)


def add_version(connection: Connection, made: Version) -> None:
    """Keep a further version; two of one number are refused by the database."""
    connection.execute(
        insert(line_version).values(
            version=made.version,
            made_by=made.made_by,
            made_at=made.made_at,
            raters=made.raters,
            standard_error=made.standard_error,
            body=dict(made.body),
        )
    )


def family_of(connection: Connection, scenario_id: str) -> str:
    """The family of an issued scenario."""
    query = select(scenario.c.family).where(scenario.c.id == scenario_id)
    return str(connection.execute(query).scalar_one())


def families_asked(connection: Connection, assessment_id: str) -> set[str]:
    """Families of the scenarios that an assessment counted, the safety gate's not."""
    query = (
        select(scenario.c.family)
        .join(assessment_step, assessment_step.c.scenario_id == scenario.c.id)
        .where(
            assessment_step.c.assessment_id == assessment_id,
            assessment_step.c.stage == "scenario",
            assessment_step.c.voided_at.is_(None),
        )
    )
    return set(connection.scalars(query))


def move_pars(connection: Connection, scenario_id: str, pars: Sequence[float]) -> None:
    """Give the parts of a scenario that was just issued other pars, by position."""
    for position, par in enumerate(pars, start=1):
        connection.execute(
            update(part)
            .where(part.c.scenario_id == scenario_id, part.c.position == position)
            .values(par=par)
        )


def floors_on_the_shelf(connection: Connection) -> dict[str, float]:
    """What guessing gives on average over the parts, of families that lie ready."""
    query = select(ready_scenario.c.family, ready_scenario.c.parts)
    found: dict[str, list[float]] = {}
    for row in connection.execute(query.order_by(ready_scenario.c.id)):
        mean = sum(each["floor"] for each in row.parts) / len(row.parts)
        found.setdefault(row.family, []).append(mean)
    return {family: sum(means) / len(means) for family, means in found.items()}
