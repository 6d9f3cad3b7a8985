"""The farm, its crews, seasons, and how many people each job needs."""

from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import Connection, delete, insert, select, update

from academy.records.rows import every, first, new_id, put
from academy.records.tables import farm as tables


@dataclass(frozen=True, slots=True)
class Farm:
    """The one farm of this installation."""

    name: str
    zone: str
    currency: str
    header_key: str
    combine_key: str
    first_run_token_hash: str | None
    created_at: datetime


@dataclass(frozen=True, slots=True)
class Crew:
    """People who work together."""

    id: str
    name: str


@dataclass(frozen=True, slots=True)
class Season:
    """One crop in one year and its first day of harvest."""

    id: str
    crop_key: str
    year: int
    harvest_day: date


@dataclass(frozen=True, slots=True)
class Needed:
    """How many people one crew needs for one job."""

    crew_id: str
    role_key: str
    headcount: int


_FARM = [tables.farm.c[name] for name in Farm.__slots__]


def get(connection: Connection) -> Farm | None:
    """The farm; None before the first run is done."""
    return first(connection, select(*_FARM), Farm)


def put_farm(connection: Connection, farm: Farm) -> None:
    """Keep the farm, new or changed."""
    values = {name: getattr(farm, name) for name in Farm.__slots__}
    put(connection, tables.farm, id=1, **values)


def one_person_may(connection: Connection) -> bool:
    """Whether who trained a person may also decide on the certificate."""
    return bool(connection.scalar(select(tables.farm.c.one_person_may)))


def allow_one_person(connection: Connection, allowed: bool) -> None:
    """Say whether one person may train and decide."""
    connection.execute(update(tables.farm).values(one_person_may=allowed))


def hold(connection: Connection) -> None:
    """Take turns with everyone else who changes the whole roster, until the commit.

    SQLite's writers stand in a queue anyway.
    """
    connection.execute(select(tables.farm.c.id).with_for_update()).all()


def end_first_run(connection: Connection) -> None:
    """Make the first-run link worthless."""
    connection.execute(update(tables.farm).values(first_run_token_hash=None))


def add_crew(connection: Connection, name: str) -> Crew:
    """A new crew; its name must be new too."""
    crew = Crew(new_id(), name)
    connection.execute(insert(tables.crew).values(id=crew.id, name=name))
    return crew


def crews(connection: Connection) -> tuple[Crew, ...]:
    """All crews by name."""
    return every(connection, select(tables.crew).order_by(tables.crew.c.name), Crew)


def crew(connection: Connection, crew_id: str) -> Crew | None:
    """One crew."""
    query = select(tables.crew).where(tables.crew.c.id == crew_id)
    return first(connection, query, Crew)


def put_season(
    connection: Connection, crop_key: str, year: int, harvest_day: date
) -> Season:
    """The season of a crop and year, new or with its harvest day moved."""
    season = tables.season
    here = (season.c.crop_key == crop_key) & (season.c.year == year)
    moved = connection.execute(
        update(season).where(here).values(harvest_day=harvest_day)
    )
    if moved.rowcount == 0:
        connection.execute(
            insert(season).values(
                id=new_id(), crop_key=crop_key, year=year, harvest_day=harvest_day
            )
        )
    found = first(connection, select(season).where(here), Season)
    assert found is not None  # noqa: S101 - it was written two lines above
    return found


def seasons(connection: Connection) -> tuple[Season, ...]:
    """All seasons by harvest day."""
    season = tables.season
    query = select(season).order_by(season.c.harvest_day, season.c.crop_key)
    return every(connection, query, Season)


def next_season(connection: Connection, today: date) -> Season | None:
    """The season whose harvest begins next, today included."""
    season = tables.season
    query = select(season).where(season.c.harvest_day >= today)
    return first(connection, query.order_by(season.c.harvest_day).limit(1), Season)


def put_needed(
    connection: Connection, crew_id: str, role_key: str, headcount: int
) -> None:
    """Say how many people a crew needs for a job; zero takes the line away."""
    needed = tables.needed
    if headcount > 0:
        put(connection, needed, crew_id=crew_id, role_key=role_key, headcount=headcount)
        return
    connection.execute(
        delete(needed).where(needed.c.crew_id == crew_id, needed.c.role_key == role_key)
    )


def needed(connection: Connection, crew_id: str) -> tuple[Needed, ...]:
    """What a crew needs, by job."""
    table = tables.needed
    query = select(table).where(table.c.crew_id == crew_id)
    return every(connection, query.order_by(table.c.role_key), Needed)
