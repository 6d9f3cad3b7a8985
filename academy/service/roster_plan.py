"""What a roster file would do to the crew: row by row, before anything is written."""

import hashlib
import json
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from academy.catalog import roster as spelling
from academy.catalog.roster import Column, RosterWords, fold
from academy.errors import AcademyError, Conflict, NotUnderstood, OutOfRange
from academy.exchange.roster_csv import Row
from academy.records.connection import Connection
from academy.records.queries import farm as farms
from academy.records.queries import people as persons
from academy.service import written
from academy.service.viewer import Viewer


@dataclass(frozen=True, slots=True)
class Entry:
    """A person as the roster says: roles in the order of the house, crew by name."""

    name: str
    roles: tuple[str, ...]
    language: str
    units: str
    crew: str


@dataclass(frozen=True, slots=True)
class Known:
    """A person as the house has them now; not ``active`` when they were let go."""

    person_id: str
    entry: Entry
    active: bool = True


@dataclass(frozen=True, slots=True)
class Step:
    """One row's deed: ``was`` is None for a person who is new."""

    row: int
    entry: Entry
    was: Known | None

    @property
    def kind(self) -> str:
        """added, returned, changed or same."""
        if self.was is None:
            return "added"
        if not self.was.active:
            return "returned"
        return "same" if self.was.entry == self.entry else "changed"


@dataclass(frozen=True, slots=True)
class Plan:
    """All steps, or the problems that keep the file out."""

    steps: tuple[Step, ...]
    problems: tuple[AcademyError, ...]
    new_crews: tuple[str, ...]

    @property
    def digest(self) -> str:
        """What the steps change, as one hash: what was shown is what is done."""
        said = [
            (step.was and step.was.person_id, step.was and step.was.entry, step.entry)
            for step in self.steps
            if step.kind != "same"
        ]
        text = json.dumps(said, default=_plain, sort_keys=True)
        return hashlib.sha256(text.encode()).hexdigest()


@dataclass(frozen=True, slots=True)
class Desk:
    """What rows are held against: people, crews, words and the reader's language.

    ``headings`` are the columns as the file spells them.
    """

    people: tuple[Known, ...]
    crews: Mapping[str, str]
    crew: str
    looking: Viewer
    headings: Mapping[str, str] = field(default_factory=dict)
    words: RosterWords = field(default_factory=spelling.load)

    def heading(self, column: Column) -> str:
        """A column's heading, as the file has it or as we write it."""
        ours = self.words.heading(column, self.looking.language)
        return self.headings.get(column, ours)


def desk(
    connection: Connection, looking: Viewer, headings: Mapping[str, str] | None = None
) -> Desk:
    """The house as it stands now."""
    crews = {crew.id: crew.name for crew in farms.crews(connection)}
    people = tuple(
        Known(
            one.id,
            Entry(
                name=one.name or "",
                roles=_in_order(persons.roles(connection, one.id)),
                language=one.language,
                units=one.units,
                crew=crews[one.crew_id],
            ),
            one.active,
        )
        for one in (*persons.active(connection), *persons.former(connection))
    )
    return Desk(people, crews, crews[looking.crew_id], looking, headings or {})


def plan(at: Desk, rows: tuple[Row, ...]) -> Plan:
    """What the rows mean; with a problem there are no steps."""
    steps: list[Step] = []
    problems: list[AcademyError] = []
    for row in rows:
        try:
            steps.append(_step(at, row))
        except AcademyError as found:
            problems.append(found)
    problems += [*_twice(at, steps), *_without_owner(at, steps)]
    if problems:
        return Plan((), tuple(sorted(problems, key=_row_of)), ())
    steps = _one_spelling(steps)
    new = {step.entry.crew for step in steps} - set(at.crews.values())
    return Plan(tuple(steps), (), tuple(sorted(new)))


def _one_spelling(steps: list[Step]) -> list[Step]:
    """A new crew has one name, the one it has first."""
    first: dict[str, str] = {}
    return [
        replace(
            step,
            entry=replace(
                step.entry,
                crew=first.setdefault(step.entry.crew.casefold(), step.entry.crew),
            ),
        )
        for step in steps
    ]


