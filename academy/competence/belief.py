"""The belief about one person in one topic: chances on a grid of levels.

80 cells of an eighth of a logit from -5 to 5; level 0, the just-qualified line, is an
edge. The two outermost cells hold what lies beyond them. No BLAS: the same bits again.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.special import ndtr

from academy.catalog.competence import CompetenceModel
from academy.competence.item_curve import Array, Item, expected_score
from academy.errors import OutOfRange

CELLS = 80
STEP = 0.125
EDGES: Array = np.arange(-CELLS // 2, CELLS // 2 + 1, dtype=np.float64) * STEP
CENTRES: Array = (EDGES[:-1] + EDGES[1:]) / 2
OUTER_EDGES: Array = np.concatenate(([-np.inf], EDGES[1:-1], [np.inf]))


@dataclass(frozen=True, slots=True)
class Scored:
    """Evidence: a score from 0 to 1 on an item, and how much it counts."""

    item: Item
    score: float
    weight: float


@dataclass(frozen=True, slots=True)
class Summary:
    """Mean, spread and interval of the level (logits); chance to be above the line."""

    eap: float
    sd: float
    low: float
    high: float
    chance: float


def normal(mean: float, sd: float) -> Array:
    """A normal belief, shape (80,)."""
    below: Array = np.asarray(ndtr((OUTER_EDGES - mean) / sd))
    return below[1:] - below[:-1]


def prior(model: CompetenceModel) -> Array:
    """The belief about a person never tested, shape (80,)."""
    return normal(model.prior_mean, model.prior_sd)


def update(grid: Array, answers: Iterable[Scored]) -> Array:
    """The belief after some answers; a fractional likelihood for partial scores.

    Raises OutOfRange for a score outside 0 to 1 or a negative weight.
    """
    evidence = np.zeros(CELLS)
    for answer in answers:
        evidence += _log_likelihood(answer)
    after = grid * np.exp(evidence - evidence.max())
    return np.asarray(after / after.sum())


def chance(grid: Array) -> float:
    """Chance that the person is at or above the just-qualified line."""
    return float(grid[CELLS // 2 :].sum())


def summary(grid: Array, model: CompetenceModel) -> Summary:
    """The belief in five numbers."""
    eap = float((grid * CENTRES).sum())
    sd = float(np.sqrt((grid * (CENTRES - eap) ** 2).sum()))
    tail = (1 - model.interval_share) / 2
    return Summary(
        eap, sd, quantile(grid, tail), quantile(grid, 1 - tail), chance(grid)
    )


def quantile(grid: Array, share: float) -> float:
    """Level (logits) below which ``share`` of the belief lies, linear in a cell."""
    below = np.concatenate(([0.0], np.cumsum(grid)))
    return float(np.interp(share, below / below[-1], EDGES))


def pack(grid: Array) -> bytes:
    """The 80 numbers as little-endian bytes for the filing room."""
    return grid.astype("<f8").tobytes()


def unpack(packed: bytes) -> Array:
    """The 80 numbers back from their bytes."""
    return np.frombuffer(packed, dtype="<f8").astype(np.float64)


def _log_likelihood(answer: Scored) -> Array:
    if not 0 <= answer.score <= 1:
        raise OutOfRange("must_be_a_fraction", name="score", value=answer.score)
    if not answer.weight >= 0:
        raise OutOfRange("must_not_be_negative", name="weight", value=answer.weight)
    if_right, if_wrong = _logs(answer.item)
    right = answer.score * if_right
    wrong = (1 - answer.score) * if_wrong
    return np.asarray(answer.weight * (right + wrong))


@lru_cache(maxsize=2048)
def _logs(item: Item) -> tuple[Array, Array]:
    """Logarithms of the chances of right and of wrong on the grid."""
    expected = expected_score(CENTRES, item)
    return np.log(expected), np.log1p(-expected)
