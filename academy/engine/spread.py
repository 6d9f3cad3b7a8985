"""How much of the spread of a cost each uncertain coefficient causes by itself."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from academy.engine import ensemble
from academy.engine.ensemble import Bounds

Floats = NDArray[np.float64]
Cost = Callable[[Mapping[str, Floats]], Floats]
DRAWS, ALL_DRAWS, POINTS, SEED = 256, 4096, 8, 31


@dataclass(frozen=True, slots=True)
class Spread:
    """Variance of a cost, and the share of it by coefficient; others cause none."""

    variance: float
    shares: Mapping[str, float]


def uncertain(bounds: Mapping[str, Bounds]) -> tuple[str, ...]:
    """Names of the coefficients that have a range."""
    return tuple(name for name, (low, _, high) in bounds.items() if low < high)


def _points() -> tuple[Floats, Floats]:
    """Shares from 0 to 1 and their weights, for a mean over a distribution."""
    nodes, weights = np.polynomial.legendre.leggauss(POINTS)
    return (nodes + 1.0) / 2.0, weights / 2.0


def _variance(values: Floats, weights: Floats) -> float:
    middle = (weights * values).sum()
    return float((weights * (values - middle) ** 2).sum())


def spread(cost: Cost, bounds: Mapping[str, Bounds]) -> Spread:
    """First-order shares of the variance of ``cost`` over the coefficients' ranges.

    Which doubt is worth a field trial first, and which would change nothing.

    Parameters
    ----------
    cost : cost of one set-up for coefficients by name given as arrays, of their shape
    bounds : low, likeliest and high value of every coefficient by name

    Returns
    -------
    variance of the cost, and shares by name of every coefficient with a range

    Raises
    ------
    OutOfRange : when bounds are out of order

    Notes
    -----
    ``Sᵢ = Var(E[y | xᵢ])/Var(y)``, coefficients independent and triangular. The inner
    mean runs over the same 256 draws of all the others at each of 8 Gauss points of
    ``xᵢ``, so that sampling noise cancels in the differences; ``Var(y)`` comes from
    4096 draws [mass-balance]. What coefficients cause only together is in no share: the
    shares add up to at most 1, but for sampling error.
    """
    variance = float(
        np.var(cost(ensemble.draw_named(bounds, size=ALL_DRAWS, seed=SEED)))
    )
    names = uncertain(bounds)
    if not variance > 0.0:
        return Spread(variance, MappingProxyType(dict.fromkeys(names, 0.0)))
    others = ensemble.draw_named(bounds, size=DRAWS, seed=SEED + 1)
    nodes, weights = _points()
    shares = {}
    for name in names:
        at = np.reshape(ensemble.triangular(nodes, *bounds[name]), (-1, 1))
        costs = cost({**others, name: at})
        means = np.broadcast_to(costs, (POINTS, DRAWS)).mean(axis=1)
        shares[name] = _variance(means - means[0], weights) / variance
    return Spread(variance, MappingProxyType(shares))