def _step(at: Desk, row: Row) -> Step:
    name = _name(at, row)
    was = _known(at, row, name)
    before = was.entry if was else _blank(at, name)
    entry = Entry(
        name=before.name,
        roles=_roles(at, row) or before.roles,
        language=_choice(at, row, "language") or before.language,
        units=_choice(at, row, "units") or before.units,
        crew=_crew(at, row) or before.crew,
    )
    return Step(row.number, entry, was)


def _blank(at: Desk, name: str) -> Entry:
    """What empty cells mean for a person who is new."""
    return Entry(name, ("hire",), at.looking.language, at.looking.units, at.crew)


def _name(at: Desk, row: Row) -> str:
    tidy = " ".join(unicodedata.normalize("NFC", row.cells["name"]).split())
    where = {"row": row.number, "column": at.heading("name")}
    if not tidy:
        raise NotUnderstood("roster_name_missing", **where)
    return _fitting(tidy, where)


def _fitting(text: str, where: Mapping[str, object]) -> str:
    if not text.isprintable():
        raise NotUnderstood("roster_not_printable", **where)
    if len(text) > written.LONGEST_NAME:
        raise OutOfRange(
            "roster_name_too_long",
            most=written.LONGEST_NAME,
            value=f"{text[:40]}…",
            **where,
        )
    return text


def _known(at: Desk, row: Row, name: str) -> Known | None:
    """The person of this name: who is here before who left, then the named crew's."""
    alike = [one for one in at.people if _same(one.entry.name, name)]
    alike = [one for one in alike if one.active] or alike
    if len(alike) > 1:
        crew = _crew(at, row) or at.crew
        alike = [one for one in alike if one.entry.crew == crew]
        if len(alike) != 1:
            raise Conflict("roster_name_unclear", row=row.number, value=name)
    return alike[0] if alike else None


def _crew(at: Desk, row: Row) -> str:
    said = " ".join(row.cells.get("crew", "").split())
    known = [name for name in at.crews.values() if _same(name, said)]
    if known or not said:
        return known[0] if known else ""
    where = {"row": row.number, "column": at.heading("crew")}
    return _fitting(unicodedata.normalize("NFC", said), where)


def _roles(at: Desk, row: Row) -> tuple[str, ...]:
    said = row.cells.get("roles", "")
    for mark in ",;+|&\n":
        said = said.replace(mark, "/")
    parts = [part for part in said.split("/") if fold(part)]
    return _in_order({_one_of(at, row, "roles", part) for part in parts})


def _choice(at: Desk, row: Row, column: Column) -> str:
    said = row.cells.get(column, "")
    return _one_of(at, row, column, said) if said else ""


def _one_of(at: Desk, row: Row, column: Column, said: str) -> str:
    found = at.words.choices(column).get(fold(said))
    if found is None:
        raise NotUnderstood(
            "roster_not_a_choice",
            row=row.number,
            column=at.heading(column),
            choices=", ".join(at.words.words(column, at.looking.language)),
            value=said.strip(),
        )
    return found


def _twice(at: Desk, steps: list[Step]) -> Iterator[AcademyError]:
    """Rows about one and the same person."""
    seen: dict[str, int] = {}
    for step in steps:
        key = step.was.person_id if step.was else step.entry.name.casefold()
        if key in seen:
            yield Conflict(
                "roster_name_twice",
                row=step.row,
                column=at.heading("name"),
                other=seen[key],
                value=step.entry.name,
            )
        seen.setdefault(key, step.row)


def _without_owner(at: Desk, steps: list[Step]) -> Iterator[AcademyError]:
    """Rows that take the owner's role from the last who has it."""
    touched = {step.was.person_id for step in steps if step.was}
    left = [
        one
        for one in at.people
        if one.active and "owner" in one.entry.roles and one.person_id not in touched
    ]
    if left or any("owner" in step.entry.roles for step in steps):
        return
    for step in steps:
        if step.was and step.was.active and "owner" in step.was.entry.roles:
            yield Conflict(
                "roster_last_owner", row=step.row, column=at.heading("roles")
            )


def _same(one: str, other: str) -> bool:
    return one.casefold() == other.casefold()


def _in_order(roles: set[str] | frozenset[str]) -> tuple[str, ...]:
    return tuple(role for role in written.ROLES if role in roles)


def _row_of(problem: AcademyError) -> int:
    return int(str(problem.values["row"]))


def _plain(entry: object) -> object:
    assert isinstance(entry, Entry)  # noqa: S101 - nothing else is said
    return [entry.name, entry.roles, entry.language, entry.units, entry.crew]
