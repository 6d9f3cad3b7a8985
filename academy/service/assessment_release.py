"""Releasing an assessment: for whom, by whom, how often, and from what on.

An owner and an instructor release for everybody, a lead for the own crew, nobody for
themselves. The rules for another attempt are the same for all.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from math import ceil
from zoneinfo import ZoneInfo

from academy.catalog import assessment as rules
from academy.catalog import blueprints
from academy.catalog.blueprints import Blueprint
from academy.competence import belief as believing
from academy.competence import renewal
from academy.competence.replay import Standing, belief_on, replay, untested
from academy.errors import Conflict, NotAllowed, NotFound
from academy.records.connection import Connection
from academy.records.queries import answered, assessments, kept_rules
from academy.records.queries import beliefs as cache
from academy.records.queries import farm as farms
from academy.records.queries import people as persons
from academy.records.queries.assessments import Assessment, Decision
from academy.records.queries.people import Person
from academy.records.rows import new_id
from academy.service import assessment_rules, beliefs, line, log, written
from academy.service.assessment_void import count_answers, void_if_stuck
from academy.service.beliefs import Ledger
from academy.service.house import House
from academy.service.viewer import Viewer

WINDOWS: Mapping[str, int] = {"today": 1, "tomorrow": 2, "week": 7}
"""How long an assessment stays open: to the end of today, of the n-th day."""


@dataclass(frozen=True, slots=True)
class Offer:
    """One certificate that can be released for a person: key and title."""

    key: str
    title: str
    scope: str


@dataclass(frozen=True, slots=True)
class ReleaseChoices:
    """Whom it is released for, and which certificates fit the farm's header."""

    person_id: str
    name: str
    offers: tuple[Offer, ...]


@dataclass(frozen=True, slots=True)
class Past:
    """What a person did for one certificate since it was last passed."""

    passed: bool  # at any time
    fails: tuple[Decision, ...]
    broken_off: int

    @property
    def attempt(self) -> int:
        """The number of the next attempt; one broken off counts, a voided one not."""
        return 1 + len(self.fails) + self.broken_off


def choices(house: House, looking: Viewer, person_id: str) -> ReleaseChoices:
    """What can be released for a person; raises NotFound, Conflict for oneself."""
    with house.db.read() as connection:
        person = supervised(connection, looking, person_id)
        header = _header(connection)
    offers = (
        Offer(
            key,
            one.title.for_language(looking.language),
            one.scope.for_language(looking.language),
        )
        for key, one in blueprints.known().items()
        if header in one.headers
    )
    return ReleaseChoices(person.id, person.name or "", tuple(offers))


def release(
    house: House,
    looking: Viewer,
    person_id: str,
    certificate: str,
    window: str,
    now: datetime,
) -> str:
    """Release an assessment of a certificate until the end of a window; its id.

    Raises NotFound for a person who is not the viewer's to release for, NotUnderstood
    for what was not offered, Conflict for oneself, while one is open, too soon after a
    fail, and before practice has shown enough; NotAllowed when an instructor must.
    """
    offered = [one.key for one in choices(house, looking, person_id).offers]
    written.choice(certificate, offered, "certificate")
    written.choice(window, WINDOWS, "until")
    blueprint = blueprints.load(certificate)
    rules, body = assessment_rules.of_today(certificate)
    with house.db.write() as connection:
        answered.hold(connection, person_id)
        supervised(connection, looking, person_id)
        ledger = Ledger.of(connection, house.catalog)
        _refuse_second(connection, house, person_id, now)
        past = past_of(connection, person_id, certificate)
        _refuse_retake(connection, ledger, looking, person_id, blueprint, past, now)
        kept_rules.keep(connection, rules, body)
        made = Assessment(
            id=new_id(),
            person_id=person_id,
            certificate=certificate,
            blueprint_digest=blueprints.digest(certificate),
            header_key=_header(connection),
            attempt=past.attempt,
            credit=_credit(connection, ledger, person_id, blueprint, past, now),
            line=line.current(connection),
            released_by=looking.person_id,
            released_at=now,
            open_until=_until(ledger.zone, window, now),
            device_id=None,
            state="released",
            started_at=None,
            ended_at=None,
            rules=rules,
            void_reason=None,
        )
        assessments.add(connection, made)
        log.tell(connection, "released", now, made.id)
    return made.id


