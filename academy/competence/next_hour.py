"""The best next practice: whose, in which topic, so that the cover gains most."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from academy.catalog.competence import CompetenceModel
from academy.competence.belief import chance
from academy.competence.item_curve import Array
from academy.competence.memory import forget, learn


@dataclass(frozen=True, slots=True)
class Option:
    """A block of practice that one person could do in one topic.

    ``gain`` is how much the person's chance on harvest day rises by it, ``importance``
    how much the topic's cover hangs on this person, ``cover`` the topic's cover now.
    """

    person_id: str
    topic: str
    gain: float
    importance: float
    cover: float
    minutes: float


def gain(
    grid: Array, weight: float, idle_days: int, half_life: float, model: CompetenceModel
) -> float:
    """Rise of the chance ``idle_days`` from now by practice of ``weight`` today."""
    practised = forget(learn(grid, weight, model), idle_days, half_life, model)
    return chance(practised) - chance(forget(grid, idle_days, half_life, model))


def worth(option: Option) -> float:
    """Relative growth of the cover per minute; a thin cover is worth the most."""
    grown = option.importance * option.gain
    if grown <= 0:
        return 0.0
    if option.cover <= 0:
        return math.inf
    return math.log1p(grown / option.cover) / option.minutes


def best_first(options: Iterable[Option]) -> tuple[Option, ...]:
    """The options by worth; equal ones by person and topic, always the same way."""
    return tuple(
        sorted(options, key=lambda each: (-worth(each), each.person_id, each.topic))
    )
