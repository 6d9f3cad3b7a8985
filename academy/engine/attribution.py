"""How much of a regret each setting is to blame for."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import factorial

import numpy as np
from numpy.typing import NDArray

from academy.engine.conditions import Settings
from academy.engine.si import Number
from academy.errors import OutOfRange

_MOST_NAMES = 12  # 4,096 subsets


def subset_masks(count: int) -> NDArray[np.bool_]:
    """All subsets of ``count`` things as rows, (2^count, count); row i is i in bits."""
    bits = np.arange(2**count)[:, None] >> np.arange(count)[None, :]
    masks: NDArray[np.bool_] = (bits & 1).astype(bool)
    return masks


def _weights(size: NDArray[np.int_], count: int) -> NDArray[np.float64]:
    """Share of all orders in which exactly a given subset comes first."""
    by_size = [
        factorial(n) * factorial(count - n - 1) / factorial(count) for n in range(count)
    ]
    return np.asarray(by_size)[size]


def shapley(
    cost: Callable[[Settings], Number],
    trainee: Settings,
    best: Settings,
    names: Sequence[str],
) -> dict[str, float]:
    """Each named setting's share of ``cost(trainee) − cost(best)``, in cost's unit.

    The mean, over all orders of putting the trainee's settings right one by one, of
    what each saves; exact, and the shares add up to the whole regret. ``cost`` is
    called once with arrays of shape (2^k,); settings not named stand as the best has
    them. Raises OutOfRange for more than twelve names.
    """
    count = len(names)
    if count > _MOST_NAMES:
        raise OutOfRange("number_too_large", name="names", value=count)
    if not count:
        return {}
    wrong = subset_masks(count)  # True: as the trainee set it
    mixed = {
        name: np.where(wrong[:, k], getattr(trainee, name), getattr(best, name))
        for k, name in enumerate(names)
    }
    costs = np.broadcast_to(np.asarray(cost(replace(best, **mixed))), len(wrong))
    sizes, shares = wrong.sum(axis=1), {}
    for k, name in enumerate(names):
        without = np.flatnonzero(~wrong[:, k])
        added = costs[without | (1 << k)] - costs[without]
        shares[name] = float(np.sum(_weights(sizes[without], count) * added))
    return shares
