"""The record of instruction: four steps for each task, and what is said every year.

Kept by whoever leads or teaches the person, never by the person. A day may be put
right, a line entered by mistake withdrawn (``instruction_withdrawn``); the log tells
each. No birth date is asked or kept.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from academy.catalog import instruction as catalog
from academy.catalog import yard
from academy.catalog.instruction import STEPS, Instruction
from academy.errors import Conflict, NotUnderstood, OutOfRange
from academy.language import Reader
from academy.records.connection import Connection
from academy.records.queries import farm as farms
from academy.records.queries import instructions, people
from academy.records.queries.instructions import Instructed, Yearly
from academy.records.queries.people import Person
from academy.service import farm, log, written, yard_access
from academy.service.house import House
from academy.service.instruction_withdrawn import (
    Names,
    WithdrawnView,
    may_withdraw,
    name_of,
    withdrawn,
)
from academy.service.viewer import Viewer

OLDEST = timedelta(days=10 * 365)


@dataclass(frozen=True, slots=True)
class StepView:
    """One step of a task; ``day`` and ``by`` are empty until it was.

    ``mine``: the viewer may withdraw it, once it is the last one.
    """

    key: str
    name: str
    day: date | None
    by: str
    mine: bool


@dataclass(frozen=True, slots=True)
class TaskView:
    """One task with its four steps; ``next`` is the key of the first still missing."""

    key: str
    name: str
    steps: tuple[StepView, ...]
    next: str

    @property
    def last(self) -> StepView | None:
        """The last step that was, if the viewer may withdraw it."""
        kept = [step for step in self.steps if step.day is not None]
        return kept[-1] if kept and kept[-1].mine else None


@dataclass(frozen=True, slots=True)
class YearlyView:
    """One yearly item; ``day`` is when it was last said, ``due`` when again."""

    key: str
    text: str
    rule: str
    day: date | None
    by: str
    due: date | None
    late: bool
    mine: bool


@dataclass(frozen=True, slots=True)
class Record:
    """A person's whole record of instruction."""

    person_id: str
    person: str
    language: str
    crew: str
    today: date
    tasks: tuple[TaskView, ...]
    yearly: tuple[YearlyView, ...]
    withdrawn: tuple[WithdrawnView, ...]
    may_keep: bool

    @property
    def due(self) -> date | None:
        """When the first yearly item is due; None while one was never said."""
        days = [item.due for item in self.yearly]
        found = [day for day in days if day is not None]
        return min(found) if len(found) == len(days) else None

    @property
    def late(self) -> bool:
        """Whether a yearly item was never said or is overdue."""
        return any(item.late for item in self.yearly)


def keep_step(
    house: House,
    looking: Viewer,
    person_id: str,
    task: str,
    step: str,
    day: date,
    now: datetime,
) -> None:
    """Keep a step of a task on a day, or put its day right.

    Raises NotFound, NotAllowed for oneself, NotUnderstood, OutOfRange for a day to
    come or before the step before it, Conflict for a step whose earlier one is missing.
    """
    written.choice(task, catalog.load().tasks, "task")
    written.choice(step, STEPS, "step")
    with house.db.write() as connection:
        yard_access.led(connection, looking, person_id)
        _day_fits(connection, day, now)
        _in_order(instructions.of_person(connection, person_id), task, step, day)
        told = Instructed(person_id, task, step, day, looking.person_id)
        instructions.keep(connection, told)
        log.tell(connection, "instructed", now, person_id, task, step)


def keep_yearly(
    house: House,
    looking: Viewer,
    person_id: str,
    items: Iterable[str],
    day: date,
    now: datetime,
) -> None:
    """Keep the yearly items that were said to a person on a day.

    Raises NotFound, NotAllowed for oneself, NotUnderstood for none, OutOfRange.
    """
    chosen = sorted(set(items))
    if not chosen:
        raise NotUnderstood("nothing_ticked")
    for item in chosen:
        written.choice(item, catalog.load().yearly, "item")
    with house.db.write() as connection:
        yard_access.led(connection, looking, person_id)
        _day_fits(connection, day, now)
        for item in chosen:
            told = Yearly(person_id, item, day, looking.person_id)
            instructions.keep_yearly(connection, told)
            log.tell(connection, "instructed-yearly", now, person_id, item, str(day))


