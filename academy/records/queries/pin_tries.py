"""Tries at a PIN, charged before the PIN is looked at and given back when it fits."""

from sqlalchemy import Connection, update

from academy.records.tables.sign_in import device_person


def charge_device(
    connection: Connection, device_id: str, person_id: str, most: int
) -> bool:
    """Count a try of a person on a device; whether it may be made.

    The last one allowed locks at once: only a right PIN, or a fresh slip, unlocks.
    """
    failures = device_person.c.failures + 1
    charged = connection.execute(
        update(device_person)
        .where(
            device_person.c.device_id == device_id,
            device_person.c.person_id == person_id,
            device_person.c.failures < most,
        )
        .values(failures=failures, locked=failures >= most)
    )
    return charged.rowcount == 1


def clear_device(connection: Connection, device_id: str, person_id: str) -> None:
    """A right PIN wipes the slate, also when its own charge locked it."""
    connection.execute(
        update(device_person)
        .where(
            device_person.c.device_id == device_id,
            device_person.c.person_id == person_id,
        )
        .values(failures=0, locked=False)
    )
