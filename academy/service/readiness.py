"""The readiness board: people by topics and jobs, today and on the first harvest day.

Beliefs slip with every day of disuse, so the board looks at each on both days. A person
never tested counts with the chance of the untested.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from academy.catalog import families
from academy.catalog.shelf import Catalog
from academy.competence import belief as believing
from academy.competence import readiness as cover
from academy.competence.replay import Standing, belief_on, untested
from academy.errors import NotFound
from academy.records.connection import Connection
from academy.records.queries import beliefs as cache
from academy.records.queries import farm as farms
from academy.records.queries import people as persons
from academy.records.queries.people import Person
from academy.service import beliefs, coming_back, critical, farm, viewer
from academy.service.critical import TALK_FIRST, OpenMiss
from academy.service.house import House
from academy.service.viewer import Viewer


@dataclass(frozen=True, slots=True)
class Chance:
    """A chance today and on harvest day, and a word for today.

    ``word`` is ready, refresh, not_yet, untested, or talk_first: it would be ready, but
    a mistake that can hurt or kill has not been put right yet.
    """

    today: float
    harvest: float | None
    word: str


@dataclass(frozen=True, slots=True)
class BoardPerson:
    """One person's row: chances by topic key and by job key.

    ``talk``: was sure of late of a wrong answer where somebody can be hurt; ``missed``:
    mistakes that can hurt or kill and that nobody has put right yet.
    """

    person_id: str
    name: str
    topics: Mapping[str, Chance]
    jobs: Mapping[str, Chance]
    talk: bool
    missed: tuple[OpenMiss, ...] = ()


@dataclass(frozen=True, slots=True)
class BoardTopic:
    """One topic: how many people stand ready on average."""

    key: str
    name: str
    expected_today: float
    expected_harvest: float | None


@dataclass(frozen=True, slots=True)
class Missed:
    """Whose absence would hurt a job most, and by how much the cover would fall."""

    person_id: str
    name: str
    drop: float


@dataclass(frozen=True, slots=True)
class BoardJob:
    """One job: the chance that enough people stand ready for it.

    ``missed`` looks at harvest day when one is set, else at today; ``unasked`` names
    the topics that no question asks yet.
    """

    key: str
    name: str
    needed: int
    topics: tuple[str, ...]
    today: float
    harvest: float | None
    missed: Missed | None
    unasked: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Board:
    """A crew's board; ``harvest`` is None when no harvest day lies ahead."""

    crew_id: str
    crew_name: str
    today: date
    harvest: date | None
    topics: tuple[BoardTopic, ...]
    jobs: tuple[BoardJob, ...]
    people: tuple[BoardPerson, ...]


def board(
    house: House, looking: Viewer, now: datetime, crew_id: str | None = None
) -> Board:
    """The board of a crew, by default the viewer's own.

    Raises NotAllowed for hires, NotFound for a crew that is not the lead's.
    """
    chosen = viewer.crew_seen(looking, crew_id)
    with house.db.read() as connection:
        crew = farms.crew(connection, chosen)
        if crew is None:
            raise NotFound("no_such_crew")
        today = farm.day_at(connection, now)
        season = farms.next_season(connection, today)
        harvest = season.harvest_day if season else None
        desk = _Desk(house.catalog, looking.language, today, harvest)
        rows = _rows(connection, desk, chosen, now)
        needed = {
            one.role_key: one.headcount for one in farms.needed(connection, chosen)
        }
    return Board(
        crew_id=crew.id,
        crew_name=crew.name,
        today=today,
        harvest=harvest,
        topics=tuple(_topic(desk, key, rows) for key in house.catalog.topics),
        jobs=tuple(
            _job(desk, key, needed[key], rows)
            for key in house.catalog.jobs
            if key in needed
        ),
        people=rows,
    )


@dataclass(frozen=True, slots=True)
class _Desk:
    """What every cell is counted with."""

    catalog: Catalog
    language: str
    today: date
    harvest: date | None


