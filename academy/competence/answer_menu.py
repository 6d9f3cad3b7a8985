"""Which of a part's graded answers a simulated person gives, by the person's level.

A menu holds the scores that real answers to one drawn part were given, and how often
each is usual. A person whose expected score is P picks from the menu leaned towards its
good or bad end until its mean is exactly P (exponential tilting).
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from academy.competence.item_curve import Array, Item
from academy.errors import OutOfRange

_STEPS = 32  # leanings kept between the worst and the best score
_STEEPEST = 700.0  # a leaning beyond which only one score is left
_HALVINGS = 60

Ladder = tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True)
class Menu:
    """Scores, rising; for means in equal steps, the chances of at most each score."""

    scores: tuple[float, ...]
    ladder: Ladder


@dataclass(frozen=True, slots=True)
class PartMenu:
    """One part of a drawn scenario: par, chance floor, its curve and its answers."""

    par: float
    floor: float
    item: Item
    menu: Menu


def menu_of(graded: Mapping[float, float]) -> Menu:
    """A menu from scores and how usual each is; raises OutOfRange for none at all."""
    if not graded or min(graded.values()) <= 0:
        raise OutOfRange("must_be_positive", name="weight", value=0)
    scores = tuple(sorted(graded))
    return _menu(scores, tuple(graded[score] for score in scores))


def expected(item: Item, theta: float) -> float:
    """Expected score of a person of level ``theta`` (logits) on an item."""
    rise = 1 / (1 + math.exp(-item.kappa * (theta - item.difficulty)))
    return item.floor + (item.ceiling - item.floor) * rise


def pick(menu: Menu, mean: float, luck: float) -> float:
    """The score at quantile ``luck`` (0 to 1) of the menu leaned to ``mean``.

    A mean beyond the menu's ends is taken as the end.
    """
    low, high = menu.scores[0], menu.scores[-1]
    if high == low:
        return low
    place = min(max((mean - low) / (high - low), 0.0), 1.0) * _STEPS
    below = min(int(place), _STEPS - 1)
    share = place - below
    one, other = menu.ladder[below : below + 2]
    for score, at, after in zip(menu.scores, one, other, strict=True):
        if luck < at + share * (after - at):
            return score
    return high


@lru_cache(maxsize=4096)
def _menu(scores: tuple[float, ...], weights: tuple[float, ...]) -> Menu:
    if len(scores) == 1:
        return Menu(scores, ())
    shares = np.linspace(scores[0], scores[-1], _STEPS + 1)[1:-1]
    between = _leaned(np.array(scores), np.array(weights), shares)
    worst, best = np.ones(len(scores)), np.zeros(len(scores))
    best[-1] = 1.0
    rows = np.vstack([worst, np.cumsum(between, axis=1), best])
    return Menu(scores, tuple(map(tuple, rows.tolist())))


def _leaned(scores: Array, weights: Array, means: Array) -> Array:
    """Chances of the scores (columns) for every mean (rows), by halving the leaning."""
    low, high = np.full(len(means), -_STEEPEST), np.full(len(means), _STEEPEST)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        short = (_chances(scores, weights, middle) * scores).sum(axis=1) < means
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    return _chances(scores, weights, (low + high) / 2)


def _chances(scores: Array, weights: Array, lean: Array) -> Array:
    power = lean[:, None] * scores
    raw = weights * np.exp(power - power.max(axis=1, keepdims=True))
    return np.asarray(raw / raw.sum(axis=1, keepdims=True))
