"""Where raters put the line: their levels, how far they differ, and pars moved to it.

A rater says which score a just-qualified person is expected to reach on a family. Read
through the item curve this is a level in logits; the line is the mean over raters.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean, stdev

from academy.catalog.competence import CompetenceModel
from academy.competence.item_curve import kappa_for
from academy.errors import OutOfRange

RATERS = 3
"""Fewest people who set a line; fewer is a matter of one opinion."""
MOST_ERROR = 0.15
"""Largest standard error of a line, logits: some three points of a score."""
_FARTHEST = 12.0  # logits; no par is moved farther
_HALVINGS = 60
_DECIMALS = 4  # of a par, as pars are kept

Ratings = Mapping[str, Mapping[str, float]]
"""Expected score (0 to 1) by rater and family."""


@dataclass(frozen=True, slots=True)
class Panel:
    """What raters say together of the families that enough of them rated.

    ``expected`` is the score at their mean level, by family; ``raters`` the fewest who
    rated one of them; ``leaning`` how far each rater lies above the mean, logits, so
    that a positive one thinks the questions easier; ``error`` the standard error of
    the line, logits, None with fewer than two raters.
    """

    expected: Mapping[str, float]
    raters: int
    leaning: Mapping[str, float]
    error: float | None


def level(expected: float, floor: float, model: CompetenceModel) -> float:
    """The level (logits) at which a person on the line stands above a family.

    ``floor`` is what guessing gives. Raises OutOfRange unless floor < expected <
    ceiling.
    """
    if not floor < expected < model.ceiling:
        raise OutOfRange(
            "par_off_the_curve", value=expected, low=floor, high=model.ceiling
        )
    share = (expected - floor) / (model.ceiling - floor)
    return math.log(share / (1 - share)) / kappa_for(model.difficulty_sd)


def score_at(found: float, floor: float, model: CompetenceModel) -> float:
    """The expected score at a level: what ``level`` was read from."""
    rise = 1 / (1 + math.exp(-found * kappa_for(model.difficulty_sd)))
    return floor + (model.ceiling - floor) * rise


def panel(
    ratings: Ratings, floors: Mapping[str, float], model: CompetenceModel
) -> Panel:
    """What at least three raters say together, family by family.

    The error is the standard deviation of the raters' mean leanings over the root of
    how many they are.
    """
    by_family: dict[str, dict[str, float]] = {}
    for rater, rated in ratings.items():
        for family, expected in rated.items():
            found = level(expected, floors[family], model)
            by_family.setdefault(family, {})[rater] = found
    kept = {key: rated for key, rated in by_family.items() if len(rated) >= RATERS}
    means = {key: fmean(rated.values()) for key, rated in kept.items()}
    leanings: dict[str, list[float]] = {}
    for key, rated in kept.items():
        for rater, found in rated.items():
            leanings.setdefault(rater, []).append(found - means[key])
    leaning = {rater: fmean(found) for rater, found in leanings.items()}
    fewest = min((len(rated) for rated in kept.values()), default=0)
    error = stdev(leaning.values()) / math.sqrt(fewest) if kept else None
    expected_scores = {
        key: score_at(mean, floors[key], model) for key, mean in means.items()
    }
    return Panel(expected_scores, fewest, leaning, error)


def moved(
    pars: Sequence[float],
    floors: Sequence[float],
    expected: float,
    model: CompetenceModel,
) -> tuple[float, ...]:
    """Pars moved by one common number of logits so that their mean is ``expected``.

    Kept to four decimals. Raises OutOfRange when guessing alone gives as much, or
    nobody reaches it.
    """
    low, high = fmean(floors), model.ceiling
    if not low < expected < high:
        raise OutOfRange("par_off_the_curve", value=expected, low=low, high=high)
    levels = [level(par, floor, model) for par, floor in zip(pars, floors, strict=True)]

    def at(shift: float) -> list[float]:
        return [
            score_at(found + shift, floor, model)
            for found, floor in zip(levels, floors, strict=True)
        ]

    below, above = -_FARTHEST, _FARTHEST
    for _ in range(_HALVINGS):
        middle = (below + above) / 2
        if fmean(at(middle)) < expected:
            below = middle
        else:
            above = middle
    return tuple(round(par, _DECIMALS) for par in at(above))
