"""How much of the spread of a cost each uncertain coefficient causes by itself."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from academy.engine import ensemble, guard
from academy.engine.ensemble import Bounds
from academy.engine.si import MoneyPerSquareMetre

Floats = NDArray[np.float64]
Cost = Callable[[Mapping[str, Floats]], Floats]
SEED = 31


@dataclass(frozen=True, slots=True)
class Effort:
    """How many draws are taken: of all coefficients, of all but one, and of that one.

    ``at_once`` coefficients share one call of the cost.
    """

    draws: int = 4096
    others: int = 64
    points: int = 24
    at_once: int = 4


THOROUGH = Effort()


@dataclass(frozen=True, slots=True)
class Spread:
    """Variance of a cost, and the share of it by coefficient; others cause none."""

    variance: float
    shares: Mapping[str, float]


def cost_or_leave(
    cost: MoneyPerSquareMetre, worth: MoneyPerSquareMetre
) -> MoneyPerSquareMetre:
    """Cost of the cut, or of leaving a crop that would cost more than it is worth.

    Where the header plugs at every step one drives home; what is lost is the crop.

    Parameters
    ----------
    cost : [money/m^2] cost of cutting it
    worth : [money/m^2] what the crop is worth

    Returns
    -------
    [money/m^2] the lesser of the two

    Raises
    ------
    OutOfRange : when cost or worth is negative

    Notes
    -----
    ``min(c, w)`` [judgement]: nobody pays more than there is to gain.

    Examples
    --------
    >>> float(cost_or_leave(0.02, 0.15)), float(cost_or_leave(9.0, 0.15))
    (0.02, 0.15)
    """
    guard.not_negative("cost", cost)
    guard.not_negative("worth", worth)
    less: MoneyPerSquareMetre = np.minimum(cost, worth)
    return less


def uncertain(bounds: Mapping[str, Bounds]) -> tuple[str, ...]:
    """Names of the coefficients that have a range."""
    return tuple(name for name, (low, _, high) in bounds.items() if low < high)


def gauss(points: int) -> tuple[Floats, Floats]:
    """Shares from 0 to 1 and their weights, for a mean over a distribution."""
    nodes, weights = np.polynomial.legendre.leggauss(points)
    return (nodes + 1.0) / 2.0, weights / 2.0


def variance_of(means: Floats, weights: Floats) -> Floats:
    """Variance of means along the last axis, by their weights."""
    apart = means - means[..., :1]
    middle = (weights * apart).sum(axis=-1, keepdims=True)
    spread_out: Floats = (weights * (apart - middle) ** 2).sum(axis=-1)
    return spread_out


def _turned(
    group: Sequence[str],
    bounds: Mapping[str, Bounds],
    others: Mapping[str, Floats],
    nodes: Floats,
) -> dict[str, Floats]:
    """Each of a group, at its own points in a row of its own, else as drawn."""
    turned = {}
    for row, name in enumerate(group):
        drawn = others[name]
        values = np.tile(drawn, (len(group), len(nodes), 1))
        values[row] = np.reshape(ensemble.triangular(nodes, *bounds[name]), (-1, 1))
        turned[name] = values
    return turned


@lru_cache(maxsize=8)
def _drawn(
    bounds: tuple[tuple[str, Bounds], ...], size: int, seed: int
) -> Mapping[str, Floats]:
    """Draws of what has a range; the same bounds come again and again."""
    drawn = ensemble.draw_named(dict(bounds), size=size, seed=seed)
    return MappingProxyType({name: drawn[name] for name in uncertain(dict(bounds))})


def draws_of(
    bounds: Mapping[str, Bounds], size: int, seed: int
) -> Mapping[str, Floats]:
    """Draws of every coefficient that has a range, as ``ensemble.draw_named``."""
    return _drawn(tuple(bounds.items()), size, seed)


def _caused(
    cost: Cost, bounds: Mapping[str, Bounds], effort: Effort, seed: int
) -> Iterator[Floats]:
    """Variance of the mean cost over each coefficient with a range, by groups."""
    names = uncertain(bounds)
    others = draws_of(bounds, effort.others, seed)
    nodes, weights = gauss(effort.points)
    for start in range(0, len(names), effort.at_once):
        group = names[start : start + effort.at_once]
        costs = cost({**others, **_turned(group, bounds, others, nodes)})
        full = np.broadcast_to(costs, (len(group), effort.points, effort.others))
        yield variance_of(full.mean(axis=-1), weights)


def variance_along(
    cost: Callable[[float], Floats], bounds: Bounds, points: int
) -> float:
    """Variance of the mean cost over the range of one coefficient given by itself.

    For one that the engine takes as a number only: ``cost`` is over the others' draws.
    """
    nodes, weights = gauss(points)
    at = np.asarray(ensemble.triangular(nodes, *bounds))
    means = np.array([np.mean(cost(float(value))) for value in at])
    return float(variance_of(means, weights))


def spread(
    cost: Cost,
    bounds: Mapping[str, Bounds],
    effort: Effort = THOROUGH,
    seed: int = SEED,
) -> Spread:
    """First-order shares of the variance of ``cost`` over the coefficients' ranges.

    Which doubt is worth a field trial first, and which would change nothing.

    Parameters
    ----------
    cost : cost of one set-up for coefficients by name given as arrays, of the shape
        that they broadcast to; those without a range are not given
    bounds : low, likeliest and high value of every coefficient by name
    effort : how many draws are taken
    seed : of the draws, the same for the same seed

    Returns
    -------
    variance of the cost, and shares by name of every coefficient with a range

    Raises
    ------
    OutOfRange : when bounds are out of order

    Notes
    -----
    ``Sᵢ = Var(E[y | xᵢ])/Var(y)``, coefficients independent and triangular. The inner
    mean runs over the same draws of all the others at each Gauss point of ``xᵢ``, so
    that sampling noise cancels in the differences; ``Var(y)`` comes from draws of them
    all [mass-balance]. What coefficients cause only together is in no share: the
    shares add up to at most 1, but for sampling error.
    """
    names = uncertain(bounds)
    variance = float(np.var(cost(draws_of(bounds, effort.draws, seed))))
    if not variance > 0.0:
        return Spread(variance, MappingProxyType(dict.fromkeys(names, 0.0)))
    caused = np.concatenate(list(_caused(cost, bounds, effort, seed))) / variance
    shares = dict(zip(names, caused.tolist(), strict=True))
    return Spread(variance, MappingProxyType(shares))
