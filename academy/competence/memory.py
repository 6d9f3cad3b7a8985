"""What time and practice do to a belief: disuse lets it slip, practice lifts it."""

from functools import lru_cache

import numpy as np
from scipy.special import ndtr

from academy.catalog.competence import CompetenceModel
from academy.competence.belief import CENTRES, OUTER_EDGES
from academy.competence.item_curve import Array
from academy.errors import OutOfRange


def forget(grid: Array, days: int, half_life: float, model: CompetenceModel) -> Array:
    """The belief after ``days`` of disuse, shape (80,).

    What a person is above the untrained level halves every ``half_life`` days; the
    doubt grows toward that of very long disuse. Raises OutOfRange for negative days.
    """
    if days < 0:
        raise OutOfRange("must_not_be_negative", name="days", value=days)
    if days == 0:
        return grid
    level, spread = model.untrained_level, model.settled_sd
    return _moved(grid, _forgetting(days, half_life, level, spread))


def learn(grid: Array, weight: float, model: CompetenceModel) -> Array:
    """The belief after practice of ``weight`` that was explained, shape (80,)."""
    if weight == 0:
        return grid
    return _moved(grid, _learning(weight, model.learning_gain, model.learning_sd))


def _moved(grid: Array, kernel: Array) -> Array:
    after = (grid[:, None] * kernel).sum(0)
    return np.asarray(after / after.sum())


@lru_cache(maxsize=2048)
def _forgetting(days: int, half_life: float, level: float, spread: float) -> Array:
    """Share of each cell (row) that lies in each cell (column) afterwards."""
    kept = 2.0 ** (-days / half_life)
    above = np.maximum(CENTRES - level, 0.0)
    means = CENTRES - (1 - kept) * above
    return _kernel(means, spread * np.sqrt(1 - kept**2))


@lru_cache(maxsize=256)
def _learning(weight: float, gain: float, spread: float) -> Array:
    return _kernel(CENTRES + gain * weight, spread * np.sqrt(weight))


def _kernel(means: Array, sd: float) -> Array:
    below: Array = ndtr((OUTER_EDGES[None, :] - means[:, None]) / sd)
    made = below[:, 1:] - below[:, :-1]
    made.setflags(write=False)
    return made
