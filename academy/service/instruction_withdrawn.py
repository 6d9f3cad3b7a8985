"""Lines of the record of instruction that were entered by mistake and withdrawn.

Who entered a line withdraws it, or an owner or instructor, with a reason. It stays in
the record with both names and counts no more; the log tells it.
"""

from dataclasses import dataclass
from datetime import date, datetime

from academy.catalog import instruction as catalog
from academy.catalog.instruction import STEPS
from academy.errors import Conflict, NotAllowed, NotFound, NotUnderstood, OutOfRange
from academy.language import Reader
from academy.records.connection import Connection
from academy.records.queries import instructions, people
from academy.records.queries.instructions import YEARLY, Withdrawn
from academy.records.rows import new_id
from academy.service import farm, log, yard_access
from academy.service.house import House
from academy.service.viewer import Viewer

Names = dict[str, str]  # by the person's id
LONGEST_REASON = 400


@dataclass(frozen=True, slots=True)
class WithdrawnView:
    """A withdrawn line: what it said, and who withdrew it on which day and why.

    ``task`` and ``step`` are keys, ``step`` yearly for a yearly item; ``name`` is the
    step or the item in words.
    """

    task: str
    step: str
    name: str
    day: date
    by: str
    withdrawn: date
    withdrawn_by: str
    reason: str


@dataclass(frozen=True, slots=True)
class Line:
    """Which line is meant: ``task`` is the item's key where ``step`` is yearly."""

    task: str
    step: str
    day: date


def withdraw(
    house: House,
    looking: Viewer,
    person_id: str,
    line: Line,
    reason: str,
    now: datetime,
) -> None:
    """Withdraw a line; the same one sent twice is no harm.

    Raises NotFound for a line that is not there, NotUnderstood without a reason,
    OutOfRange for one too long, NotAllowed for oneself and for who neither entered it
    nor owns or instructs, Conflict while a later step of its task stands.
    """
    tidy = " ".join(reason.split())
    if not tidy:
        raise NotUnderstood("withdrawing_needs_reason")
    if len(tidy) > LONGEST_REASON:
        raise OutOfRange("reason_too_long", most=LONGEST_REASON, value=len(tidy))
    with house.db.write() as connection:
        yard_access.led(connection, looking, person_id)
        by_id = _entered_by(connection, person_id, line)
        if by_id is None:
            if _gone_already(connection, person_id, line):
                return
            raise NotFound("no_such_instruction")
        if not may_withdraw(looking, by_id):
            raise NotAllowed("withdrawn_by_who_entered")
        _refuse_between(connection, person_id, line)
        made = Withdrawn(
            id=new_id(),
            person_id=person_id,
            task=line.task,
            step=line.step,
            day=line.day,
            by_id=by_id,
            withdrawn_by=looking.person_id,
            withdrawn_at=now,
            reason=tidy,
        )
        instructions.withdraw(connection, made)
        log.tell(connection, "instruction-withdrawn", now, made.id)


def may_withdraw(looking: Viewer, by_id: str) -> bool:
    """Whether the viewer entered the line, or owns or instructs."""
    return by_id == looking.person_id or looking.owns or "instructor" in looking.roles


def withdrawn(
    connection: Connection, person_id: str, reader: Reader, names: Names
) -> tuple[WithdrawnView, ...]:
    """A person's withdrawn lines, in the order of withdrawing."""
    return tuple(
        WithdrawnView(
            task=one.task,
            step=one.step,
            name=_called(one, reader),
            day=one.day,
            by=name_of(connection, one.by_id, names),
            withdrawn=farm.day_at(connection, one.withdrawn_at),
            withdrawn_by=name_of(connection, one.withdrawn_by, names),
            reason=one.reason,
        )
        for one in instructions.withdrawn_of(connection, person_id)
    )


def name_of(connection: Connection, person_id: str, names: Names) -> str:
    """What a person is called; ``names`` remembers those that were looked up."""
    if person_id not in names:
        found = people.get(connection, person_id)
        names[person_id] = (found.name if found else None) or "–"
    return names[person_id]


def _entered_by(connection: Connection, person_id: str, line: Line) -> str | None:
    """Who entered the line that counts; None when there is none on that day."""
    if line.step == YEARLY:
        found = [
            one.by_id
            for one in instructions.yearly_of(connection, person_id)
            if (one.item, one.day) == (line.task, line.day)
        ]
    else:
        found = [
            one.by_id
            for one in instructions.of_person(connection, person_id)
            if (one.task, one.step, one.day) == (line.task, line.step, line.day)
        ]
    return found[0] if found else None


def _gone_already(connection: Connection, person_id: str, line: Line) -> bool:
    return any(
        (one.task, one.step, one.day) == (line.task, line.step, line.day)
        for one in instructions.withdrawn_of(connection, person_id)
    )


def _refuse_between(connection: Connection, person_id: str, line: Line) -> None:
    """Refuse to leave a gap: a step comes off from the last one on."""
    if line.step == YEARLY:
        return
    names: list[str] = list(STEPS)
    later = set(names[names.index(line.step) + 1 :])
    kept = instructions.of_person(connection, person_id)
    if any(one.task == line.task and one.step in later for one in kept):
        raise Conflict("later_step_stands")


def _called(one: Withdrawn, reader: Reader) -> str:
    """The step or the item in words; its key when content no longer knows it."""
    told = catalog.load()
    if one.step == YEARLY:
        item = told.yearly.get(one.task)
        return item.text.for_language(reader.language) if item else one.task
    called = {str(step): text.name for step, text in told.steps.items()}
    return called[one.step].for_language(reader.language)
