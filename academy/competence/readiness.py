"""Cover: the chance that enough people stand ready, and who would be missed most."""

from collections.abc import Iterable, Sequence
from typing import Literal

import numpy as np

from academy.catalog.competence import CompetenceModel
from academy.competence.belief import chance
from academy.competence.item_curve import Array
from academy.competence.memory import forget
from academy.errors import OutOfRange

Word = Literal["ready", "refresh", "not_yet"]


def word(chance_today: float, model: CompetenceModel) -> Word:
    """The word for a chance to be at or above the line."""
    if chance_today >= model.ready_chance:
        return "ready"
    return "refresh" if chance_today >= model.refresh_chance else "not_yet"


def role_chance(topic_chances: Iterable[float]) -> float:
    """Chance that a person is ready in every topic a job needs; 1 for none."""
    return float(np.prod(np.fromiter(topic_chances, dtype=np.float64)))


def poisson_binomial(chances: Sequence[float]) -> Array:
    """Chances of 0, 1, ... n people ready, shape (n + 1,), people independent."""
    counts = np.array([1.0])
    for p in chances:
        _check(p)
        counts = np.append(counts * (1 - p), 0.0) + np.append(0.0, counts * p)
    return counts


def chance_at_least(chances: Sequence[float], needed: int) -> float:
    """Chance that ``needed`` or more of these people stand ready: the cover."""
    if needed <= 0:
        return 1.0
    return float(poisson_binomial(chances)[needed:].sum())


def expected_ready(chances: Sequence[float]) -> float:
    """How many of these people stand ready on average."""
    return float(np.sum(np.asarray(chances, dtype=np.float64)))


def importance(chances: Sequence[float], needed: int) -> Array:
    """For each person, cover if surely ready minus cover if surely not (Birnbaum).

    That is the chance that exactly one is lacking among the others.
    """
    for p in chances:
        _check(p)
    if not 1 <= needed <= len(chances):
        return np.zeros(len(chances))
    others = np.zeros((len(chances), needed))  # row: a person, column: others ready
    others[:, 0] = 1.0
    for person, p in enumerate(chances):
        one_more = others * (1 - p)
        one_more[:, 1:] += others[:, :-1] * p
        one_more[person] = others[person]
        others = one_more
    return np.asarray(others[:, needed - 1])


def drop_when_absent(chances: Sequence[float], needed: int) -> Array:
    """By how much the cover falls when each person stays away, shape (n,)."""
    cover = chance_at_least(chances, needed)
    return np.array(
        [
            cover - chance_at_least(_without(chances, person), needed)
            for person in range(len(chances))
        ]
    )


def lapse_days(
    grid: Array, half_life: float, model: CompetenceModel, most: int | None = None
) -> int:
    """First day of disuse with the chance below "refresh", at most ``most`` days.

    ``most`` is the certificate's longest life unless given; 0 when below it today.
    """
    last = int(model.certificate_days) if most is None else most
    low, high = 0, last
    while low < high:
        middle = (low + high) // 2
        if _lapsed(grid, middle, half_life, model):
            high = middle
        else:
            low = middle + 1
    return low


def _lapsed(grid: Array, days: int, half_life: float, model: CompetenceModel) -> bool:
    return chance(forget(grid, days, half_life, model)) < model.refresh_chance


def _without(chances: Sequence[float], person: int) -> list[float]:
    return [*chances[:person], *chances[person + 1 :]]


def _check(p: float) -> None:
    if not 0 <= p <= 1:
        raise OutOfRange("must_be_a_fraction", name="chance", value=p)
