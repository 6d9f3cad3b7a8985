"""What a crew's jobs need: which topics, how many people, how each person stands."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from academy.catalog import families
from academy.catalog.shelf import Catalog
from academy.competence.item_curve import Array
from academy.competence.replay import Standing, belief_on, untested
from academy.records.connection import Connection
from academy.records.queries import beliefs as cache
from academy.records.queries import farm as farms
from academy.records.queries import practised
from academy.service import beliefs, farm


@dataclass(frozen=True, slots=True)
class CrewNeeds:
    """A crew today: harvest ahead, jobs by topic, people wanted, and standings.

    ``people`` are those whose readiness counts: who works, or was ever tested.
    """

    catalog: Catalog
    today: date
    idle_days: int
    jobs: Mapping[str, tuple[str, ...]]
    wanted: Mapping[str, int]
    people: frozenset[str]
    standings: Mapping[tuple[str, str], Standing]

    def standing(self, person_id: str, topic: str) -> Standing:
        """How a person stands in a topic."""
        known = self.standings.get((person_id, topic))
        return untested(self.catalog.model) if known is None else known

    def grid(self, person_id: str, topic: str) -> Array:
        """The belief about a person in a topic as of today."""
        half_life = self.catalog.half_life(topic)
        standing = self.standing(person_id, topic)
        return belief_on(standing, self.today, half_life, self.catalog.model)


def of_crew(
    connection: Connection, catalog: Catalog, crew_id: str, now: datetime
) -> CrewNeeds:
    """The needs of a crew and how its people stand; raises NotFound without a farm."""
    today = farm.day_at(connection, now)
    season = farms.next_season(connection, today)
    ledger = beliefs.Ledger.of(connection, catalog)
    kept = cache.all_for_crew(connection, crew_id)
    found = beliefs.standings(connection, ledger, kept)
    heads = {one.role_key: one.headcount for one in farms.needed(connection, crew_id)}
    jobs = {
        topic: tuple(
            key
            for key, job in catalog.jobs.items()
            if heads.get(key) and topic in job.topics
        )
        for topic in catalog.topics
        if topic in families.topics_asked()
    }
    return CrewNeeds(
        catalog=catalog,
        today=today,
        idle_days=(season.harvest_day - today).days if season else 0,
        jobs=jobs,
        wanted={
            topic: sum(heads[key] for key in asked) for topic, asked in jobs.items()
        },
        people=practised.workers(connection, crew_id) | {who for who, _topic in found},
        standings=found,
    )
