"""A person's card: how they stand in each topic and how they came there."""

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from academy.competence import belief as believing
from academy.competence import readiness
from academy.competence.item_curve import Array
from academy.competence.replay import (
    Event,
    Standing,
    after_event,
    belief_on,
    untested,
)
from academy.language import Language
from academy.records.connection import Connection
from academy.service import beliefs, coming_back, critical, farm, viewer
from academy.service.beliefs import Ledger
from academy.service.coming_back import ComingBack, SureWrong
from academy.service.house import House
from academy.service.viewer import Viewer


@dataclass(frozen=True, slots=True)
class Point:
    """Expected level at the end of a day and the interval round it, in logits.

    Level 0 is the just-qualified line.
    """

    day: date
    eap: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class CardTopic:
    """One topic of a card; ``history`` ends with today.

    ``word`` is ready, refresh, not_yet, untested or talk_first. ``lapses`` is the day
    from which the chance is below "refresh" when nothing is done; None when it is below
    already.
    """

    key: str
    name: str
    chance: float
    eap: float
    low: float
    high: float
    word: str
    answered: int
    last_day: date | None
    lapses: date | None
    history: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Missed:
    """A mistake that can hurt or kill and was not put right yet.

    ``assessment_id`` is where it can be ticked; empty for one of practice.
    """

    topic: str
    day: date
    assessment_id: str


@dataclass(frozen=True, slots=True)
class Card:
    """A person's card, in the order of the topics."""

    person_id: str
    name: str
    today: date
    topics: tuple[CardTopic, ...]
    coming_back: tuple[ComingBack, ...]
    sure_but_wrong: tuple[SureWrong, ...]  # told to whoever leads the person
    missed: tuple[Missed, ...] = ()


def card(house: House, looking: Viewer, person_id: str, now: datetime) -> Card:
    """The card of the viewer, or of a person whose competence the viewer may see.

    It shows no answers, only thoughts behind those that fell short. Raises NotFound.
    """
    with house.db.read() as connection:
        person = viewer.person_seen(connection, looking, person_id)
        today = farm.day_at(connection, now)
        ledger = Ledger.of(connection, house.catalog)
        leads = person_id != looking.person_id
        found = critical.open_misses(connection, [person_id], now, going=leads)
        missed = found.get(person_id, ())
        held_up = critical.touched(missed, house.catalog)
        topics = tuple(
            _held_up(
                _topic(connection, ledger, person_id, key, today, looking.language),
                held_up,
            )
            for key in house.catalog.topics
        )
        language: Language = "es" if looking.language == "es" else "en"
        back = coming_back.of_person(connection, person_id, language)
        sure = coming_back.sure_but_wrong(connection, person_id, language)
        told = tuple(
            Missed(critical.topic_name(one.topic, language), one.day, one.assessment_id)
            for one in missed
        )
    return Card(
        person_id, person.name or "", today, topics, back, sure if leads else (), told
    )


def _held_up(topic: CardTopic, held_up: frozenset[str]) -> CardTopic:
    """Not ready while a mistake that can hurt or kill was not put right."""
    if topic.key in held_up and topic.word == "ready":
        return replace(topic, word=critical.TALK_FIRST)
    return topic


def _topic(
    connection: Connection,
    ledger: Ledger,
    person_id: str,
    key: str,
    today: date,
    language: str,
) -> CardTopic:
    events = beliefs.events_for(connection, ledger, person_id, key)
    steps = _course(events, key, ledger)
    last = steps[-1] if steps else untested(ledger.catalog.model)
    grid = belief_on(last, today, ledger.catalog.half_life(key), ledger.catalog.model)
    now = believing.summary(grid, ledger.catalog.model)
    given = [event.day for event in events if event.kind == "answer"]
    tested = last.as_of is not None
    return CardTopic(
        key=key,
        name=ledger.catalog.topics[key].name.for_language(language),
        chance=now.chance,
        eap=now.eap,
        low=now.low,
        high=now.high,
        word=readiness.word(now.chance, ledger.catalog.model) if tested else "untested",
        answered=len(given),
        last_day=given[-1] if given else None,
        lapses=_lapses(grid, key, today, ledger) if tested else None,
        history=_history(steps, grid, today, ledger) if tested else (),
    )


def _course(events: list[Event], topic: str, ledger: Ledger) -> list[Standing]:
    """The standing at the end of each day of answers or use, in order."""
    by_day: dict[date, Standing] = {}
    standing = untested(ledger.catalog.model)
    for event in events:
        half_life = ledger.catalog.half_life(topic)
        standing = after_event(standing, event, half_life, ledger.catalog.model)
        if standing.as_of is not None:
            by_day[standing.as_of] = standing
    return list(by_day.values())


def _history(
    steps: list[Standing], grid: Array, today: date, ledger: Ledger
) -> tuple[Point, ...]:
    points = [
        _point(step.as_of, step.grid, ledger)
        for step in steps
        if step.as_of is not None
    ]
    if points[-1].day < today:
        points.append(_point(today, grid, ledger))
    return tuple(points)


def _point(day: date, grid: Array, ledger: Ledger) -> Point:
    found = believing.summary(grid, ledger.catalog.model)
    return Point(day, found.eap, found.low, found.high)


def _lapses(grid: Array, topic: str, today: date, ledger: Ledger) -> date | None:
    days = readiness.lapse_days(
        grid, ledger.catalog.half_life(topic), ledger.catalog.model
    )
    return today + timedelta(days=days) if days else None
