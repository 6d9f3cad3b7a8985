"""The farm: its first start, its season, and how many people each job needs."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from academy.catalog import combines, crops, headers
from academy.errors import Conflict, NotFound, OutOfRange
from academy.records.connection import Connection
from academy.records.queries import farm as farms
from academy.records.queries import people, retention, slips
from academy.records.queries.farm import Crew, Farm, Season
from academy.service import log, tokens, viewer, written
from academy.service import slips as handing
from academy.service.house import House
from academy.service.slips import SlipMade
from academy.service.viewer import Viewer

MOST_NEEDED = 200


@dataclass(frozen=True, slots=True)
class FarmForm:
    """What the owner says at the first start."""

    name: str
    zone: str
    currency: str
    header_key: str
    combine_key: str
    owner_name: str
    language: str
    units: str


@dataclass(frozen=True, slots=True)
class FarmView:
    """The farm as pages show it; ``season`` is the next one, else the latest."""

    name: str
    zone: str
    currency: str
    header_key: str
    combine_key: str
    today: date
    season: Season | None


def farm(house: House, now: datetime | None = None) -> FarmView | None:
    """The farm; None before its first start."""
    with house.db.read() as connection:
        found = farms.get(connection)
        if found is None:
            return None
        day = _day(found, now or house.clock())
        return FarmView(
            name=found.name,
            zone=found.zone,
            currency=found.currency,
            header_key=found.header_key,
            combine_key=found.combine_key,
            today=day,
            season=season_at(connection, day),
        )


def today(house: House, now: datetime) -> date:
    """The day it is on the farm; raises NotFound before the first start."""
    with house.db.read() as connection:
        return day_at(connection, now)


def day_at(connection: Connection, now: datetime) -> date:
    """The day it is on the farm; raises NotFound before the first start."""
    found = farms.get(connection)
    if found is None:
        raise NotFound("no_farm_yet")
    return _day(found, now)


def season_at(connection: Connection, day: date) -> Season | None:
    """The season that harvests next, the latest when all are past; None without one."""
    coming = farms.next_season(connection, day)
    if coming is not None:
        return coming
    past = farms.seasons(connection)
    return past[-1] if past else None


def crews(house: House, looking: Viewer) -> tuple[Crew, ...]:
    """The crews a lead or owner may look at; raises NotAllowed."""
    viewer.require_lead(looking)
    with house.db.read() as connection:
        every = farms.crews(connection)
    return tuple(crew for crew in every if looking.owns or crew.id == looking.crew_id)


def first_run_link(house: House, now: datetime) -> str:
    """A fresh token of the first-run page; older ones are void.

    Raises Conflict once the farm was started.
    """
    token = tokens.fresh_token()
    with house.db.write() as connection:
        _refuse_second_farm(connection)
        retention.revoke_slips(connection, now)
        slips.add(
            connection,
            kind="first-run",
            person_id=None,
            token_hash=tokens.kept(token),
            pin_hash=None,
            word=None,
            now=now,
        )
    return token


def first_run_open(house: House, token: str, now: datetime) -> None:
    """Refuse a first-run link that opens nothing; raises NotFound."""
    with house.db.read() as connection:
        _first_run_slip(connection, house, token, now)


def start_farm(house: House, token: str, form: FarmForm, now: datetime) -> SlipMade:
    """Start the farm with its owner, and hand the owner a slip.

    Raises NotFound for a link that opens nothing, NotUnderstood and OutOfRange for what
    was written, Conflict when somebody was faster.
    """
    checked = _checked(form)
    drawn = handing.draw(house, checked.language)
    with house.db.write() as connection:
        slip_id = _first_run_slip(connection, house, token, now)
        _refuse_second_farm(connection)
        if not slips.use(connection, slip_id, now):
            raise NotFound("link_opens_nothing")
        owner_id = _begin(connection, house, checked, now)
        owner = (owner_id, checked.owner_name)
        return handing.hand(connection, house, drawn, owner, now)


def set_season(
    house: House, looking: Viewer, crop_key: str, year: int, harvest_day: date
) -> None:
    """Say when a crop's harvest begins in a year; raises NotAllowed, OutOfRange."""
    viewer.require_owner(looking)
    written.choice(crop_key, crops.known(), "crop")
    if abs(harvest_day.year - year) > 1:
        raise OutOfRange("harvest_day_not_in_year", year=year, value=str(harvest_day))
    with house.db.write() as connection:
        farms.put_season(connection, crop_key, year, harvest_day)


