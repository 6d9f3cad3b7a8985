"""Certified facts for the readiness board: who holds a valid certificate for which job.

Facts, not chances: they stand beside the forecast and may disagree with it. The
forecast reads every answer, also of practice, and lets skill fade; a certificate was
decided from one assessment alone, without anything known before, and from the yard.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from academy.catalog import assessment as rules
from academy.catalog import blueprints
from academy.errors import NotFound
from academy.records.connection import Connection
from academy.records.queries import certificates
from academy.records.queries import farm as farms
from academy.records.queries import people as persons
from academy.records.queries.certificates import Certificate
from academy.service import certificate_lists, farm, viewer
from academy.service.house import House
from academy.service.viewer import Viewer


@dataclass(frozen=True, slots=True)
class Holder:
    """One valid certificate: whose, of what, for which headers, until when.

    ``harvest`` is whether it still holds on the first day of harvest, None without one.
    """

    person_id: str
    name: str
    title: str
    header_class: str
    until: date
    harvest: bool | None


@dataclass(frozen=True, slots=True)
class CertifiedJob:
    """One job: how many people hold a certificate for it today, and at harvest.

    ``asked``: whether there is any certificate for this job.
    """

    key: str
    name: str
    needed: int
    asked: bool
    holders: tuple[Holder, ...]

    @property
    def today(self) -> int:
        """How many people."""
        return len({one.person_id for one in self.holders})

    @property
    def harvest(self) -> int:
        """How many of them still on the first day of harvest."""
        return len({one.person_id for one in self.holders if one.harvest})


@dataclass(frozen=True, slots=True)
class Certified:
    """A crew's certified facts; ``lapsing`` are those that end within ``days``."""

    today: date
    harvest: date | None
    jobs: tuple[CertifiedJob, ...]
    lapsing: tuple[Holder, ...]
    days: int

    @property
    def any(self) -> bool:
        """Whether anybody holds a certificate at all."""
        return any(job.holders for job in self.jobs)


def certified(
    house: House, looking: Viewer, now: datetime, crew_id: str | None = None
) -> Certified:
    """The certified facts of a crew, by default the viewer's own.

    Only certificates for the class of header that the farm has count. Raises NotAllowed
    for hires, NotFound for a crew that is not the lead's.
    """
    chosen = viewer.crew_seen(looking, crew_id)
    with house.db.read() as connection:
        known = farms.get(connection)
        if known is None or farms.crew(connection, chosen) is None:
            raise NotFound("no_such_crew")
        today = farm.day_at(connection, now)
        season = farms.next_season(connection, today)
        harvest = season.harvest_day if season else None
        crew = persons.active(connection, chosen)
        names = {one.id: one.name or "" for one in crew}
        valid = _valid(connection, list(names), today)
        needed = {
            one.role_key: one.headcount for one in farms.needed(connection, chosen)
        }
    holders = [
        (one, _holder(one, names, looking.language, harvest))
        for one in valid
        if known.header_key in blueprints.load(one.certificate).headers
    ]
    days = rules.lapse_notice_days()
    end = today + timedelta(days=days)
    return Certified(
        today=today,
        harvest=harvest,
        jobs=tuple(
            CertifiedJob(
                key=key,
                name=job.name.for_language(looking.language),
                needed=needed[key],
                asked=any(key in one.jobs for one in blueprints.known().values()),
                holders=tuple(
                    holder
                    for kept, holder in holders
                    if key in blueprints.load(kept.certificate).jobs
                ),
            )
            for key, job in house.catalog.jobs.items()
            if key in needed
        ),
        lapsing=tuple(holder for _kept, holder in holders if holder.until <= end),
        days=days,
    )


def _valid(
    connection: Connection, people: Sequence[str], today: date
) -> list[Certificate]:
    """Of each person and certificate the one that holds longest, the soonest first.

    What content no longer knows is left out.
    """
    given = certificates.of_people(connection, people)
    gone = certificate_lists.overturned(connection, given)
    best: dict[tuple[str, str], Certificate] = {}
    for one in given:
        doubt = one.assessment_id in gone
        state = certificate_lists.state_of(one, today, doubt)
        if state != "valid" or one.certificate not in blueprints.known():
            continue
        key = (one.person_id, one.certificate)
        if key not in best or best[key].valid_until < one.valid_until:
            best[key] = one
    return sorted(best.values(), key=lambda one: (one.valid_until, one.id))


def _holder(
    one: Certificate, names: dict[str, str], language: str, harvest: date | None
) -> Holder:
    blueprint = blueprints.load(one.certificate)
    return Holder(
        person_id=one.person_id,
        name=names[one.person_id],
        title=blueprint.title.for_language(language),
        header_class=blueprint.header_class.for_language(language),
        until=one.valid_until,
        harvest=None if harvest is None else harvest <= one.valid_until,
    )
