"""Records of instruction: the four steps by task, and the yearly items by day.

A line that was entered by mistake is put among those withdrawn, where it stays.
"""

from dataclasses import asdict, dataclass
from datetime import date, datetime

from sqlalchemy import Connection, delete, insert, select

from academy.records.rows import every, put
from academy.records.tables.yard import (
    instruction,
    withdrawn_instruction,
    yearly_instruction,
)

YEARLY = "yearly"
"""Stands for the step where a withdrawn line is a yearly item."""


@dataclass(frozen=True, slots=True)
class Instructed:
    """One step of one task, when it was, and who saw it."""

    person_id: str
    task: str
    step: str
    day: date
    by_id: str


@dataclass(frozen=True, slots=True)
class Yearly:
    """One yearly item on one day, and who said it."""

    person_id: str
    item: str
    day: date
    by_id: str


@dataclass(frozen=True, slots=True)
class Withdrawn:
    """A line that does not count: what it said, who withdrew it, when and why.

    ``task`` is the item's key where ``step`` is ``YEARLY``.
    """

    id: str
    person_id: str
    task: str
    step: str
    day: date
    by_id: str
    withdrawn_by: str
    withdrawn_at: datetime
    reason: str


def of_person(connection: Connection, person_id: str) -> tuple[Instructed, ...]:
    """All steps of a person."""
    query = select(instruction).where(instruction.c.person_id == person_id)
    return every(connection, query.order_by(instruction.c.task), Instructed)


def yearly_of(connection: Connection, person_id: str) -> tuple[Yearly, ...]:
    """All yearly items of a person, the newest first."""
    table = yearly_instruction
    query = select(table).where(table.c.person_id == person_id)
    return every(connection, query.order_by(table.c.day.desc(), table.c.item), Yearly)


def keep(connection: Connection, told: Instructed) -> None:
    """Keep a step, or put its day right."""
    put(
        connection,
        instruction,
        person_id=told.person_id,
        task=told.task,
        step=told.step,
        day=told.day,
        by_id=told.by_id,
    )


def keep_yearly(connection: Connection, told: Yearly) -> None:
    """Keep a yearly item of a day."""
    put(
        connection,
        yearly_instruction,
        person_id=told.person_id,
        item=told.item,
        day=told.day,
        by_id=told.by_id,
    )


def withdraw(connection: Connection, told: Withdrawn) -> None:
    """Put a line among those withdrawn, in place of where it counted."""
    if told.step == YEARLY:
        table = yearly_instruction
        same = (table.c.item == told.task) & (table.c.day == told.day)
    else:
        table = instruction
        same = (table.c.task == told.task) & (table.c.step == told.step)
    connection.execute(delete(table).where(table.c.person_id == told.person_id, same))
    connection.execute(insert(withdrawn_instruction).values(asdict(told)))


def withdrawn_of(connection: Connection, person_id: str) -> tuple[Withdrawn, ...]:
    """All withdrawn lines of a person, in the order of withdrawing."""
    table = withdrawn_instruction
    query = select(table).where(table.c.person_id == person_id)
    return every(
        connection, query.order_by(table.c.withdrawn_at, table.c.id), Withdrawn
    )
