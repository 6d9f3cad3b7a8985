"""A scenario as it is asked, and its key: what a right answer is, and how we know.

The key is read off a right answer, which is marked and explained like anybody's.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Any

from academy.catalog import demo_farm, procedures
from academy.catalog.families import Asked
from academy.grading.rules import RULE
from academy.language import Reader, gettext, marked, show
from academy.records.queries.answers import Answer
from academy.scenarios.dice import Dice
from academy.scenarios.facts import Facts
from academy.service import (
    as_asked,
    asking,
    explaining,
    marking,
    setup_explained,
    shown_facts,
)
from academy.service.engine_how import engine_how
from academy.service.order_explained import never, why_rows
from academy.service.setup_explained import Case
from academy.service.simulated import Simulated
from academy.service.views import HowRow, Question, Table

Part = Mapping[str, Any]
_TICKED = 2  # the column of a walk-round's table that tells the ticks
_NEVER = datetime(2000, 1, 1, tzinfo=UTC)
_COST = marked("Cost with the best settings: %(cost)s. As found: %(found)s.")


@dataclass(frozen=True, slots=True)
class PartKey:
    """The right answer to a part, what stands behind it, and how we know."""

    best: str
    advice: tuple[str, ...]
    tables: tuple[Table, ...]
    how: tuple[HowRow, ...]


def question_of(
    family_key: str, payload: Mapping[str, Any], reader: Reader
) -> Question:
    """A stored scenario as it is asked; raises NotFound for an unknown family."""
    content, facts = as_asked.family_of(family_key, payload), payload["facts"]
    return Question(
        scenario_id="",
        family=family_key,
        title=content.title.for_language(reader.language),
        story=content.story.for_language(reader.language),
        facts=shown_facts.fact_rows(content, facts, reader),
        parts=tuple(
            asking.part_view(place, asked, part, facts, reader)
            for place, (asked, part) in enumerate(
                zip(content.parts, payload["parts"], strict=True), start=1
            )
        ),
        answered=False,
    )


def right_answers(payload: Mapping[str, Any]) -> dict[int, dict[str, Any]]:
    """A right answer to every part of a stored scenario, by place from 1."""
    return Simulated(demo_farm.load(), 1.0, "metric", Dice("key")).answers(payload)


def key_of(
    family_key: str, payload: Mapping[str, Any], reader: Reader
) -> tuple[PartKey, ...]:
    """The key of every part of a stored scenario."""
    content, facts = as_asked.family_of(family_key, payload), payload["facts"]
    right = right_answers(payload)
    title, keys = content.title.for_language(reader.language), []
    for place, (asked, part) in enumerate(
        zip(content.parts, payload["parts"], strict=True), start=1
    ):
        tell = _KEYS.get(part["kind"], _explained)
        key = tell(asked, part, facts, right[place], reader)
        keys.append(_captioned(key, f"{title}, {place}"))
    return tuple(keys)


def _captioned(key: PartKey, of: str) -> PartKey:
    """Its tables named after their part, so that no two of a page are called alike."""
    tables = (replace(each, caption=f"{each.caption} ({of})") for each in key.tables)
    return replace(key, tables=tuple(tables))


def _explained(
    asked: Asked, part: Part, facts: Facts, answer: dict[str, Any], reader: Reader
) -> PartKey:
    mark = marking.mark(part, facts, answer)
    marks = {"rule": RULE, "reason": mark.reason, "detail": mark.detail}
    marks["critical_miss"] = mark.critical_miss
    kept = Answer(0, "", answer, mark.score, marks, _NEVER, None)
    told = explaining.part_explained(1, asked, part, facts, kept, reader)
    return PartKey(told.best, told.advice, told.tables, told.how)


def _settings(
    asked: Asked, part: Part, facts: Facts, answer: dict[str, Any], reader: Reader
) -> PartKey:
    del asked
    case = setup_explained.case_of(part, facts, answer, reader)
    cost, found = (
        show(float(case.readings(each).cost), "money_per_area", reader)
        for each in (case.best, case.found)
    )
    return PartKey(
        best="",
        advice=(case.say(_COST) % {"cost": cost, "found": found},),
        tables=(_best_table(case),),
        how=engine_how(facts["crop"], reader),
    )


def _best_table(case: Case) -> Table:
    """The settings asked, best and as found."""
    full = setup_explained.settings_table(case)
    rows = tuple((name, best, found) for name, _yours, best, found in full.rows)
    head = (full.head[0], full.head[2], full.head[3])
    return Table(case.say(marked("The settings that cost least")), head, rows)


def _order(
    asked: Asked, part: Part, facts: Facts, answer: dict[str, Any], reader: Reader
) -> PartKey:
    del asked, facts
    procedure = procedures.known()[part["procedure"]]
    texts = {s.key: s.text.for_language(reader.language) for s in procedure.steps}
    rows = tuple((str(n), texts[key]) for n, key in enumerate(answer["order"], start=1))
    words = (marked("Place"), marked("Step"))
    head = tuple(gettext(word, reader.language) for word in words)
    caption = gettext(marked("One order that is right"), reader.language)
    return PartKey(
        best="",
        advice=tuple(never(procedure, reader)),
        tables=(Table(caption, head, rows),),
        how=why_rows(procedure, reader),
    )


def _inspection(
    asked: Asked, part: Part, facts: Facts, answer: dict[str, Any], reader: Reader
) -> PartKey:
    """As it is explained, without the column of what was ticked."""
    key = _explained(asked, part, facts, answer, reader)
    tables = (
        replace(each, head=_without(each.head), rows=tuple(map(_without, each.rows)))
        for each in key.tables
    )
    return replace(key, tables=tuple(tables))


def _without(cells: tuple[str, ...]) -> tuple[str, ...]:
    return cells[:_TICKED] + cells[_TICKED + 1 :]


_KEYS = {"set-up": _settings, "order": _order, "inspection": _inspection}
