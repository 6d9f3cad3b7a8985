"""What the starting set showed: how each scenario went, and where that leaves one."""

from dataclasses import dataclass
from datetime import datetime
from statistics import fmean

from academy.catalog import families
from academy.errors import NotFound
from academy.records.connection import Connection
from academy.records.queries import answers, practised
from academy.records.queries.practised import Had
from academy.service import card, starting_set
from academy.service.card import CardTopic
from academy.service.house import House
from academy.service.starting_set import PURPOSE, Progress
from academy.service.viewer import Viewer


@dataclass(frozen=True, slots=True)
class StartingRow:
    """One answered scenario of the set and its score, 0 to 1."""

    scenario_id: str
    title: str
    score: float


@dataclass(frozen=True, slots=True)
class StartingSummary:
    """The set so far: progress, scenarios in order, standing in the topics asked."""

    progress: Progress
    rows: tuple[StartingRow, ...]
    topics: tuple[CardTopic, ...]


def summary(house: House, looking: Viewer, now: datetime) -> StartingSummary:
    """The viewer's own starting set; raises NotFound before its first answer."""
    known = families.practised()
    with house.db.read() as connection:
        had = practised.of_person(connection, looking.person_id)
        mine = [one for one in had if one.purpose == PURPOSE and one.answered_at]
        progress = starting_set.progress(had, known, works=True)
        if not mine or progress is None:
            raise NotFound("no_such_scenario")
        rows = tuple(_row(connection, looking, one) for one in mine)
    asked = {
        topic
        for one in mine
        if one.family in known
        for topic in starting_set.topics_of(known[one.family])
    }
    own = card.card(house, looking, looking.person_id, now)
    topics = tuple(topic for topic in own.topics if topic.key in asked)
    return StartingSummary(progress, rows, topics)


def _row(connection: Connection, looking: Viewer, one: Had) -> StartingRow:
    kept = answers.for_scenario(connection, one.id).values()
    content = families.known().get(one.family)
    title = content.title.for_language(looking.language) if content else one.family
    return StartingRow(one.id, title, fmean(answer.score for answer in kept))
