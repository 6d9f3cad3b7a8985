"""From kept answers to beliefs: the one path that taking answers and rebuilding share.

A belief goes on from the kept one by what is new in the log, the same steps as counting
the whole log, to the last bit. Where something older comes in (an assessment that has
ended, a day of work noted later, a clock set back), the whole log is counted anew.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Self
from zoneinfo import ZoneInfo

from academy.catalog.competence import CompetenceModel
from academy.catalog.shelf import Catalog
from academy.competence.belief import pack, unpack
from academy.competence.item_curve import item_for
from academy.competence.replay import Event, Standing, replay, untested
from academy.errors import NotFound
from academy.records.connection import Connection
from academy.records.queries import answered, answers
from academy.records.queries import beliefs as cache
from academy.records.queries import farm as farms
from academy.records.queries.answers import Logged
from academy.records.queries.beliefs import Belief


@dataclass(frozen=True, slots=True)
class Ledger:
    """What counting needs beside the log: content, and the zone that makes days."""

    catalog: Catalog
    zone: ZoneInfo

    @classmethod
    def of(cls, connection: Connection, catalog: Catalog) -> Self:
        """The ledger of this farm; raises NotFound before its first start."""
        farm = farms.get(connection)
        if farm is None:
            raise NotFound("no_farm_yet")
        return cls(catalog, ZoneInfo(farm.zone))


def refresh(
    connection: Connection, catalog: Catalog, person_id: str, topics: Iterable[str]
) -> None:
    """Bring a person's beliefs in some topics up to the answers just kept, in one go.

    Call it in the write that held the person and then kept the answers. A topic that
    content no longer knows is left alone.
    """
    known = _known(catalog, topics)
    if known:
        _go_on(connection, Ledger.of(connection, catalog), person_id, known)


def recount(
    connection: Connection, catalog: Catalog, person_id: str, topics: Iterable[str]
) -> None:
    """Count a person's beliefs in some topics anew from the whole log, in one go.

    Call it in the write that let older answers count, after it.
    """
    known = _known(catalog, topics)
    if known:
        answered.hold(connection, person_id)
        _keep(connection, Ledger.of(connection, catalog), person_id, known)


def _known(catalog: Catalog, topics: Iterable[str]) -> list[str]:
    return sorted(topic for topic in set(topics) if topic in catalog.topics)


def rebuild(connection: Connection, catalog: Catalog) -> int:
    """Throw all beliefs away and count them from the log; how many were kept."""
    pairs = answered.pairs(connection)
    answered.forget_beliefs(connection)
    if not pairs:
        return 0
    ledger = Ledger.of(connection, catalog)
    known: dict[str, list[str]] = {}
    for person_id, topic in pairs:
        if topic in catalog.topics:
            known.setdefault(person_id, []).append(topic)
    for person_id, topics in known.items():
        _keep(connection, ledger, person_id, topics)
    return sum(len(topics) for topics in known.values())


def standings(
    connection: Connection, ledger: Ledger, kept: Iterable[Belief]
) -> Mapping[tuple[str, str], Standing]:
    """Kept beliefs by person and topic; one of an older model is counted anew."""
    version = ledger.catalog.model.version
    return {
        (one.person_id, one.topic): Standing(unpack(one.grid), one.as_of)
        if one.model_version == version
        else counted(connection, ledger, one.person_id, one.topic)
        for one in kept
        if one.topic in ledger.catalog.topics
    }


def counted(
    connection: Connection, ledger: Ledger, person_id: str, topic: str
) -> Standing:
    """How a person stands in a topic, from the log."""
    events = events_for(connection, ledger, person_id, topic)
    if not events:
        return untested(ledger.catalog.model)
    return replay(events, ledger.catalog.half_life(topic), ledger.catalog.model)


def events_for(
    connection: Connection, ledger: Ledger, person_id: str, topic: str
) -> list[Event]:
    """The log of a person in a topic: answers and days of use, in order."""
    log = answers.log_for(connection, person_id, [topic])
    days = answers.use_days(connection, person_id, [topic])
    return _events(log, [day for _, day in days], ledger)


def _keep(
    connection: Connection, ledger: Ledger, person_id: str, topics: Collection[str]
) -> None:
    logs = _by_topic(answers.log_for(connection, person_id, topics))
    days = answers.use_days(connection, person_id, topics)
    used = {topic: [day for of, day in days if of == topic] for topic in logs}
    cache.keep(
        connection,
        [_belief(ledger, person_id, logs[topic], used[topic]) for topic in logs],
    )


def _go_on(
    connection: Connection, ledger: Ledger, person_id: str, topics: Collection[str]
) -> None:
    version = ledger.catalog.model.version
    kept = {
        one.topic: one
        for one in cache.of_topics(connection, person_id, topics)
        if one.model_version == version
    }
    anew = [topic for topic in topics if topic not in kept]
    if kept:
        since = min(one.last_answer_id for one in kept.values())
        logs = _by_topic(answers.log_for(connection, person_id, kept, since))
        further = []
        for topic, belief in kept.items():
            log = [one for one in logs.get(topic, ()) if one.id > belief.last_answer_id]
            events = _events(log, (), ledger)
            if log and events[0].day < belief.as_of:
                anew.append(topic)
            elif log:
                further.append(_further(ledger, belief, events, log[-1].id))
        cache.keep(connection, further)
    if anew:
        _keep(connection, ledger, person_id, anew)


def _further(
    ledger: Ledger, belief: Belief, events: Sequence[Event], last_answer_id: int
) -> Belief:
    """A belief after more events, none older than it."""
    start = Standing(unpack(belief.grid), belief.as_of)
    half_life = ledger.catalog.half_life(belief.topic)
    standing = replay(events, half_life, ledger.catalog.model, start)
    return replace(
        belief,
        as_of=events[-1].day,
        grid=pack(standing.grid),
        last_answer_id=last_answer_id,
    )


def _by_topic(log: Iterable[Logged]) -> dict[str, list[Logged]]:
    found: dict[str, list[Logged]] = {}
    for logged in log:
        found.setdefault(logged.topic, []).append(logged)
    return found


def _belief(
    ledger: Ledger, person_id: str, log: Sequence[Logged], used: Iterable[date]
) -> Belief:
    """The belief that the log of one topic leaves; it has an answer at least."""
    model, topic = ledger.catalog.model, log[0].topic
    events = _events(log, used, ledger)
    standing = replay(events, ledger.catalog.half_life(topic), model)
    return Belief(
        person_id=person_id,
        topic=topic,
        as_of=events[-1].day,
        grid=pack(standing.grid),
        last_answer_id=log[-1].id,
        model_version=model.version,
    )


def _events(log: Iterable[Logged], days: Iterable[date], ledger: Ledger) -> list[Event]:
    used = [Event(day, 0, "use") for day in days]
    given = [_event(logged, ledger.zone, ledger.catalog.model) for logged in log]
    return sorted(used + given, key=lambda event: (event.day, event.sequence))


def _event(logged: Logged, zone: ZoneInfo, model: CompetenceModel) -> Event:
    return Event(
        day=logged.answered_at.astimezone(zone).date(),
        sequence=logged.id,
        kind="answer",
        item=item_for(logged.par, logged.floor, model),
        score=logged.score,
        weight=logged.weight,
        practice=logged.purpose != "assessment",
    )
