"""An instructor's lab: laid out for a group, watched, and opened for the debrief.

The rule that nobody sits beside the same facts is lifted for a lab, inside its group
and nowhere else: each of the group sits alone there. Who belongs to the group never had
these facts before.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from random import SystemRandom
from secrets import randbelow

from academy.catalog import coefficients, topics
from academy.catalog.families import Family, practised
from academy.catalog.families import known as known_families
from academy.errors import Conflict, NotFound, NotUnderstood, OutOfRange
from academy.records.connection import Connection
from academy.records.queries import coefficients as coefficient_rows
from academy.records.queries import farm as farms
from academy.records.queries import labs, scenarios
from academy.records.queries import people as persons
from academy.records.queries.labs import Given, Lab
from academy.records.queries.people import Person
from academy.records.queries.stock import Draft
from academy.service import viewer, written
from academy.service.house import House
from academy.service.making import family, make, practised_family
from academy.service.viewer import Viewer

FIELDS = ("same", "each")
MOST_FIELDS = 6
MOST_PEOPLE = 200
LISTED = 30
_SEEDS = 2**53
_FRESH_TRIES = 20


@dataclass(frozen=True, slots=True)
class LabForm:
    """What is laid out, for whom: families, whole crews, single people."""

    families: tuple[str, ...]
    fields: str
    crews: tuple[str, ...] = ()
    people: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Pool:
    """Families to choose from under one heading; topic is empty for set-ups."""

    topic: str
    families: tuple[tuple[str, str], ...]  # key, title


@dataclass(frozen=True, slots=True)
class Choices:
    """What a lab can be laid out from: families, crews, people with their crew."""

    pools: tuple[Pool, ...]
    crews: tuple[tuple[str, str], ...]
    people: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True)
class LabRow:
    """One lab in a list."""

    lab_id: str
    titles: tuple[str, ...]
    made_at: datetime
    people: int
    over: bool


@dataclass(frozen=True, slots=True)
class MemberRow:
    """One of the group: a word per field, ``answered``, ``begun`` or ``waiting``."""

    name: str
    number: int
    states: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LabView:
    """One lab with its link and how far everybody is."""

    lab_id: str
    titles: tuple[str, ...]
    fields: str
    made_at: datetime
    over: bool
    url: str
    members: tuple[MemberRow, ...]

    @property
    def untouched(self) -> bool:
        """Whether nobody has answered anything."""
        return not any("answered" in one.states for one in self.members)

    def answered(self, place: int) -> int:
        """How many have answered the field at a place, from 0."""
        return sum(one.states[place] == "answered" for one in self.members)


def choices(house: House, looking: Viewer) -> Choices:
    """Families, crews and people that the viewer may choose; raises NotFound."""
    viewer.require_teacher(looking)
    with house.db.read() as connection:
        people = _reach(connection, looking)
        crews = {crew.id: crew.name for crew in farms.crews(connection)}
    used = dict.fromkeys(person.crew_id for person in people)
    return Choices(
        pools=_pools(looking.language),
        crews=tuple((key, name) for key, name in crews.items() if key in used),
        people=tuple((one.id, one.name or "", crews[one.crew_id]) for one in people),
    )


def lay_out(house: House, looking: Viewer, form: LabForm, now: datetime) -> str:
    """Lay a lab out; its id.

    Raises NotFound for whom or what the viewer may not choose, NotUnderstood when
    nothing or nobody is chosen, OutOfRange for too much, Conflict when no fresh field
    could be made.
    """
    viewer.require_teacher(looking)
    written.choice(form.fields, FIELDS, "fields")
    chosen = _families(form.families)
    with house.db.read() as connection:
        people = _group(_reach(connection, looking), form)
    drafts = [_draft(house, key, people) for key in chosen]
    SystemRandom().shuffle(people)  # a number tells nothing
    with house.db.write() as connection:
        return labs.add(
            connection,
            made_by=looking.person_id,
            fields=form.fields,
            drafts=drafts,
            people=people,
            now=now,
        )


def every_lab(house: House, looking: Viewer) -> tuple[LabRow, ...]:
    """The viewer's labs, an owner's are all; the newest first. Raises NotFound."""
    viewer.require_teacher(looking)
    with house.db.read() as connection:
        whose = None if looking.owns else looking.person_id
        found = labs.made(connection, whose)[:LISTED]
        ids = [one.id for one in found]
        families, sizes = (
            labs.families(connection, ids),
            labs.group_sizes(connection, ids),
        )
    return tuple(
        LabRow(
            lab_id=one.id,
            titles=titles(families[one.id], looking.language),
            made_at=one.made_at,
            people=sizes[one.id],
            over=one.debriefed_at is not None,
        )
        for one in found
    )


def lab(house: House, looking: Viewer, lab_id: str) -> LabView:
    """One lab and how far everybody is; raises NotFound."""
    with house.db.read() as connection:
        found = own(connection, looking, lab_id)
        families = labs.families(connection, [lab_id])[lab_id]
        members = labs.members(connection, lab_id)
        given = labs.given(connection, lab_id)
    states = {(one.person_id, one.position): _state(one) for one in given}
    places = range(1, len(families) + 1)
    return LabView(
        lab_id=lab_id,
        titles=titles(families, looking.language),
        fields=found.fields,
        made_at=found.made_at,
        over=found.debriefed_at is not None,
        url=f"{house.settings.address}/lab/{lab_id}",
        members=tuple(
            MemberRow(
                name=one.name or "",
                number=one.number,
                states=tuple(
                    states.get((one.person_id, place), "waiting") for place in places
                ),
            )
            for one in members
        ),
    )


def open_debrief(house: House, looking: Viewer, lab_id: str, now: datetime) -> None:
    """Open the debrief: no more answers from now on. Raises NotFound."""
    with house.db.write() as connection:
        if own(connection, looking, lab_id).debriefed_at is None:
            labs.set_debriefed(connection, lab_id, now)


def take_answers_again(house: House, looking: Viewer, lab_id: str) -> None:
    """Close the debrief again, for one opened by mistake. Raises NotFound."""
    with house.db.write() as connection:
        own(connection, looking, lab_id)
        labs.set_debriefed(connection, lab_id, None)


def remove(house: House, looking: Viewer, lab_id: str) -> None:
    """Take a lab away that nobody has answered yet.

    Raises NotFound, Conflict once somebody has answered: that stays in the record.
    """
    with house.db.write() as connection:
        own(connection, looking, lab_id)
        if not labs.remove(connection, lab_id):
            raise Conflict("lab_has_answers")


def own(connection: Connection, looking: Viewer, lab_id: str) -> Lab:
    """A lab of the viewer's, for an owner any; raises NotFound."""
    viewer.require_teacher(looking)
    found = labs.get(connection, lab_id)
    if found is None or not (looking.owns or found.made_by == looking.person_id):
        raise NotFound("no_such_lab")
    return found


