"""The crew's best hour of practice: whose, in which topic, so that the cover gains.

Step by step the spell of practice is taken that lifts the cover most per minute; what
counts is the logarithm of each topic's cover, so that a thin one is never given up.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from academy.catalog.competence import CompetenceModel
from academy.competence import readiness
from academy.competence.belief import chance
from academy.competence.item_curve import Array
from academy.competence.memory import forget, learn


@dataclass(frozen=True, slots=True)
class Option:
    """A spell of practice that one person could do in one topic.

    ``gain`` is how much the person's chance on harvest day rises by it, ``importance``
    how much the topic's cover hangs on this person, ``cover`` the topic's cover now.
    """

    person_id: str
    topic: str
    gain: float
    importance: float
    cover: float
    minutes: float


@dataclass(frozen=True, slots=True)
class CrewTopic:
    """One topic of a crew: beliefs by person, how many must be ready, the fading.

    ``weight`` is what a spell of practice teaches, ``minutes`` how long it takes.
    """

    key: str
    grids: Mapping[str, Array]
    needed: int
    half_life: float
    weight: float
    minutes: float


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


def plan(
    topics: Sequence[CrewTopic], idle_days: int, minutes: float, model: CompetenceModel
) -> tuple[Option, ...]:
    """The spells of practice that fill ``minutes`` best, in the order they are taken.

    ``idle_days`` lie between today and harvest. Spells that gain nothing are left out.
    """
    state = {topic.key: topic for topic in topics}
    offered = {key: _options(one, idle_days, model) for key, one in state.items()}
    taken: list[Option] = []
    while True:
        left = minutes - math.fsum(one.minutes for one in taken)
        fitting = [o for each in offered.values() for o in each if o.minutes <= left]
        best = next(iter(best_first(fitting)), None)
        if best is None or worth(best) <= 0:
            return tuple(taken)
        taken.append(best)
        state[best.topic] = _practised(state[best.topic], best.person_id, model)
        offered[best.topic] = _options(state[best.topic], idle_days, model)


def _practised(topic: CrewTopic, person_id: str, model: CompetenceModel) -> CrewTopic:
    learnt = learn(topic.grids[person_id], topic.weight, model)
    return replace(topic, grids={**topic.grids, person_id: learnt})


def _options(
    topic: CrewTopic, idle_days: int, model: CompetenceModel
) -> tuple[Option, ...]:
    def later(grid: Array) -> float:
        return chance(forget(grid, idle_days, topic.half_life, model))

    chances = [later(grid) for grid in topic.grids.values()]
    cover = readiness.chance_at_least(chances, topic.needed)
    hangs = np.asarray(readiness.importance(chances, topic.needed))
    return tuple(
        Option(
            person_id=person_id,
            topic=topic.key,
            gain=later(learn(grid, topic.weight, model)) - now,
            importance=float(on_this),
            cover=cover,
            minutes=topic.minutes,
        )
        for (person_id, grid), now, on_this in zip(
            topic.grids.items(), chances, hangs, strict=True
        )
    )
