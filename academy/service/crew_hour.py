"""The best next hour of a crew: who should practise what, so that the cover gains."""

from dataclasses import dataclass
from datetime import datetime

from academy.catalog import families, practice
from academy.competence import crew_hour
from academy.competence.crew_hour import CrewTopic
from academy.competence.item_curve import design_weight
from academy.records.queries import people
from academy.service import crew_needs, viewer
from academy.service.crew_needs import CrewNeeds
from academy.service.house import House
from academy.service.viewer import Viewer


@dataclass(frozen=True, slots=True)
class HourRow:
    """One person's share of the hour: the topic and the minutes."""

    person_id: str
    name: str
    topic: str
    minutes: int


def best_hour(
    house: House, looking: Viewer, now: datetime, crew_id: str | None = None
) -> tuple[HourRow, ...]:
    """The spells of practice that fill an hour best, most useful first.

    Raises NotAllowed for hires, NotFound for a crew that is not the lead's.
    """
    chosen = viewer.crew_seen(looking, crew_id)
    with house.db.read() as connection:
        needs = crew_needs.of_crew(connection, house.catalog, chosen, now)
        names = {one.id: one.name or "" for one in people.active(connection, chosen)}
    topics = [_topic(needs, key, names) for key, jobs in needs.jobs.items() if jobs]
    taken = crew_hour.plan(
        topics, needs.idle_days, practice.load().hour, house.catalog.model
    )
    minutes: dict[tuple[str, str], float] = {}
    for one in taken:
        pair = (one.person_id, one.topic)
        minutes[pair] = minutes.get(pair, 0.0) + one.minutes
    return tuple(
        HourRow(
            person_id=person_id,
            name=names[person_id],
            topic=house.catalog.topics[key].name.for_language(looking.language),
            minutes=round(spent),
        )
        for (person_id, key), spent in minutes.items()
    )


def _topic(needs: CrewNeeds, key: str, names: dict[str, str]) -> CrewTopic:
    rule, model = practice.load(), needs.catalog.model
    who = sorted(needs.people & names.keys())
    parts, minutes = _quickest(key)
    return CrewTopic(
        key=key,
        grids={person_id: needs.grid(person_id, key) for person_id in who},
        needed=min(needs.wanted[key], len(who)),
        half_life=needs.catalog.half_life(key),
        weight=rule.block * design_weight(parts, model.part_correlation),
        minutes=rule.block * minutes,
    )


def _quickest(topic: str) -> tuple[int, float]:
    """Parts of a topic and minutes of the quickest family that asks it."""
    rule, found = practice.load(), []
    for family in families.practised().values():
        parts = sum(part.topic == topic for part in family.parts)
        if parts:
            found.append((rule.minutes_of(p.kind for p in family.parts), parts))
    minutes, parts = min(found)
    return parts, minutes