def _rows(
    connection: Connection, desk: _Desk, crew_id: str, now: datetime
) -> tuple[BoardPerson, ...]:
    ledger = beliefs.Ledger.of(connection, desk.catalog)
    kept = cache.all_for_crew(connection, crew_id)
    found = beliefs.standings(connection, ledger, kept)
    tested = {person_id for person_id, _ in found}
    talk = coming_back.to_talk_to(connection, crew_id)
    crew = persons.active(connection, crew_id)
    ids = [person.id for person in crew]
    missed = critical.open_misses(connection, ids, now, going=True)
    return tuple(
        _row(desk, person, found, person.id in talk, missed.get(person.id, ()))
        for person in crew
        if person.id in tested or _works(connection, person)
    )


def _works(connection: Connection, person: Person) -> bool:
    """Whether a person never tested counts; an owner only after the first answer."""
    return bool(persons.roles(connection, person.id) & {"hire", "lead"})


def _row(
    desk: _Desk,
    person: Person,
    found: Mapping[tuple[str, str], Standing],
    talk: bool,
    missed: tuple[OpenMiss, ...],
) -> BoardPerson:
    held_up = critical.touched(missed, desk.catalog)
    topics = {
        key: _chance(desk, key, found.get((person.id, key)), key in held_up)
        for key in desk.catalog.topics
    }
    jobs = {
        key: _job_chance(
            desk,
            [topics[topic] for topic in job.topics],
            not held_up.isdisjoint(job.topics),
        )
        for key, job in desk.catalog.jobs.items()
    }
    return BoardPerson(person.id, person.name or "", topics, jobs, talk, missed)


def _chance(
    desk: _Desk, topic: str, standing: Standing | None, held_up: bool
) -> Chance:
    model = desk.catalog.model
    half_life = desk.catalog.half_life(topic)
    state = standing or untested(model)

    def on(day: date) -> float:
        return believing.chance(belief_on(state, day, half_life, model))

    today = on(desk.today)
    word: str = "untested" if state.as_of is None else cover.word(today, model)
    if held_up and word == "ready":
        word = TALK_FIRST
    return Chance(today, None if desk.harvest is None else on(desk.harvest), word)


def _job_chance(desk: _Desk, needed: Sequence[Chance], held_up: bool) -> Chance:
    """Ready for a job: ready in all its topics, and nothing left to be put right."""
    today = 0.0 if held_up else cover.role_chance(each.today for each in needed)
    harvest = _on_harvest(desk, needed, cover.role_chance)
    if all(each.word == "untested" for each in needed):
        word = "untested"
    elif held_up:
        word = TALK_FIRST
    else:
        word = cover.word(today, desk.catalog.model)
    return Chance(today, harvest, word)


def _topic(desk: _Desk, key: str, rows: Sequence[BoardPerson]) -> BoardTopic:
    cells = [row.topics[key] for row in rows]
    return BoardTopic(
        key=key,
        name=desk.catalog.topics[key].name.for_language(desk.language),
        expected_today=cover.expected_ready([cell.today for cell in cells]),
        expected_harvest=_on_harvest(desk, cells, cover.expected_ready),
    )


def _job(desk: _Desk, key: str, needed: int, rows: Sequence[BoardPerson]) -> BoardJob:
    job = desk.catalog.jobs[key]
    cells = [row.jobs[key] for row in rows]
    today = [cell.today for cell in cells]
    harvest = [cell.harvest for cell in cells if cell.harvest is not None]
    return BoardJob(
        key=key,
        name=job.name.for_language(desk.language),
        needed=needed,
        topics=job.topics,
        today=cover.chance_at_least(today, needed),
        harvest=None
        if desk.harvest is None
        else cover.chance_at_least(harvest, needed),
        missed=_missed(rows, today if desk.harvest is None else harvest, needed),
        unasked=tuple(
            desk.catalog.topics[topic].name.for_language(desk.language)
            for topic in job.topics
            if topic not in families.topics_asked()
        ),
    )


def _missed(
    rows: Sequence[BoardPerson], chances: Sequence[float], needed: int
) -> Missed | None:
    if not rows:
        return None
    drops = cover.drop_when_absent(chances, needed)
    worst = int(drops.argmax())
    if not drops[worst] > 0:
        return None
    return Missed(rows[worst].person_id, rows[worst].name, float(drops[worst]))


def _on_harvest(
    desk: _Desk, cells: Sequence[Chance], count: Callable[[list[float]], float]
) -> float | None:
    if desk.harvest is None:
        return None
    return count([cell.harvest for cell in cells if cell.harvest is not None])
