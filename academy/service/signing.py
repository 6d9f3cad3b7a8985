"""Coming in and going out: slips open devices, PINs open sign-ins on them.

A slip's link enrols the device it is opened on and signs its person in. Later sign-ins
on that device take the PIN of the slip; ten wrong ones lock the person out of the
device until a fresh slip opens it again.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from math import ceil
from typing import NoReturn
from zoneinfo import ZoneInfo

from academy.errors import NotAllowed, NotFound, NotUnderstood
from academy.records.connection import Connection
from academy.records.queries import devices, people, pin_tries, slips
from academy.records.queries import farm as farms
from academy.records.queries import sign_in as sign_ins
from academy.records.queries.devices import Enrolment
from academy.records.queries.people import Person
from academy.records.queries.sign_in import SignIn
from academy.records.queries.slips import Slip
from academy.service import pins, tokens, tries, written
from academy.service.house import House
from academy.service.tries import Charge
from academy.service.viewer import Viewer

SEEN_EVERY = timedelta(minutes=1)


@dataclass(frozen=True, slots=True)
class SlipView:
    """What a slip's page shows before it is opened for good."""

    name: str
    farm_name: str
    word: str
    language: str
    units: str


@dataclass(frozen=True, slots=True)
class Enrolled:
    """Tokens for the device's cookie and for this sign-in's."""

    device_token: str
    sign_in_token: str


def open_slip(house: House, token: str, now: datetime | None = None) -> SlipView:
    """Look at a slip without using it up; raises NotFound."""
    with house.db.read() as connection:
        slip, person = _usable(connection, house, token, now or house.clock())
        farm = farms.get(connection)
        return SlipView(
            name=person.name or "",
            farm_name=farm.name if farm else "",
            word=slip.word or "",
            language=person.language,
            units=person.units,
        )


def enrol(
    house: House,
    token: str,
    language: str,
    units: str,
    device_token: str | None,
    address: str,
    now: datetime,
    kind: str = "unknown",
) -> Enrolled:
    """Use a slip up: open the device for its person and sign the person in.

    ``kind`` of a new device is phone, tablet, computer or unknown; a device that has a
    token already keeps it and has one person more. Raises NotFound for a link that
    opens nothing, NotAllowed after too many of those.
    """
    written.choice(language, written.LANGUAGES, "language")
    written.choice(units, written.UNITS, "units")
    with house.db.read() as connection:
        known = _usable_or_none(connection, house, token, now)
    if known is None:
        _refuse_guess(house, address, now)
    signed = tokens.fresh_token()
    with house.db.write() as connection:
        slip, person = _usable(connection, house, token, now)
        if not slips.use(connection, slip.id, now):
            raise NotFound("link_opens_nothing")
        device_id, kept = _device(connection, device_token, now, kind)
        devices.enrol(connection, device_id, person.id, slip.pin_hash or "-", now)
        people.set_reader(connection, person.id, language, units)
        _begin(connection, signed, person.id, device_id, now)
        tries.forget(connection, tries.account(house.pepper, person.id))
    return Enrolled(kept, signed)


def people_on_device(house: House, device_token: str) -> list[tuple[str, str]]:
    """Id and name of everyone a device was opened for, by name."""
    with house.db.read() as connection:
        device = devices.by_token(connection, tokens.kept(device_token))
        if device is None:
            return []
        found = devices.people_on(connection, device.id)
    return [(one.person_id, one.name or "") for one in found]


def reader_on_device(
    house: House, device_token: str, person_id: str
) -> tuple[str, str]:
    """Language and units of one of the people on a device; raises NotFound."""
    with house.db.read() as connection:
        device = devices.by_token(connection, tokens.kept(device_token))
        known = devices.people_on(connection, device.id) if device else ()
        person = people.get(connection, person_id)
    if person is None or person_id not in {one.person_id for one in known}:
        raise NotFound("not_on_this_device")
    return person.language, person.units


def last_person(house: House, sign_in_token: str) -> str | None:
    """Whose sign-in this token was, also when it has ended."""
    with house.db.read() as connection:
        return sign_ins.person_of(connection, tokens.kept(sign_in_token))


def sign_in(
    house: House,
    device_token: str,
    person_id: str,
    pin: str,
    address: str,
    now: datetime,
) -> str:
    """Sign a person in with a PIN; the token of the sign-in.

    Raises NotFound where the device was not opened for this person, NotUnderstood for
    text that is no PIN, NotAllowed for a wrong one, for a lock and for too many tries.
    """
    typed = "".join(pin.split())
    if len(typed) != pins.DIGITS or not (typed.isascii() and typed.isdecimal()):
        raise NotUnderstood("pin_has_six_digits")
    with house.db.read() as connection:
        enrolment = _enrolment(connection, device_token, person_id)
    charges = _charge(house, enrolment, address, now)
    if not pins.pin_fits(typed, enrolment.pin_hash, house.pepper):
        raise NotAllowed("pin_does_not_fit")
    signed = tokens.fresh_token()
    with house.db.write() as connection:
        for one in charges:
            tries.give_back(connection, one, now)
        tries.forget(connection, tries.account(house.pepper, person_id))
        pin_tries.clear_device(connection, enrolment.device_id, person_id)
        _begin(connection, signed, person_id, enrolment.device_id, now)
    return signed


def viewer_of(house: House, sign_in_token: str, now: datetime) -> Viewer | None:
    """Who holds this token; None when the sign-in ended, also by standing idle."""
    with house.db.read() as connection:
        current = sign_ins.current(connection, tokens.kept(sign_in_token))
        if current is None:
            return None
        shared = _shared(connection, current)
        idle_out = now - current.seen_at > longest_idle(house, shared)
        found = None if idle_out else _viewer(connection, current, shared)
    if idle_out:
        with house.db.write() as connection:
            sign_ins.end(connection, current.id, now)
    elif now - current.seen_at >= SEEN_EVERY:
        with house.db.write() as connection:
            sign_ins.saw(connection, current.id, now)
    return found


