"""A family as an instructor looks it through: any draw, its key, how people would fare.

No person has answered: the key is what the engine or a rule says, and the simulated
people are those of the demonstration, from unskilled to perfect.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from statistics import fmean
from typing import Any

from academy.catalog import demo_farm, families, topics
from academy.errors import NotFound
from academy.grading.rules import RULE
from academy.language import Reader, gettext, marked, number
from academy.records.queries.answers import Answer
from academy.records.queries.stock import Draft
from academy.scenarios.dice import Dice
from academy.service import explaining, making, marking
from academy.service.lab_key import question_of
from academy.service.simulated import Simulated
from academy.service.viewer import Viewer
from academy.service.views import PartExplained, Question, Table
from academy.units import System

SKILLS = (0.0, 0.35, 0.7, 1.0)
_PEOPLE = 24  # simulated ones of each skill
_NEVER = datetime(2000, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class FamilyShown:
    """One family in the list of the bank."""

    key: str
    title: str
    topics: tuple[str, ...]
    kinds: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Preview:
    """One draw of a family: as it is asked, its key, and how it was judged."""

    seed: int
    question: Question
    key: tuple[PartExplained, ...]
    judged: Table
    people: Table


def listed(looking: Viewer, reader: Reader) -> tuple[FamilyShown, ...]:
    """Every family of the bank; raises NotFound for who does not teach."""
    _teaches(looking)
    names = topics.load()
    shown = []
    for key, content in families.known().items():
        asked = dict.fromkeys(part.topic for part in content.parts)
        kinds = dict.fromkeys(part.kind for part in content.parts)
        shown.append(
            FamilyShown(
                key=key,
                title=content.title.for_language(reader.language),
                topics=tuple(
                    names[t].name.for_language(reader.language) for t in asked
                ),
                kinds=tuple(kinds),
            )
        )
    return tuple(shown)


def preview(
    looking: Viewer, key: str, seed: int, reader: Reader, own: Reader | None = None
) -> Preview:
    """One draw of a family, looked through; how it was judged is told to ``own``.

    Raises NotFound for who does not teach and for an unknown family, ContentError when
    no substream of the seed may be asked.
    """
    _teaches(looking)
    draft = making.make(key, seed)
    payload = json.loads(draft.payload)
    return Preview(
        seed=seed,
        question=question_of(key, payload, reader),
        key=key_of(key, payload, reader),
        judged=_judged(draft, payload, own or reader),
        people=_people(payload, own or reader),
    )


def _teaches(looking: Viewer) -> None:
    """For everyone else there is no such page."""
    if not looking.teaches:
        raise NotFound("no_such_content", name="bank")


def _answered(
    payload: Mapping[str, Any], skill: float, luck: int, system: System = "metric"
) -> list[Answer]:
    """The answers of one simulated person, who types in these units, marked."""
    person = Simulated(demo_farm.load(), skill, system, Dice("preview", luck))
    kept = []
    for place, given in person.answers(payload).items():
        mark = marking.mark(payload["parts"][place - 1], payload["facts"], given)
        marks = {
            "rule": RULE,
            "reason": mark.reason,
            "critical_miss": mark.critical_miss,
            "detail": mark.detail,
        }
        kept.append(Answer(place, "", given, mark.score, marks, _NEVER, None))
    return kept


def key_of(
    key: str, payload: Mapping[str, Any], reader: Reader
) -> tuple[PartExplained, ...]:
    """The parts as they are explained to one who answered all of them right.

    In the reader's units, and without an answer: nobody gave one.
    """
    answered = _answered(payload, 1.0, 0, reader.units)
    told = explaining.parts(making.family(key), payload, answered, reader)
    return tuple(replace(each, yours="") for each in told)


def _judged(draft: Draft, payload: Mapping[str, Any], reader: Reader) -> Table:
    """Par, chance floor and flips of each part, and how many draws came before."""
    say = reader.language
    head = (marked("Part"), marked("Par"), marked("By chance"), marked("Flips of 256"))
    rows = [
        (
            f"{place}",
            number(part.par, 2, say),
            number(part.floor, 2, say),
            str(kept.get("flips", "–")),
        )
        for place, (part, kept) in enumerate(
            zip(draft.parts, payload["parts"], strict=True), start=1
        )
    ]
    refused = gettext(marked("draws refused before this one"), say)
    rows.append((refused, str(payload["substream"]), "", ""))
    title = gettext(marked("How it was judged"), say)
    return Table(title, tuple(gettext(each, say) for each in head), tuple(rows))


def _people(payload: Mapping[str, Any], reader: Reader) -> Table:
    """Mean score of simulated people, by part."""
    say = reader.language
    scores = {skill: _scores(payload, skill) for skill in SKILLS}
    head = [gettext(marked("Part"), say)]
    head += [f"{round(100 * skill)} %" for skill in SKILLS]
    rows = [
        (str(place), *(number(scores[skill][place - 1], 2, say) for skill in SKILLS))
        for place in range(1, len(payload["parts"]) + 1)
    ]
    title = gettext(marked("Mean score of simulated people, by skill"), say)
    return Table(title, tuple(head), tuple(rows))


def _scores(payload: Mapping[str, Any], skill: float) -> Sequence[float]:
    people = range(1, 2 if skill == 1.0 else _PEOPLE + 1)
    answered = [_answered(payload, skill, luck) for luck in people]
    places = range(len(payload["parts"]))
    return [fmean(one[place].score for one in answered) for place in places]
