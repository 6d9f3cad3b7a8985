"""From the log of a person's answers to the belief, step by step, always the same."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import reduce
from typing import Literal

from academy.catalog.competence import CompetenceModel
from academy.competence.belief import Scored, prior, update
from academy.competence.item_curve import Array, Item
from academy.competence.memory import forget, learn


@dataclass(frozen=True, slots=True)
class Event:
    """One entry of the log in one topic.

    An "answer" carries item, score and weight as assessed; ``practice`` ones count less
    and teach. A "use" is a day of harvest work, on which nothing is forgotten.
    ``sequence`` orders the events of one day.
    """

    day: date
    sequence: int
    kind: Literal["answer", "use"]
    item: Item | None = None
    score: float = 0.0
    weight: float = 0.0
    practice: bool = False


@dataclass(frozen=True, slots=True)
class Standing:
    """A belief as it stood at the end of ``as_of``; None before the first answer."""

    grid: Array
    as_of: date | None = None


def untested(model: CompetenceModel) -> Standing:
    """How everybody starts."""
    return Standing(prior(model))


def after_event(
    standing: Standing, event: Event, half_life: float, model: CompetenceModel
) -> Standing:
    """The standing after one more event, which must not be older than the last one.

    Whole days between the two, on which nothing was done, let the belief slip.
    """
    if event.item is None:
        if standing.as_of is None:
            return standing
        return Standing(_until(standing, event.day, half_life, model), event.day)
    grid = _until(standing, event.day, half_life, model)
    return Standing(_after_answer(grid, event, event.item, model), event.day)


def replay(
    events: Iterable[Event],
    half_life: float,
    model: CompetenceModel,
    start: Standing | None = None,
) -> Standing:
    """The standing after all events, in the order of their days and numbers.

    ``start`` is a standing that no event is older than; else all start untested.
    """
    ordered = sorted(events, key=lambda event: (event.day, event.sequence))
    return reduce(
        lambda standing, event: after_event(standing, event, half_life, model),
        ordered,
        start or untested(model),
    )


def belief_on(
    standing: Standing, day: date, half_life: float, model: CompetenceModel
) -> Array:
    """The belief on ``day`` when nothing is done from ``as_of`` on, shape (80,)."""
    if standing.as_of is None:
        return standing.grid
    idle = max((day - standing.as_of).days, 0)
    return forget(standing.grid, idle, half_life, model)


def belief_after(
    events: Iterable[Event], today: date, half_life: float, model: CompetenceModel
) -> Array:
    """The belief that a log of events leaves ``today``, shape (80,)."""
    return belief_on(replay(events, half_life, model), today, half_life, model)


def _until(
    standing: Standing, day: date, half_life: float, model: CompetenceModel
) -> Array:
    if standing.as_of is None:
        return standing.grid
    idle = max((day - standing.as_of).days - 1, 0)
    return forget(standing.grid, idle, half_life, model)


def _after_answer(
    grid: Array, event: Event, item: Item, model: CompetenceModel
) -> Array:
    share = model.practice_weight if event.practice else 1.0
    after = update(grid, [Scored(item, event.score, event.weight * share)])
    return learn(after, event.weight, model) if event.practice else after
