"""What a few answers would tell: how much better one would know whom to trust.

Trusting somebody below the line costs ``false_trust``, not trusting somebody above it
costs 1. What answers are worth is the loss one expects now less the loss one expects
once they are in: the expected value of sample information.
"""

from math import comb

import numpy as np

from academy.competence.belief import CELLS, CENTRES
from academy.competence.item_curve import Array, Item, expected_score


def loss(above: float, below: float, false_trust: float) -> float:
    """Loss of the better of trust and distrust, given how much lies on each side."""
    return min(false_trust * below, above)


def information(grid: Array, answers: int, item: Item, false_trust: float) -> float:
    """Worth of ``answers`` independent right-or-wrong answers, in ready people.

    0 where no outcome would change whom one trusts; never above the loss that is
    expected now.
    """
    right = expected_score(CENTRES, item)
    outcomes = np.array([_likelihood(right, answers, k) for k in range(answers + 1)])
    joint = outcomes * grid
    above, below = joint[:, CELLS // 2 :].sum(1), joint[:, : CELLS // 2].sum(1)
    after = sum(
        loss(float(a), float(b), false_trust) for a, b in zip(above, below, strict=True)
    )
    now = loss(float(above.sum()), float(below.sum()), false_trust)
    return max(now - after, 0.0)


def _likelihood(right: Array, answers: int, count: int) -> Array:
    """Chance of ``count`` right answers at each level."""
    ways = comb(answers, count)
    return np.asarray(ways * right**count * (1 - right) ** (answers - count))
