"""Mistaken thoughts of one person that keep coming back, and those held for sure."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from academy.catalog import topics
from academy.language import Language, gettext, marked
from academy.records.connection import Connection
from academy.records.queries import mistakes
from academy.records.queries.mistakes import Mistake
from academy.service import farm, misconceptions
from academy.service.misconceptions import Recurring, Wrong

_MOST = 60  # answers looked at
_SHOWN, _SURE = 7, 5
_HABITS = {
    "ticking": marked("Walk-rounds in general"),
    "order": marked("Orders of steps in general"),
}


@dataclass(frozen=True, slots=True)
class ComingBack:
    """A thought met more than once of late."""

    thought: str
    times: int
    topic: str


@dataclass(frozen=True, slots=True)
class SureWrong:
    """A wrong answer in a safety topic of somebody who was sure of it."""

    topic: str
    thought: str
    day: date


def _thoughts(one: Mistake) -> tuple[str, ...]:
    """Thoughts behind an answer; none where its scenario kept no parts."""
    payload = json.loads(one.payload)
    parts = payload.get("parts", [])
    if one.position > len(parts):
        return ()
    part = parts[one.position - 1]
    return tuple(misconceptions.met(part, payload["facts"], one.answer, one.marks))


def _wrong(found: Sequence[Mistake]) -> list[Wrong]:
    return [Wrong(one.topic, _thoughts(one)) for one in found]


def _said(key: str, language: Language) -> str:
    text = misconceptions.thought(key)
    return "" if text is None else text.for_language(language)


def topics_of(connection: Connection, person_id: str) -> frozenset[str]:
    """Topics in which a mistaken thought keeps coming back."""
    found = mistakes.of_person(connection, person_id, _MOST)
    return frozenset(one.topic for one in misconceptions.recurring(_wrong(found)))


def of_person(
    connection: Connection, person_id: str, language: Language
) -> tuple[ComingBack, ...]:
    """What keeps coming back, most often first."""
    names = _names(language)
    found = mistakes.of_person(connection, person_id, _MOST)
    told = (
        ComingBack(_said(one.key, language), one.times, _where(one, names, language))
        for one in misconceptions.recurring(_wrong(found))
    )
    return tuple(one for one in told if one.thought)[:_SHOWN]


def _where(one: Recurring, names: Mapping[str, str], language: Language) -> str:
    """The topic it was met in last; a habit belongs to no topic."""
    habit = _HABITS.get(one.key.partition(".")[0])
    return gettext(habit, language) if habit else names.get(one.topic, one.topic)


def sure_but_wrong(
    connection: Connection, person_id: str, language: Language
) -> tuple[SureWrong, ...]:
    """Wrong answers in safety topics that the person was sure of, newest first."""
    names, known = _names(language), topics.load()
    found = (
        one
        for one in mistakes.of_person(connection, person_id, _MOST)
        if one.answer.get("sure") is True
        and one.topic in known
        and known[one.topic].safety
    )
    told = (
        SureWrong(
            names[one.topic],
            " ".join(
                _said(key, language) for key in _thoughts(one)[: misconceptions.TOLD]
            ),
            farm.day_at(connection, one.answered_at),
        )
        for one in found
    )
    return tuple(told)[:_SURE]


def to_talk_to(connection: Connection, crew_id: str) -> frozenset[str]:
    """Who of a crew has something under ``sure_but_wrong``."""
    safety = [key for key, topic in topics.load().items() if topic.safety]
    given = mistakes.in_crew(connection, crew_id, safety)
    sure = {one.person_id for one in given if one.answer.get("sure") is True}
    return frozenset(one for one in sure if sure_but_wrong(connection, one, "en"))


def _names(language: Language) -> Mapping[str, str]:
    return {k: one.name.for_language(language) for k, one in topics.load().items()}
