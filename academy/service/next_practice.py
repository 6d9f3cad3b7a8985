"""What comes next for one person, and why: the starting set first, then the rule."""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from academy.catalog import families, practice
from academy.competence import readiness
from academy.competence.belief import chance
from academy.competence.memory import forget
from academy.competence.next_hour import (
    Candidate,
    Pick,
    Subject,
    best_first,
    next_pick,
)
from academy.language import Language, gettext, marked
from academy.records.connection import Connection
from academy.records.queries import practised
from academy.records.queries.practised import Had
from academy.service import coming_back, crew_needs, starting_set
from academy.service.crew_needs import CrewNeeds
from academy.service.house import House
from academy.service.lab_own import PURPOSE as LAB
from academy.service.making import practised_family
from academy.service.practice import issue
from academy.service.starting_set import PURPOSE, Progress
from academy.service.viewer import Viewer

BECAUSE = {
    ("untested", True): marked(
        "Because you have not answered anything on “%(topic)s” yet, "
        "which the crew needs for: %(jobs)s."
    ),
    ("untested", False): marked(
        "Because you have not answered anything on “%(topic)s” yet."
    ),
    ("information", True): marked(
        "Because your answers on “%(topic)s” do not settle yet how you stand, "
        "and the crew needs it for: %(jobs)s."
    ),
    ("information", False): marked(
        "Because your answers on “%(topic)s” do not settle yet how you stand."
    ),
    ("gain", True): marked(
        "Because practice on “%(topic)s” lifts you most per minute, "
        "and the crew needs it for: %(jobs)s."
    ),
    ("gain", False): marked(
        "Because practice on “%(topic)s” lifts you most per minute."
    ),
}
COMES_BACK = marked("Because a mistaken thought on “%(topic)s” keeps coming back.")
SAFETY_FIRST = marked("Because working safely comes before everything else.")
NOT_ASKED = marked("Because the starting set has not asked about this yet: %(topics)s.")
ANOTHER = marked("Because one more look makes the start surer.")


@dataclass(frozen=True, slots=True)
class NextView:
    """The family that comes next; ``scenario_id`` is empty until one is issued.

    ``starting`` says how far the starting set is while it goes on.
    """

    family: str
    title: str
    because: str
    minutes: int
    scenario_id: str
    starting: Progress | None


@dataclass(frozen=True, slots=True)
class Course:
    """What choosing looks at: the past, the crew's needs, the starting set."""

    looking: Viewer
    had: tuple[Had, ...]
    needs: CrewNeeds
    starting: Progress | None
    returning: frozenset[str] = frozenset()  # topics

    @property
    def waiting(self) -> tuple[Had, ...]:
        """Scenarios not answered yet whose family content still knows, newest last.

        A lab's are none of them: they wait there.
        """
        asked = families.practised()
        return tuple(
            one
            for one in self.had
            if one.answered_at is None and one.family in asked and one.purpose != LAB
        )

    @property
    def recent(self) -> tuple[str, ...]:
        """The families answered, the last one first."""
        done = [(one.answered_at, one.family) for one in self.had if one.answered_at]
        return tuple(family for _when, family in sorted(done, reverse=True))

    @property
    def begins(self) -> bool:
        """Whether the starting set is still going on."""
        return self.starting is not None and not self.starting.complete


def course(
    connection: Connection, house: House, looking: Viewer, now: datetime
) -> Course:
    """The course of one person as it is now."""
    had = practised.of_person(connection, looking.person_id)
    needs = crew_needs.of_crew(connection, house.catalog, looking.crew_id, now)
    works = bool(looking.roles & {"hire", "lead"})
    begun = starting_set.progress(had, families.practised(), works)
    back = coming_back.topics_of(connection, looking.person_id)
    return Course(looking, had, needs, begun, back)


def picks(found: Course) -> tuple[Pick, ...]:
    """Every family by the rule, best first."""
    times = Counter(one.family for one in found.had if one.answered_at)
    rule = practice.load()
    candidates = [
        Candidate(
            family=key,
            parts=Counter(part.topic for part in content.parts),
            minutes=rule.minutes_of(part.kind for part in content.parts),
            had=times[key],
        )
        for key, content in families.practised().items()
    ]
    return best_first(candidates, _subjects(found), rule, found.needs.catalog.model)


def starting_family(found: Course, given: Sequence[str]) -> str | None:
    """The family of the starting set that comes after those given; None at its end."""
    if found.starting is None or len(given) >= found.starting.of:
        return None
    topics, elsewhere = found.needs.catalog.topics, practice.load().elsewhere
    jobs = found.needs.jobs
    return starting_set.choose(
        families.practised(),
        {topic: len(asked) or elsewhere for topic, asked in jobs.items()},
        [key for key, topic in topics.items() if topic.safety],
        given,
    )


def given_so_far(found: Course) -> list[str]:
    """Families of the starting set that were issued, in order."""
    known = families.practised()
    mine = [one for one in found.had if one.purpose == PURPOSE]
    return [one.family for one in mine if one.family in known]


