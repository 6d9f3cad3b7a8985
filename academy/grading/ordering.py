"""Order of steps: only the pairs that matter count; right orders near to one's own."""

from collections.abc import Collection, Sequence

from academy.errors import NotUnderstood
from academy.grading.mark import Mark

Pair = tuple[str, str]


def reversed_pairs(order: Sequence[str], pairs: Collection[Pair]) -> list[Pair]:
    """The pairs (before, after) that ``order`` has the wrong way round."""
    place = {step: index for index, step in enumerate(order)}
    return [pair for pair in pairs if place[pair[0]] > place[pair[1]]]


def order_score(order: Sequence[str], pairs: Collection[Pair]) -> float:
    """Kendall's tau over the pairs that matter, not below 0."""
    wrong = len(reversed_pairs(order, pairs))
    return max(0.0, 1.0 - 2.0 * wrong / len(pairs))


def nearest_order(order: Sequence[str], pairs: Collection[Pair]) -> list[str]:
    """The right order with the fewest neighbour swaps from ``order``.

    Dynamic programme over down-sets: the cheapest way to have placed a set of steps,
    each paying for the steps of ``order`` before it that are still to come. At most
    n 2^n states; a procedure has some fourteen steps and many precedences.
    """
    place = {step: index for index, step in enumerate(order)}
    needs = [0] * len(order)
    for before, after in pairs:
        needs[place[after]] |= 1 << place[before]
    best: dict[int, tuple[int, int, int]] = {0: (0, -1, 0)}
    layer = {0}
    for _ in order:
        layer = _next_layer(layer, best, needs)
    return _walk_back(order, best)


def _next_layer(
    layer: set[int], best: dict[int, tuple[int, int, int]], needs: list[int]
) -> set[int]:
    found: set[int] = set()
    for placed in layer:
        cost = best[placed][0]
        for step, need in enumerate(needs):
            if placed >> step & 1 or need & ~placed:
                continue
            jumped = ((1 << step) - 1) & ~placed
            new, total = placed | 1 << step, cost + jumped.bit_count()
            if new not in best or total < best[new][0]:
                best[new] = (total, step, placed)
            found.add(new)
    return found


def _walk_back(
    order: Sequence[str], best: dict[int, tuple[int, int, int]]
) -> list[str]:
    placed, steps = (1 << len(order)) - 1, list[str]()
    while placed:
        _, step, placed = best[placed]
        steps.append(order[step])
    return steps[::-1]


def swaps(order: Sequence[str], other: Sequence[str]) -> int:
    """Neighbour swaps that turn ``order`` into ``other``."""
    place = {step: index for index, step in enumerate(other)}
    ranks = [place[step] for step in order]
    return sum(a > b for i, a in enumerate(ranks) for b in ranks[i + 1 :])


def mark_order(
    order: Sequence[str], pairs: Collection[Pair], critical: Collection[Pair]
) -> Mark:
    """Mark of an order; a critical pair the wrong way round scores nothing.

    Raises NotUnderstood when a step is missing or stands twice.
    """
    if len(set(order)) != len(order):
        raise NotUnderstood("steps_not_all_once")
    wrong = reversed_pairs(order, pairs)
    fatal = reversed_pairs(order, critical)
    detail = {"reversed": wrong, "critical": fatal}
    if fatal:
        return Mark(0.0, "critical_pair", critical_miss=True, detail=detail)
    score = order_score(order, pairs)
    return Mark(round(score, 4), "full" if not wrong else "partly", detail=detail)