def cancel(house: House, looking: Viewer, assessment_id: str, now: datetime) -> None:
    """Take a released one back, or break a running one off; that counts as an attempt.

    One that could not go on anyhow is voided instead, and counts for nothing. Raises
    NotFound, and Conflict when it is over.
    """
    with house.db.write() as connection:
        row = held(connection, looking, assessment_id)
        if void_if_stuck(connection, house, row, now):
            return
        assessments.change(connection, row.id, state="cancelled", ended_at=now)
        log.tell(connection, "cancelled", now, row.id, cancelled_by=looking.person_id)
        topics = {part.topic for part in assessments.parts(connection, row.id)}
        count_answers(connection, house, row, topics)


def let_go(house: House, looking: Viewer, assessment_id: str, now: datetime) -> None:
    """Free it from its device, as after a broken phone; raises NotFound, Conflict.

    The next device on which its person goes on is the one from then on.
    """
    with house.db.write() as connection:
        row = held(connection, looking, assessment_id)
        assessments.change(connection, row.id, device_id=None)
        log.tell(connection, "device-freed", now, row.id, freed_by=looking.person_id)


def reopen(
    house: House, looking: Viewer, assessment_id: str, window: str, now: datetime
) -> None:
    """Give it another window; raises NotFound, NotUnderstood, Conflict."""
    written.choice(window, WINDOWS, "until")
    with house.db.write() as connection:
        row = held(connection, looking, assessment_id)
        zone = Ledger.of(connection, house.catalog).zone
        until = _until(zone, window, now)
        assessments.change(connection, row.id, open_until=until)
        log.tell(connection, "reopened", now, row.id, reopened_by=looking.person_id)


def supervised(connection: Connection, looking: Viewer, person_id: str) -> Person:
    """A person whom the viewer may release for; raises NotFound, Conflict."""
    found = persons.get(connection, person_id)
    if found is None or not found.active or not may_release(looking, found):
        raise NotFound("no_such_person")
    if found.id == looking.person_id:
        raise Conflict("not_for_oneself")
    return found


def held(connection: Connection, looking: Viewer, assessment_id: str) -> Assessment:
    """An assessment that is not over and the viewer may look after, held.

    Raises NotFound, Conflict.
    """
    found = assessments.held(connection, assessment_id)
    if found is None or not looks_after(connection, looking, found):
        raise NotFound("no_such_assessment")
    if found.state not in ("released", "running"):
        raise Conflict("assessment_over")
    return found


def looks_after(connection: Connection, looking: Viewer, row: Assessment) -> bool:
    """Whether the viewer may supervise this one: never their own.

    Owner, the lead of the person's crew, and the instructor who released it.
    """
    if row.person_id == looking.person_id:
        return False
    if looking.owns or row.released_by == looking.person_id:
        return looking.teaches
    person = persons.get(connection, row.person_id)
    return looking.leads and person is not None and person.crew_id == looking.crew_id


def past_of(connection: Connection, person_id: str, certificate: str) -> Past:
    """What a person did for a certificate since it was last passed.

    A decision that an appeal set aside does not count, nor what was voided.
    """
    mine = [
        one
        for one in assessments.of_person(connection, person_id)
        if one.certificate == certificate and one.void_reason is None
    ]
    told = assessments.decisions(connection, [one.id for one in mine])
    fails: list[Decision] = []
    broken, passed = 0, False
    for one in reversed(mine):
        last = told[one.id][-1] if one.id in told else None
        if last is not None and last.outcome == "pass":
            fails, broken, passed = [], 0, True
        elif last is not None and one.state != "cancelled":
            fails.append(last)
        elif last is None and one.state == "cancelled" and one.started_at is not None:
            broken += 1
    return Past(passed, tuple(fails), broken)


def lacking(
    connection: Connection,
    ledger: Ledger,
    person_id: str,
    blueprint: Blueprint,
    now: datetime,
) -> tuple[str, ...]:
    """Topics of a certificate in which the chance is too low for another attempt."""
    least = blueprint.retake.practice_chance.value
    found = {
        (one.person_id, one.topic): one
        for one in (
            cache.get(connection, person_id, topic) for topic in blueprint.weights
        )
        if one is not None
    }
    stand = beliefs.standings(connection, ledger, found.values())
    blank = untested(ledger.catalog.model)
    return tuple(
        topic
        for topic in blueprint.weights
        if _chance(ledger, topic, stand.get((person_id, topic), blank), now) < least
    )


