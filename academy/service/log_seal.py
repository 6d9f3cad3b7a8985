"""The daily seal over the log, and what the log begins with.

A seal covers every entry up to the one it names, over the ends of all chains and over
the seal before it. Written down elsewhere, its sixty-four digits hold the whole log up
to that day. ``serve`` and every opening of the house see to it.
"""

from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from academy.records.connection import Connection
from academy.records.queries import chain, logged
from academy.records.queries import farm as farms
from academy.records.queries.chain import NOTHING, Seal
from academy.service import log


def due(connection: Connection, now: datetime) -> bool:
    """Whether the log has to be begun, or a day that is over has no seal yet."""
    if farms.get(connection) is None:
        return False
    return not chain.newest(connection) or bool(_days(connection, now))


def seal(connection: Connection, now: datetime) -> int:
    """Seal yesterday and the days before it that are not; how many were sealed.

    Days are the farm's. A day without entries gets no seal. Twice is no harm.
    """
    chain.hold_all(connection)
    days = sorted(_days(connection, now).items())
    return sum(_seal_day(connection, day, upto, now) for day, upto in days)


def begin(connection: Connection, now: datetime) -> int:
    """Tell the roles that people have already, in a log that is still empty."""
    chain.hold_all(connection)
    if chain.newest(connection):
        return 0
    people = logged.people_with_roles(connection)
    for person_id in people:
        log.tell(connection, "role-changed", now, person_id)
    return len(people)


def _days(connection: Connection, now: datetime) -> dict[date, int]:
    """Days that are over and have no seal, each with the newest entry it covers.

    What was logged late, under a day that is sealed or past, waits for the next seal.
    """
    farm = farms.get(connection)
    if farm is None:
        return {}
    zone = ZoneInfo(farm.zone)
    last = chain.last_seal(connection)
    morning = datetime.combine(now.astimezone(zone).date(), time(), zone)
    newest: dict[date, int] = {}
    for entry_id, at in chain.unsealed(connection, morning):
        day = at.astimezone(zone).date()
        if last is None or day > last.day:
            newest[day] = max(newest.get(day, 0), entry_id)
    return newest


def _seal_day(connection: Connection, day: date, upto: int, now: datetime) -> bool:
    last = chain.last_seal(connection)
    before = NOTHING if last is None else last.hash
    covered = upto if last is None else max(upto, last.entries)
    found = chain.seal_hash(day, chain.ends(connection, covered), before)
    return chain.keep_seal(connection, Seal(day, covered, before, found, now))
