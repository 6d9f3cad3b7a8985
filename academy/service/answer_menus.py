"""Menus of really graded answers to drawn questions, for simulated people.

Every draw is verified as any question is; invented people of several skills answer it
as they would type it, and each distinct answer is marked once by the ordinary marker.
"""

import json
from collections import defaultdict
from collections.abc import Mapping
from typing import Any

from academy.catalog import competence, demo_farm
from academy.competence.answer_menu import PartMenu, menu_of
from academy.competence.item_curve import item_for
from academy.competence.safety_gate import answered_safely
from academy.records.queries.stock import Draft
from academy.scenarios.dice import Dice
from academy.scenarios.facts import canonical
from academy.service import making, marking
from academy.service.simulated import Simulated

SKILLS = (0.0, 0.25, 0.5, 0.75, 1.0)
_TIMES = 4  # answers of each skill


def of_family(family: str, draws: int, seed: int) -> tuple[tuple[PartMenu, ...], ...]:
    """``draws`` verified draws of a family with the menus of their parts.

    Same arguments and content, same menus. Raises NotFound, ContentError.
    """
    dice = Dice("certification", family, seed)
    seeds = [dice.below(2**53) for _ in range(draws)]
    return tuple(of_draft(making.make(family, each)) for each in seeds)


def of_draft(draft: Draft) -> tuple[PartMenu, ...]:
    """The menus of one verified draw, part by part."""
    payload = json.loads(draft.payload)
    graded = _graded(payload, draft.seed)
    model = competence.load()
    return tuple(
        PartMenu(
            par=part.par,
            floor=part.floor,
            item=item_for(part.par, part.floor, model),
            menu=menu_of(graded[place]),
        )
        for place, part in enumerate(draft.parts, start=1)
    )


def _graded(payload: Mapping[str, Any], seed: int) -> dict[int, dict[float, float]]:
    """For each place, the scores that answers got, and how many got each."""
    farm, facts, parts = demo_farm.load(), payload["facts"], payload["parts"]
    counts: dict[int, dict[float, float]] = defaultdict(lambda: defaultdict(float))
    marked: dict[tuple[int, str], float] = {}
    for skill in SKILLS:
        person = Simulated(farm, skill, "metric", Dice("menu", seed, skill))
        for _ in range(_TIMES):
            for place, answer in person.answers(payload).items():
                name = (place, canonical(answer))
                if name not in marked:
                    mark = marking.mark(parts[place - 1], facts, answer)
                    marked[name] = mark.score
                counts[place][marked[name]] += 1.0
    return counts


def safety_of_family(
    family: str, draws: int, seed: int
) -> tuple[tuple[bool, bool], ...]:
    """For draws of a safety family: is the perfect answer right, is the worst one?

    Both are marked as any answer; a fair question says True, False.
    """
    dice = Dice("certification", family, seed)
    seeds = [dice.below(2**53) for _ in range(draws)]
    return tuple(_safety(making.make(family, each)) for each in seeds)


def _safety(draft: Draft) -> tuple[bool, bool]:
    payload = json.loads(draft.payload)
    kinds = [part["kind"] for part in payload["parts"]]
    told = []
    for skill in (1.0, 0.0):
        dice = Dice("safety", draft.seed, skill)
        person = Simulated(demo_farm.load(), skill, "metric", dice)
        answers = person.answers(payload)
        marks = [
            marking.mark(part, payload["facts"], answers[place])
            for place, part in enumerate(payload["parts"], start=1)
        ]
        told.append(answered_safely(kinds, marks))
    return told[0], told[1]
