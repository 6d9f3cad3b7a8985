"""Records of instruction: the four steps by task, and the yearly items by day."""

from dataclasses import dataclass
from datetime import date

from sqlalchemy import Connection, select

from academy.records.rows import every, put
from academy.records.tables.yard import instruction, yearly_instruction


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