def set_needs(
    house: House, looking: Viewer, job: str, headcount: int, crew_id: str | None = None
) -> None:
    """Say how many people a crew needs for a job; raises NotAllowed, OutOfRange."""
    viewer.require_owner(looking)
    written.choice(job, house.catalog.jobs, "job")
    if not 0 <= headcount <= MOST_NEEDED:
        raise OutOfRange("headcount_out_of_range", value=headcount, most=MOST_NEEDED)
    whose = crew_id or looking.crew_id
    with house.db.write() as connection:
        if farms.crew(connection, whose) is None:
            raise NotFound("no_such_crew")
        farms.put_needed(connection, whose, job, headcount)


def one_person_may(house: House, looking: Viewer) -> bool:
    """Whether who trains may also give certificates; raises NotAllowed."""
    viewer.require_owner(looking)
    with house.db.read() as connection:
        return farms.one_person_may(connection)


def allow_one_person(house: House, looking: Viewer, allowed: bool) -> None:
    """Say whether who trains may also give certificates; raises NotAllowed."""
    viewer.require_owner(looking)
    with house.db.write() as connection:
        farms.allow_one_person(connection, allowed)


def add_crew(house: House, looking: Viewer, name: str) -> str:
    """A further crew; its id. Raises NotAllowed, Conflict."""
    viewer.require_owner(looking)
    tidy = written.name(name, "crew")
    with house.db.write() as connection:
        if any(crew.name == tidy for crew in farms.crews(connection)):
            raise Conflict("crew_name_taken", value=tidy)
        return crew_with_needs(connection, house, tidy)


def crew_with_needs(connection: Connection, house: House, name: str) -> str:
    """A crew that needs what its jobs usually take; its id."""
    crew = farms.add_crew(connection, name)
    for key, job in house.catalog.jobs.items():
        farms.put_needed(connection, crew.id, key, job.needed)
    return crew.id


def _day(found: Farm, now: datetime) -> date:
    return now.astimezone(ZoneInfo(found.zone)).date()


def _refuse_second_farm(connection: Connection) -> None:
    if farms.get(connection) is not None:
        raise Conflict("farm_already_started")


def _first_run_slip(
    connection: Connection, house: House, token: str, now: datetime
) -> str:
    found = slips.usable(connection, tokens.kept(token))
    if found is None or found.kind != "first-run":
        raise NotFound("link_opens_nothing")
    if now - found.made_at > timedelta(days=house.settings.slip_days):
        raise NotFound("link_opens_nothing")
    return found.id


def _checked(form: FarmForm) -> FarmForm:
    return FarmForm(
        name=written.name(form.name, "farm"),
        zone=written.zone(form.zone),
        currency=written.currency(form.currency),
        header_key=written.choice(form.header_key, headers.known(), "header"),
        combine_key=written.choice(form.combine_key, combines.known(), "combine"),
        owner_name=written.name(form.owner_name, "person"),
        language=written.choice(form.language, written.LANGUAGES, "language"),
        units=written.choice(form.units, written.UNITS, "units"),
    )


def _begin(connection: Connection, house: House, form: FarmForm, now: datetime) -> str:
    """Write farm, first crew with its usual needs, and owner; the owner's id."""
    farms.put_farm(
        connection,
        Farm(
            name=form.name,
            zone=form.zone,
            currency=form.currency,
            header_key=form.header_key,
            combine_key=form.combine_key,
            first_run_token_hash=None,
            created_at=now,
        ),
    )
    owner_id = people.add(
        connection,
        crew_id=crew_with_needs(connection, house, form.name),
        name=form.owner_name,
        language=form.language,
        units=form.units,
        roles=["owner"],
        now=now,
    )
    log.tell(connection, "role-changed", now, owner_id, set_by=owner_id)
    return owner_id