def titles(families: Sequence[str], language: str) -> tuple[str, ...]:
    """The families in words; one that content no longer has keeps its key."""
    known = known_families()
    return tuple(
        known[key].title.for_language(language) if key in known else key
        for key in families
    )


def _state(given: Given) -> str:
    return "begun" if given.answered_at is None else "answered"


def _pools(language: str) -> tuple[Pool, ...]:
    """Those with a set-up first, the others under their first topic."""
    listed: dict[str, list[tuple[str, str]]] = {"": []}
    listed |= {key: [] for key in topics.load()}
    for key, content in practised().items():
        topic = "" if _sets_up(content) else content.parts[0].topic
        listed[topic].append((key, content.title.for_language(language)))
    names = {key: one.name.for_language(language) for key, one in topics.load().items()}
    return tuple(
        Pool(names.get(topic, ""), tuple(rows))
        for topic, rows in listed.items()
        if rows
    )


def _sets_up(content: Family) -> bool:
    return any(part.kind == "set-up" for part in content.parts)


def _reach(connection: Connection, looking: Viewer) -> list[Person]:
    """Whom the viewer may give a lab: a lead the own crew, the others everybody."""
    only_lead = looking.roles.isdisjoint({"owner", "instructor"})
    found = persons.active(connection, looking.crew_id if only_lead else None)
    return [one for one in found if one.id != looking.person_id]


def _group(reach: Iterable[Person], form: LabForm) -> list[str]:
    people = list(reach)
    wrong = set(form.people) - {one.id for one in people}
    if wrong:
        raise NotFound("no_such_person")
    if set(form.crews) - {one.crew_id for one in people}:
        raise NotFound("no_such_crew")
    chosen = [
        one.id for one in people if one.crew_id in form.crews or one.id in form.people
    ]
    if not chosen:
        raise NotUnderstood("lab_without_people")
    if len(chosen) > MOST_PEOPLE:
        raise OutOfRange("lab_too_many", value=len(chosen), most=MOST_PEOPLE)
    return chosen


def _families(keys: Iterable[str]) -> list[str]:
    chosen = list(dict.fromkeys(keys))
    if not chosen:
        raise NotUnderstood("lab_without_family")
    if len(chosen) > MOST_FIELDS:
        raise OutOfRange("lab_too_many", value=len(chosen), most=MOST_FIELDS)
    return [key for key in chosen if practised_family(key)]


def _draft(house: House, key: str, people: Sequence[str]) -> Draft:
    """A scenario none of them ever had: off the shelf, else made on the spot."""
    with house.db.write() as connection:
        ready = scenarios.take_ready(connection, key, people)
    if ready is not None:
        return ready
    known_set = coefficients.load(family(key).crop)
    for _ in range(_FRESH_TRIES):
        draft = make(key, randbelow(_SEEDS))
        with house.db.write() as connection:
            coefficient_rows.keep(connection, known_set.digest, known_set.body)
            if not scenarios.had_by_any(connection, draft.digest, people):
                return draft
    raise Conflict("no_fresh_scenario")