def next_for(house: House, looking: Viewer, now: datetime) -> NextView | None:
    """What comes next for the viewer; None when there is nothing to practise."""
    with house.db.read() as connection:
        found = course(connection, house, looking, now)
    return _of_starting_set(found) if found.begins else _by_the_rule(found)


def starting_of(house: House, looking: Viewer, scenario_id: str) -> Progress | None:
    """How far the starting set is, for a scenario that belongs to it."""
    with house.db.read() as connection:
        had = practised.of_person(connection, looking.person_id)
    if not any(one.id == scenario_id and one.purpose == PURPOSE for one in had):
        return None
    return starting_set.progress(had, families.practised(), works=True)


def issue_next(house: House, looking: Viewer, now: datetime) -> str | None:
    """Issue what comes next, or hand out the one that waits; its id."""
    coming = next_for(house, looking, now)
    if coming is None or coming.scenario_id:
        return coming.scenario_id if coming else None
    purpose = PURPOSE if coming.starting else "practice"
    return issue(house, looking, coming.family, now, purpose)


def issue_family(house: House, looking: Viewer, family: str, now: datetime) -> str:
    """Issue a scenario of a chosen family, or hand out the one that waits; its id.

    Raises NotFound for a family that nobody practises, Conflict when no unseen one
    could be made.
    """
    practised_family(family)
    with house.db.read() as connection:
        had = practised.of_person(connection, looking.person_id)
    for one in had:
        if one.family == family and one.answered_at is None and one.purpose != LAB:
            return one.id
    return issue(house, looking, family, now)


def _of_starting_set(found: Course) -> NextView | None:
    given = given_so_far(found)
    open_ones = [one for one in found.waiting if one.purpose == PURPOSE]
    family = open_ones[0].family if open_ones else starting_family(found, given)
    if family is None:
        return _by_the_rule(found)
    before = given[: given.index(family)] if open_ones else given
    reason = _why_now(found, family, before)
    return replace(_view(found, family, reason), starting=found.starting)


def _why_now(found: Course, family: str, before: Sequence[str]) -> str:
    topics, language = found.needs.catalog.topics, found.looking.language
    say = _in(language)
    fresh = starting_set.fresh_topics(families.practised(), family, before)
    if not before and any(topics[key].safety for key in fresh if key in topics):
        return say(SAFETY_FIRST)
    if not fresh:
        return say(ANOTHER)
    names = ", ".join(topics[key].name.for_language(language) for key in fresh)
    return say(NOT_ASKED) % {"topics": names}


def _by_the_rule(found: Course) -> NextView | None:
    pick = next_pick(picks(found), found.recent, practice.load().apart)
    return None if pick is None else _view(found, pick.family, because(found, pick))


def because(found: Course, pick: Pick) -> str:
    """The one sentence that says why a family comes next."""
    catalog, language = found.needs.catalog, found.looking.language
    jobs = found.needs.jobs[pick.topic]
    if pick.topic in found.returning:
        name = catalog.topics[pick.topic].name.for_language(language)
        return _in(language)(COMES_BACK) % {"topic": name}
    return _in(language)(BECAUSE[pick.reason, bool(jobs)]) % {
        "topic": catalog.topics[pick.topic].name.for_language(language),
        "jobs": ", ".join(catalog.jobs[k].name.for_language(language) for k in jobs),
    }


def _view(found: Course, family: str, reason: str) -> NextView:
    content = families.practised()[family]
    waits = [one.id for one in found.waiting if one.family == family]
    minutes = practice.load().minutes_of(part.kind for part in content.parts)
    return NextView(
        family=family,
        title=content.title.for_language(found.looking.language),
        because=reason,
        minutes=max(round(minutes), 1),
        scenario_id=waits[0] if waits else "",
        starting=None,
    )


def _in(language: str) -> Callable[[str], str]:
    known: Language = "es" if language == "es" else "en"
    return lambda text: gettext(text, known)


def _subjects(found: Course) -> Mapping[str, Subject]:
    return {topic: _subject(found, topic) for topic in found.needs.jobs}


def _subject(found: Course, topic: str) -> Subject:
    needs, own = found.needs, found.looking.person_id
    return Subject(
        grid=needs.grid(own, topic),
        idle_days=needs.idle_days,
        half_life=needs.catalog.half_life(topic),
        wanted=bool(needs.jobs[topic]),
        importance=_importance(needs, own, topic),
        tested=(own, topic) in needs.standings,
        returning=topic in found.returning,
    )


def _importance(needs: CrewNeeds, own: str, topic: str) -> float:
    """Chance that on harvest day exactly this person is lacking in the topic."""
    half_life, model = needs.catalog.half_life(topic), needs.catalog.model
    others = [
        chance(forget(needs.grid(who, topic), needs.idle_days, half_life, model))
        for who in sorted(needs.people - {own})
    ]
    lacking = min(needs.wanted[topic], len(others) + 1) - 1
    if lacking < 0:
        return 0.0
    return float(readiness.poisson_binomial(others)[lacking])
