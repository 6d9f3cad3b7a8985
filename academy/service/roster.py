"""The roster in and out as a CSV file: looked at first, then taken in whole or not."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from academy.catalog import roster as spelling
from academy.catalog.roster import COLUMNS, Column, RosterWords
from academy.errors import AcademyError, Conflict
from academy.exchange import roster_csv
from academy.exchange.roster_csv import RosterFile
from academy.records.connection import Connection
from academy.records.queries import farm as farms
from academy.records.queries import people as persons
from academy.service import farm, log, roster_plan, viewer, written
from academy.service.house import House
from academy.service.roster_plan import Entry, Plan, Step
from academy.service.viewer import Viewer


@dataclass(frozen=True, slots=True)
class Shown:
    """One row as the look ahead shows it.

    ``kind`` is added, returned, changed or same; ``details`` are heading, before and
    after, with an empty before for a person who is new.
    """

    row: int
    kind: str
    name: str
    details: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True)
class Ahead:
    """What a file would do; with problems it does nothing.

    ``unread`` names columns that are none of ours; ``digest`` stands for all of it.
    """

    rows: tuple[Shown, ...]
    problems: tuple[AcademyError, ...]
    unread: tuple[str, ...]
    new_crews: tuple[str, ...]
    digest: str

    def count(self, kind: str) -> int:
        """How many rows are of a kind."""
        return sum(row.kind == kind for row in self.rows)


def look_ahead(house: House, looking: Viewer, data: bytes) -> Ahead:
    """What a roster file would add and change; nothing is written.

    Raises NotAllowed for all but owners, NotUnderstood and OutOfRange for a file that
    is no roster at all.
    """
    viewer.require_owner(looking)
    file = _file(data)
    with house.db.read() as connection:
        found = _plan(connection, looking, file)
    words = spelling.load()
    return Ahead(
        rows=tuple(_shown(step, words, looking.language) for step in found.steps),
        problems=(*file.problems, *found.problems),
        unread=file.unread,
        new_crews=found.new_crews,
        digest=found.digest,
    )


def take_in(
    house: House, looking: Viewer, data: bytes, digest: str, now: datetime
) -> tuple[int, int]:
    """Take a looked-at file in, whole, in one write; how many added and changed.

    Who was let go and stands in the file is back, and counts as changed. Sent twice it
    changes nothing the second time. Raises NotAllowed, and Conflict when the file would
    no longer do what ``digest`` stands for.
    """
    viewer.require_owner(looking)
    file = _file(data)
    with house.db.write() as connection:
        farms.hold(connection)
        found = _plan(connection, looking, file)
        todo = [step for step in found.steps if step.kind != "same"]
        if file.problems or found.problems or (todo and found.digest != digest):
            raise Conflict("roster_moved_on")
        crews = _crews(connection, house, found)
        for step in todo:
            person_id = _do(connection, step, crews[step.entry.crew], now)
            if step.was is None or set(step.was.entry.roles) != set(step.entry.roles):
                who = looking.person_id
                log.tell(connection, "role-changed", now, person_id, set_by=who)
    added = sum(step.was is None for step in todo)
    return added, len(todo) - added


def file_out(house: House, looking: Viewer) -> bytes:
    """The people a lead (own crew) or owner (everyone) looks after, as a roster file.

    Raises NotAllowed for a hire.
    """
    viewer.require_lead(looking)
    with house.db.read() as connection:
        at = roster_plan.desk(connection, looking)
    entries = [
        one.entry
        for one in at.people
        if one.active and (looking.owns or one.entry.crew == at.crew)
    ]
    return _written(entries, looking.language)


def sample(language: str, crew: str) -> bytes:
    """A roster file of invented people to write over."""
    return _written(
        [
            Entry(
                name=one.name.for_language(language),
                roles=one.roles,
                language=one.language,
                units=one.units,
                crew=crew,
            )
            for one in spelling.load().sample
        ],
        language,
    )


def own_crew(house: House, looking: Viewer) -> str:
    """The name of the viewer's crew."""
    with house.db.read() as connection:
        found = farms.crew(connection, looking.crew_id)
    return found.name if found else ""


def _file(data: bytes) -> RosterFile:
    return roster_csv.read(data, spelling.load().headings())


def _plan(connection: Connection, looking: Viewer, file: RosterFile) -> Plan:
    at = roster_plan.desk(connection, looking, file.headings)
    return roster_plan.plan(at, file.rows)


def _written(entries: list[Entry], language: str) -> bytes:
    words = spelling.load()
    head = [words.heading(column, language) for column in COLUMNS]
    rows = [
        [_cell(words, column, entry, language) for column in COLUMNS]
        for entry in entries
    ]
    return roster_csv.write(head, rows)


def _cell(words: RosterWords, column: Column, entry: Entry, language: str) -> str:
    if column == "roles":
        return " / ".join(words.word("roles", role, language) for role in entry.roles)
    value: str = getattr(entry, column)
    if column in ("language", "units"):
        return words.word(column, value, language)
    return value


def _shown(step: Step, words: RosterWords, language: str) -> Shown:
    details = tuple(_details(step, words, language)) if step.kind != "same" else ()
    return Shown(step.row, step.kind, step.entry.name, details)


def _details(
    step: Step, words: RosterWords, language: str
) -> Iterator[tuple[str, str, str]]:
    for column in COLUMNS[1:]:
        after = _cell(words, column, step.entry, language)
        before = _cell(words, column, step.was.entry, language) if step.was else ""
        if before != after:
            yield words.heading(column, language), before, after


def _crews(connection: Connection, house: House, found: Plan) -> dict[str, str]:
    """Ids of all crews by name, those made that are new."""
    crews = {crew.name: crew.id for crew in farms.crews(connection)}
    for name in found.new_crews:
        crews[name] = farm.crew_with_needs(connection, house, name)
    return crews


def _do(connection: Connection, step: Step, crew_id: str, now: datetime) -> str:
    """Do one row of a roster file; the person's id."""
    entry = step.entry
    if step.was is None:
        return persons.add(
            connection,
            crew_id=crew_id,
            name=entry.name,
            language=entry.language,
            units=entry.units,
            roles=entry.roles,
            now=now,
        )
    person_id, before = step.was.person_id, set(step.was.entry.roles)
    persons.set_reader(connection, person_id, entry.language, entry.units)
    persons.move(connection, person_id, crew_id)
    persons.set_active(connection, person_id, True)
    for role in written.ROLES:
        if role in entry.roles and role not in before:
            persons.give_role(connection, person_id, role)
        if role in before and role not in entry.roles:
            persons.take_role(connection, person_id, role)
    return person_id
