"""A person's devices: who sees them, and how one or all are closed."""

from dataclasses import dataclass, replace
from datetime import datetime

from academy.errors import NotAllowed
from academy.records.connection import Connection
from academy.records.queries import devices, people
from academy.records.queries import farm as farms
from academy.records.queries import sign_in as sign_ins
from academy.records.queries.devices import PersonDevice
from academy.records.queries.people import Person
from academy.records.queries.sign_in import SignIn
from academy.service import signing, viewer
from academy.service.house import House
from academy.service.viewer import Viewer


@dataclass(frozen=True, slots=True)
class DeviceRow:
    """One device: ``kind`` is phone, tablet, computer or unknown; moments in UTC.

    ``last_used`` is None when that was longer ago than sign-ins are kept; ``this_one``
    is the device the viewer holds.
    """

    device_id: str
    kind: str
    enrolled: datetime
    last_used: datetime | None
    signed_in: bool
    shared: bool
    this_one: bool = False


@dataclass(frozen=True, slots=True)
class Devices:
    """A person's devices; ``own`` when the viewer looks at their own."""

    person_id: str
    name: str
    own: bool
    zone: str
    rows: tuple[DeviceRow, ...]

    @property
    def others(self) -> int:
        """How many there are besides the one in the viewer's hand."""
        return sum(not row.this_one for row in self.rows)


def devices_of(house: House, looking: Viewer, person_id: str, now: datetime) -> Devices:
    """The devices that open with a person's PIN.

    Raises NotFound, and NotAllowed for a person whose slips are not the viewer's.
    """
    with house.db.read() as connection:
        person = _person(connection, looking, person_id)
        farm = farms.get(connection)
        seen = sign_ins.of_person(connection, person_id)
        rows = tuple(
            replace(
                _row(house, one, seen, now),
                this_one=_in_hand(looking, person_id, one.device_id),
            )
            for one in devices.of_person(connection, person_id)
        )
    return Devices(
        person_id=person_id,
        name=person.name or "",
        own=person_id == looking.person_id,
        zone=farm.zone if farm else "UTC",
        rows=rows,
    )


def close_one(
    house: House, looking: Viewer, person_id: str, device_id: str, now: datetime
) -> None:
    """Sign a person out on a device whose PIN opens it no longer; twice is no harm.

    Raises NotFound, and NotAllowed also for the device in the viewer's own hand.
    """
    with house.db.write() as connection:
        _person(connection, looking, person_id)
        if _in_hand(looking, person_id, device_id):
            raise NotAllowed("device_in_hand")
        _close(connection, person_id, device_id, now)


def close_all(house: House, looking: Viewer, person_id: str, now: datetime) -> None:
    """Close all of a person's devices but the one in the viewer's own hand.

    Raises NotFound, NotAllowed.
    """
    with house.db.write() as connection:
        _person(connection, looking, person_id)
        for one in devices.of_person(connection, person_id):
            if not _in_hand(looking, person_id, one.device_id):
                _close(connection, person_id, one.device_id, now)


def close_everywhere(connection: Connection, person_id: str, now: datetime) -> None:
    """Close every device of a person who leaves for good, inside one's own write."""
    for one in devices.of_person(connection, person_id):
        _close(connection, person_id, one.device_id, now)


def _person(connection: Connection, looking: Viewer, person_id: str) -> Person:
    found = viewer.person_seen(connection, looking, person_id)
    own = person_id == looking.person_id
    if not own and not viewer.may_hand_slip(
        looking, people.roles(connection, person_id)
    ):
        raise NotAllowed("devices_not_yours")
    return found


def _in_hand(looking: Viewer, person_id: str, device_id: str) -> bool:
    return person_id == looking.person_id and device_id == looking.device_id


def _row(
    house: House,
    device: PersonDevice,
    seen: tuple[SignIn, ...],
    now: datetime,
) -> DeviceRow:
    here = [one for one in seen if one.device_id == device.device_id]
    longest = signing.longest_idle(house, device.people > 1)
    return DeviceRow(
        device_id=device.device_id,
        kind=device.kind,
        enrolled=device.enrolled_at,
        last_used=here[0].seen_at if here else None,
        signed_in=any(
            one.ended_at is None and now - one.seen_at <= longest for one in here
        ),
        shared=device.people > 1,
    )


def _close(
    connection: Connection, person_id: str, device_id: str, now: datetime
) -> None:
    """Sign out, forget the PIN; a device that is left with nobody is shut for good."""
    sign_ins.end_on_device(connection, person_id, device_id, now)
    devices.forget(connection, device_id, person_id)
    if not devices.people_on(connection, device_id):
        devices.revoke(connection, device_id, now)
