"""Scenarios laid ready for places without signal, and the list of those that wait.

They come off the shelf only, so nobody waits for a search; what is laid ready is what
would come next: the rest of the starting set, then the best families by the rule.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from academy.catalog import families, practice
from academy.records.connection import Connection
from academy.records.queries import answered, practised, scenarios
from academy.records.queries.scenarios import Issue
from academy.service import next_practice, signing
from academy.service.house import House
from academy.service.lab_own import PURPOSE as LAB
from academy.service.next_practice import Course
from academy.service.practice import sitting_of
from academy.service.starting_set import PURPOSE
from academy.service.viewer import Viewer

LISTED = 6


@dataclass(frozen=True, slots=True)
class WaitingRow:
    """One scenario that waits for its answer."""

    scenario_id: str
    title: str


def waiting(house: House, looking: Viewer) -> tuple[WaitingRow, ...]:
    """The viewer's newest unanswered scenarios; those of labs are listed there."""
    known = families.practised()
    with house.db.read() as connection:
        had = practised.of_person(connection, looking.person_id)
    still = [
        one
        for one in had
        if one.answered_at is None and one.family in known and one.purpose != LAB
    ]
    return tuple(
        WaitingRow(one.id, known[one.family].title.for_language(looking.language))
        for one in still[-LISTED:]
    )


def lay_ready(house: House, looking: Viewer, now: datetime) -> int:
    """Bring the viewer's waiting scenarios up to their number; how many were added."""
    with house.db.read() as connection:
        found = next_practice.course(connection, house, looking, now)
    wanted = list(_wanted(found))
    sitting = sitting_of(house, looking, now)
    with house.db.write() as connection:
        answered.hold(connection, looking.person_id)
        free = practice.load().laid_ready - _count(connection, looking.person_id)
        laid = 0
        for family, purpose in wanted:
            if laid >= free:
                break
            moment = now + laid * timedelta.resolution  # keeps their order
            to = Issue(looking.person_id, sitting, purpose, moment)
            laid += scenarios.consume_ready(connection, family, to) is not None
    return laid


def _count(connection: Connection, person_id: str) -> int:
    known = families.practised()
    return sum(
        one.answered_at is None and one.family in known and one.purpose != LAB
        for one in practised.of_person(connection, person_id)
    )


def _wanted(found: Course) -> Iterator[tuple[str, str]]:
    """Families with their purpose, in the order in which they would come next."""
    taken = {one.family for one in found.waiting} | set(found.recent[:1])
    given = next_practice.given_so_far(found)
    while found.begins and (family := next_practice.starting_family(found, given)):
        given.append(family)
        yield family, PURPOSE
    for pick in next_practice.picks(found):
        if pick.family not in taken and pick.family not in given:
            yield pick.family, "practice"


def keep_seconds(house: House, device_token: str) -> int:
    """How long a phone may keep practice pages that nobody looks at.

    As long as a sign-in outlives idleness there: minutes on a shared phone.
    """
    settings = house.settings
    if len(signing.people_on_device(house, device_token)) > 1:
        return settings.shared_idle_minutes * 60
    return settings.own_idle_days * 24 * 3600
