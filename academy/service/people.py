"""The crew's people: taking them in, handing them slips, letting them go."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from academy.errors import Conflict, NotAllowed, NotFound
from academy.records.connection import Connection
from academy.records.queries import farm as farms
from academy.records.queries import people as persons
from academy.records.queries import retention, sign_in, slips
from academy.records.queries.people import Person
from academy.records.queries.slips import Slip
from academy.service import devices, log, tries, viewer, written
from academy.service import slips as handing
from academy.service.house import House
from academy.service.slips import SlipMade
from academy.service.viewer import Viewer


@dataclass(frozen=True, slots=True)
class PersonRow:
    """One line of the list of people.

    ``slip`` is ``none`` (never had one), ``waiting`` (handed, not opened), ``lapsed``
    or ``opened``.
    """

    person_id: str
    name: str
    roles: tuple[str, ...]
    language: str
    units: str
    crew_id: str
    crew_name: str
    slip: str
    may_hand_slip: bool


def people(
    house: House, looking: Viewer, now: datetime | None = None
) -> tuple[PersonRow, ...]:
    """The people a lead (own crew) or owner (everyone) looks after, by name.

    Raises NotAllowed for a hire.
    """
    viewer.require_lead(looking)
    oldest = (now or house.clock()) - timedelta(days=house.settings.slip_days)
    with house.db.read() as connection:
        crews = {crew.id: crew.name for crew in farms.crews(connection)}
        found = persons.active(connection, None if looking.owns else looking.crew_id)
        return tuple(_row(connection, looking, one, crews, oldest) for one in found)


def add_person(
    house: House,
    looking: Viewer,
    name: str,
    roles: Iterable[str],
    language: str,
    units: str,
    now: datetime,
    crew_id: str | None = None,
) -> str:
    """Take a person into a crew, by default the owner's; the person's id.

    Raises NotAllowed for all but owners, NotUnderstood, OutOfRange, NotFound.
    """
    viewer.require_owner(looking)
    tidy = written.name(name, "person")
    chosen = written.roles(roles)
    written.choice(language, written.LANGUAGES, "language")
    written.choice(units, written.UNITS, "units")
    whose = crew_id or looking.crew_id
    with house.db.write() as connection:
        if farms.crew(connection, whose) is None:
            raise NotFound("no_such_crew")
        person_id = persons.add(
            connection,
            crew_id=whose,
            name=tidy,
            language=language,
            units=units,
            roles=sorted(chosen),
            now=now,
        )
        log.tell(connection, "role-changed", now, person_id, set_by=looking.person_id)
        return person_id


def make_slip(
    house: House, looking: Viewer, person_id: str, now: datetime, kind: str = "slip"
) -> SlipMade:
    """A fresh slip for a person; unused ones before it are void.

    Raises NotFound, and NotAllowed when the viewer may not hand one to this person.
    """
    with house.db.read() as connection:
        person = _active_person(connection, looking, person_id)
        if not viewer.may_hand_slip(looking, persons.roles(connection, person_id)):
            raise NotAllowed("slip_not_yours_to_hand")
    drawn = handing.draw(house, person.language)
    with house.db.write() as connection:
        whom = (person_id, person.name or "")
        return handing.hand(connection, house, drawn, whom, now, kind)


def deactivate(house: House, looking: Viewer, person_id: str, now: datetime) -> None:
    """Let a person go: signed out everywhere, off the boards; the answers stay.

    Raises NotAllowed, NotFound, and Conflict for the last owner.
    """
    viewer.require_owner(looking)
    with house.db.write() as connection:
        _leaving(connection, looking, person_id)
        persons.set_active(connection, person_id, False)
        sign_in.end_all(connection, person_id, now)
        retention.revoke_slips(connection, now, person_id)


def former(house: House, looking: Viewer) -> tuple[tuple[str, str], ...]:
    """Id and name of those who were let go; raises NotAllowed for all but owners."""
    viewer.require_owner(looking)
    with house.db.read() as connection:
        return tuple((one.id, one.name or "") for one in persons.former(connection))


def take_back(house: House, looking: Viewer, person_id: str) -> None:
    """Have a person who was let go back, with their answers; a fresh slip lets them in.

    Raises NotAllowed, NotFound.
    """
    viewer.require_owner(looking)
    with house.db.write() as connection:
        viewer.person_seen(connection, looking, person_id)
        persons.set_active(connection, person_id, True)


def name_of(house: House, looking: Viewer, person_id: str) -> str:
    """The name of anybody who was not erased; raises NotAllowed, NotFound."""
    viewer.require_owner(looking)
    with house.db.read() as connection:
        return viewer.person_seen(connection, looking, person_id).name or ""


def rename(house: House, looking: Viewer, person_id: str, name: str) -> None:
    """Correct a name; raises NotAllowed, NotFound, NotUnderstood, OutOfRange."""
    viewer.require_owner(looking)
    tidy = written.name(name, "person")
    with house.db.write() as connection:
        viewer.person_seen(connection, looking, person_id)
        persons.rename(connection, person_id, tidy)


def erase(house: House, looking: Viewer, person_id: str, now: datetime) -> None:
    """Forget who a person was; the answers stay under a random id. Twice is no harm.

    Devices are closed, slips void, and what counted wrong tries is deleted. Raises
    NotAllowed, NotFound, and Conflict for the last owner.
    """
    viewer.require_owner(looking)
    with house.db.write() as connection:
        found = persons.get(connection, person_id)
        if found is None:
            raise NotFound("no_such_person")
        _refuse_last_owner(connection, person_id)
        devices.close_everywhere(connection, person_id, now)
        tries.forget(connection, tries.account(house.pepper, person_id))
        persons.erase(connection, person_id, now)
    house.db.empty_journal()


def _row(
    connection: Connection,
    looking: Viewer,
    person: Person,
    crews: dict[str, str],
    oldest: datetime,
) -> PersonRow:
    roles = persons.roles(connection, person.id)
    return PersonRow(
        person_id=person.id,
        name=person.name or "",
        roles=tuple(role for role in written.ROLES if role in roles),
        language=person.language,
        units=person.units,
        crew_id=person.crew_id,
        crew_name=crews[person.crew_id],
        slip=_slip_state(slips.of_person(connection, person.id), oldest),
        may_hand_slip=viewer.may_hand_slip(looking, roles),
    )


def _slip_state(handed: tuple[Slip, ...], oldest: datetime) -> str:
    if not handed:
        return "none"
    newest = handed[0]
    if newest.used_at is not None:
        return "opened"
    if newest.revoked_at is not None or newest.made_at < oldest:
        return "lapsed"
    return "waiting"


def _active_person(connection: Connection, looking: Viewer, person_id: str) -> Person:
    person = viewer.person_seen(connection, looking, person_id)
    if not person.active:
        raise NotFound("no_such_person")
    return person


def _leaving(connection: Connection, looking: Viewer, person_id: str) -> None:
    _active_person(connection, looking, person_id)
    _refuse_last_owner(connection, person_id)


def _refuse_last_owner(connection: Connection, person_id: str) -> None:
    owners = [
        one.id
        for one in persons.active(connection)
        if "owner" in persons.roles(connection, one.id)
    ]
    if owners == [person_id]:
        raise Conflict("last_owner_stays")