def wait_until(blueprint: Blueprint, past: Past) -> datetime | None:
    """From when on another attempt may be released; None without a fail."""
    if not past.fails:
        return None
    return past.fails[-1].decided_at + timedelta(
        hours=blueprint.retake.wait_hours.value
    )


def needs_instructor(blueprint: Blueprint, past: Past) -> bool:
    """Whether so many attempts failed that only an instructor may release."""
    return len(past.fails) >= int(blueprint.retake.attempts.value)


def may_release(looking: Viewer, person: Person) -> bool:
    """Whether the viewer releases for them: an owner, an instructor, their lead."""
    if person.name is None:
        return False
    if looking.owns or "instructor" in looking.roles:
        return True
    return looking.leads and person.crew_id == looking.crew_id


def _refuse_second(
    connection: Connection, house: House, person_id: str, now: datetime
) -> None:
    """Refuse one beside another that is open; one that cannot go on is voided."""
    for one in assessments.of_person(connection, person_id):
        if one.state not in ("released", "running"):
            continue
        row = assessments.held(connection, one.id) or one
        if not void_if_stuck(connection, house, row, now):
            raise Conflict("assessment_open_already")


def _refuse_retake(
    connection: Connection,
    ledger: Ledger,
    looking: Viewer,
    person_id: str,
    blueprint: Blueprint,
    past: Past,
    now: datetime,
) -> None:
    """The rules for another attempt, the same for everybody."""
    until = wait_until(blueprint, past)
    if until is None:
        return
    if needs_instructor(blueprint, past) and "instructor" not in looking.roles:
        raise NotAllowed("instructor_must_release", count=len(past.fails))
    if now < until:
        hours = ceil((until - now) / timedelta(hours=1))
        raise Conflict("wait_after_fail", hours=hours)
    weak = lacking(connection, ledger, person_id, blueprint, now)
    if weak:
        names = topic_names(ledger, weak, looking.language)
        raise Conflict("practice_before_retake", topics=", ".join(names))


def topic_names(
    ledger: Ledger, topics: Sequence[str], language: str
) -> tuple[str, ...]:
    """Topics in words."""
    known = ledger.catalog.topics
    return tuple(
        known[key].name.for_language(language) if key in known else key
        for key in topics
    )


def _credit(
    connection: Connection,
    ledger: Ledger,
    person_id: str,
    blueprint: Blueprint,
    past: Past,
    now: datetime,
) -> float:
    """Evidence to start with when a certificate is renewed; 0 for a first one.

    Only answers of assessments count, faded until today, and of the topics the weakest:
    practice never does.
    """
    if not blueprint.starting_credit or not past.passed or past.fails:
        return 0.0
    model = ledger.catalog.model
    weakest = 1.0
    for topic in blueprint.weights:
        events = beliefs.events_for(connection, ledger, person_id, topic)
        examined = [one for one in events if not one.practice]
        half_life = ledger.catalog.half_life(topic)
        standing = replay(examined, half_life, model)
        weakest = min(weakest, _chance(ledger, topic, standing, now))
    return renewal.starting_credit(weakest, rules.again())


def _chance(ledger: Ledger, topic: str, standing: Standing, now: datetime) -> float:
    today = now.astimezone(ledger.zone).date()
    half_life, model = ledger.catalog.half_life(topic), ledger.catalog.model
    return believing.chance(belief_on(standing, today, half_life, model))


def _until(zone: ZoneInfo, window: str, now: datetime) -> datetime:
    """The last minute of a window's last day, on the farm's clock.

    Midnight would carry the date of a day on which it is already over.
    """
    day = now.astimezone(zone).date() + timedelta(days=WINDOWS[window] - 1)
    return datetime.combine(day, time(23, 59), zone)


def _header(connection: Connection) -> str:
    found = farms.get(connection)
    if found is None:
        raise NotFound("no_farm_yet")
    return found.header_key
