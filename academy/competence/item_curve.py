"""The item curve: what a person of some level is expected to score on a part."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import expit

from academy.catalog.competence import CompetenceModel
from academy.errors import OutOfRange

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Item:
    """A part's curve: scores of chance and of a master, its level, its steepness."""

    floor: float
    ceiling: float
    difficulty: float
    kappa: float = 1.0


def expected_score(theta: Array, item: Item) -> Array:
    """Expected score (0 to 1) at level ``theta`` (logits, any shape)."""
    rise = expit(item.kappa * (theta - item.difficulty))
    return np.asarray(item.floor + (item.ceiling - item.floor) * rise)


def difficulty_for(
    par: float, floor: float, ceiling: float, kappa: float = 1.0
) -> float:
    """Difficulty (logits) at which a person on the line, level 0, scores ``par``.

    Raises OutOfRange unless floor < par < ceiling.
    """
    if not floor < par < ceiling:
        raise OutOfRange("par_off_the_curve", value=par, low=floor, high=ceiling)
    share = (par - floor) / (ceiling - floor)
    return -math.log(share / (1 - share)) / kappa


def kappa_for(difficulty_sd: float) -> float:
    """Steepness left when the difficulty is known only to ``difficulty_sd`` logits."""
    return 1 / math.sqrt(1 + math.pi * difficulty_sd**2 / 8)


def item_for(par: float, floor: float, model: CompetenceModel) -> Item:
    """The curve of a part nobody's answers have calibrated, through ``par`` at 0."""
    kappa = kappa_for(model.difficulty_sd)
    difficulty = difficulty_for(par, floor, model.ceiling, kappa)
    return Item(floor, model.ceiling, difficulty, kappa)


def design_weight(parts: int, correlation: float) -> float:
    """How many independent answers a scenario's ``parts`` of one topic are worth."""
    return parts / (1 + (parts - 1) * correlation)


def part_weight(parts: int, model: CompetenceModel) -> float:
    """What each of a scenario's ``parts`` of one topic counts when assessed."""
    return design_weight(parts, model.part_correlation) / parts