def sign_out(house: House, looking: Viewer, now: datetime) -> None:
    """End this sign-in for good."""
    with house.db.write() as connection:
        sign_ins.end(connection, looking.sign_in_id, now)


def set_reader(house: House, looking: Viewer, language: str, units: str) -> None:
    """Choose language and units; raises NotUnderstood."""
    written.choice(language, written.LANGUAGES, "language")
    written.choice(units, written.UNITS, "units")
    with house.db.write() as connection:
        people.set_reader(connection, looking.person_id, language, units)


def _usable(
    connection: Connection, house: House, token: str, now: datetime
) -> tuple[Slip, Person]:
    found = _usable_or_none(connection, house, token, now)
    if found is None:
        raise NotFound("link_opens_nothing")
    return found


def _usable_or_none(
    connection: Connection, house: House, token: str, now: datetime
) -> tuple[Slip, Person] | None:
    slip = slips.usable(connection, tokens.kept(token))
    if slip is None or slip.person_id is None:
        return None
    if now - slip.made_at > timedelta(days=house.settings.slip_days):
        return None
    person = people.get(connection, slip.person_id)
    return (slip, person) if person is not None and person.active else None


def _device(
    connection: Connection, device_token: str | None, now: datetime, kind: str
) -> tuple[str, str]:
    """Id and token of the device: the one that came, or a new one."""
    if device_token is not None:
        known = devices.by_token(connection, tokens.kept(device_token))
        if known is not None:
            return known.id, device_token
    fresh = tokens.fresh_token()
    return devices.add(connection, tokens.kept(fresh), now, kind), fresh


def _enrolment(connection: Connection, device_token: str, person_id: str) -> Enrolment:
    device = devices.by_token(connection, tokens.kept(device_token))
    person = people.get(connection, person_id)
    if device is None or person is None or not person.active:
        raise NotFound("not_on_this_device")
    found = devices.enrolment(connection, device.id, person_id)
    if found is None:
        raise NotFound("not_on_this_device")
    if found.locked:
        raise NotAllowed("fresh_slip_needed")
    return found


def _charge(
    house: House, enrolment: Enrolment, address: str, now: datetime
) -> list[Charge]:
    """Charge a try before the PIN is looked at; raises NotAllowed.

    An address holds up only those who mistyped on this device before.
    """
    keys = (
        (tries.account(house.pepper, enrolment.person_id), True),
        (tries.address(house.pepper, address, "PIN"), enrolment.failures > 0),
    )
    pair = (enrolment.device_id, enrolment.person_id)
    with house.db.write() as connection:
        tried = [tries.charge(connection, key, now, bound=bound) for key, bound in keys]
        charges = [one for one in tried if isinstance(one, Charge)]
        waits = [one for one in tried if not isinstance(one, Charge)]
        if waits:
            for one in charges:
                tries.give_back(connection, one, now)
            zone = _zone(connection)
        open_still = not waits and pin_tries.charge_device(
            connection, *pair, tries.MOST_ON_A_DEVICE
        )
    if waits:
        raise _later(max(waits), now, zone)
    if not open_still:
        raise NotAllowed("fresh_slip_needed")
    return charges


def _refuse_guess(house: House, address: str, now: datetime) -> NoReturn:
    """Count a link that opens nothing; raises NotFound, NotAllowed."""
    key = tries.address(house.pepper, address, "link")
    with house.db.write() as connection:
        tried = tries.charge(connection, key, now)
        zone = _zone(connection)
    if not isinstance(tried, Charge):
        raise _later(tried, now, zone)
    raise NotFound("link_opens_nothing")


def _later(wait: timedelta, now: datetime, zone: str) -> NotAllowed:
    """Say when to try again, on the farm's clock when it is minutes away."""
    seconds = ceil(wait.total_seconds() / 5) * 5
    if seconds <= 60:
        return NotAllowed("try_again_in_seconds", seconds=seconds)
    whole = (now + wait + timedelta(seconds=59)).astimezone(ZoneInfo(zone))
    return NotAllowed(
        "try_again_in_minutes", minutes=ceil(seconds / 60), clock=f"{whole:%H:%M}"
    )


def _zone(connection: Connection) -> str:
    found = farms.get(connection)
    return found.zone if found else "UTC"


def _begin(
    connection: Connection, token: str, person_id: str, device_id: str, now: datetime
) -> None:
    sign_ins.begin(
        connection,
        token_hash=tokens.kept(token),
        person_id=person_id,
        device_id=device_id,
        csrf=tokens.fresh_token(),
        now=now,
    )


def longest_idle(house: House, shared: bool) -> timedelta:
    """How long a sign-in may stand idle on a shared device or on one's own."""
    if shared:
        return timedelta(minutes=house.settings.shared_idle_minutes)
    return timedelta(days=house.settings.own_idle_days)


def _shared(connection: Connection, current: SignIn) -> bool:
    device_id = current.device_id
    return device_id is not None and len(devices.people_on(connection, device_id)) > 1


def _viewer(connection: Connection, current: SignIn, shared: bool) -> Viewer | None:
    person = people.get(connection, current.person_id)
    if person is None:
        return None
    return Viewer(
        person_id=person.id,
        name=person.name or "",
        roles=people.roles(connection, person.id),
        crew_id=person.crew_id,
        language=person.language,
        units=person.units,
        sign_in_id=current.id,
        csrf=current.csrf,
        device_id=current.device_id,
        shared=shared,
    )