def record(
    house: House, looking: Viewer, person_id: str, reader: Reader, now: datetime
) -> Record:
    """A person's record, for the person and those who look after them.

    Raises NotFound.
    """
    with house.db.read() as connection:
        person = yard_access.seen(connection, looking, person_id)
        return _record(connection, looking, person, reader, now, {})


def of_crew(
    house: House, looking: Viewer, reader: Reader, now: datetime
) -> tuple[Record, ...]:
    """The records of all whom the viewer looks after; raises NotAllowed for a hire."""
    yard_access.require_keeper(looking)
    with house.db.read() as connection:
        found = people.active(connection)
        names = {one.id: one.name or "" for one in found}
        return tuple(
            _record(connection, looking, one, reader, now, names)
            for one in found
            if yard_access.looks_after(looking, one)
        )


def _record(
    connection: Connection,
    looking: Viewer,
    person: Person,
    reader: Reader,
    now: datetime,
    names: Names,
) -> Record:
    told = catalog.load()
    today = farm.day_at(connection, now)
    crew = farms.crew(connection, person.crew_id)
    return Record(
        person_id=person.id,
        person=person.name or "",
        language=person.language,
        crew=crew.name if crew else "",
        today=today,
        tasks=_tasks(connection, told, looking, person.id, reader, names),
        yearly=_yearly(connection, told, looking, person.id, reader, today, names),
        withdrawn=withdrawn(connection, person.id, reader, names),
        may_keep=yard_access.may_keep(looking, person),
    )


def _tasks(
    connection: Connection,
    told: Instruction,
    looking: Viewer,
    person_id: str,
    reader: Reader,
    names: Names,
) -> tuple[TaskView, ...]:
    kept = instructions.of_person(connection, person_id)
    found = {(one.task, one.step): one for one in kept}
    views = []
    for key, name in told.tasks.items():
        steps = []
        for step, text in told.steps.items():
            one = found.get((key, step))
            by = name_of(connection, one.by_id, names) if one else ""
            called = text.name.for_language(reader.language)
            mine = one is not None and may_withdraw(looking, one.by_id)
            steps.append(StepView(step, called, one.day if one else None, by, mine))
        missing = [step.key for step in steps if step.day is None]
        called = name.for_language(reader.language)
        views.append(TaskView(key, called, tuple(steps), missing[0] if missing else ""))
    return tuple(views)


def _yearly(
    connection: Connection,
    told: Instruction,
    looking: Viewer,
    person_id: str,
    reader: Reader,
    today: date,
    names: Names,
) -> tuple[YearlyView, ...]:
    newest: dict[str, Yearly] = {}
    for one in instructions.yearly_of(connection, person_id):
        newest.setdefault(one.item, one)
    again = timedelta(seconds=yard.rule().si("yearly_days"))
    views = []
    for key, item in told.yearly.items():
        last = newest.get(key)
        due = last.day + again if last else None
        views.append(
            YearlyView(
                key=key,
                text=item.text.for_language(reader.language),
                rule=item.rule,
                day=last.day if last else None,
                by=name_of(connection, last.by_id, names) if last else "",
                due=due,
                late=due is None or due < today,
                mine=last is not None and may_withdraw(looking, last.by_id),
            )
        )
    return tuple(views)


def _day_fits(connection: Connection, day: date, now: datetime) -> None:
    today = farm.day_at(connection, now)
    if not today - OLDEST <= day <= today:
        raise OutOfRange("day_not_past", value=str(day))


def _in_order(kept: Iterable[Instructed], task: str, step: str, day: date) -> None:
    """A step comes after the ones before it, on the same day or later."""
    days = {one.step: one.day for one in kept if one.task == task}
    names: list[str] = list(STEPS)
    place = names.index(step)
    for earlier in STEPS[:place]:
        if earlier not in days:
            raise Conflict("earlier_step_missing")
        if day < days[earlier]:
            raise OutOfRange("day_before_earlier_step", value=str(day))
    for later in STEPS[place + 1 :]:
        if later in days and days[later] < day:
            raise OutOfRange("day_after_later_step", value=str(day))
