"""The right order that is nearest to one's own: as few steps as can be change place.

Most steps of a wrong order stand right beside each other; what is kept is the longest
part of it that breaks no pair, and only the rest moves.
"""

from collections.abc import Collection, Sequence
from itertools import pairwise

from academy.grading.ordering import Pair, nearest_order


def kept_steps(order: Sequence[str], pairs: Collection[Pair]) -> list[str]:
    """The most steps of ``order`` that can stay as they stand to each other.

    ``pairs`` must be every pair that matters, transitive ones too: then any steps no
    two of which are the wrong way round fit into one right order. Of several longest
    parts the one whose steps stand earlier in ``order`` is taken.
    """
    place = {step: index for index, step in enumerate(order)}
    clash = [0] * len(order)
    for before, after in pairs:
        first, last = place[after], place[before]
        if first < last:
            clash[first] |= 1 << last
            clash[last] |= 1 << first
    kept = _most((1 << len(order)) - 1, clash)
    return [step for index, step in enumerate(order) if kept >> index & 1]


def _most(left: int, clash: Sequence[int]) -> int:
    """Most of the steps ``left`` of which no two clash, as bits."""
    if not left:
        return 0
    first = (left & -left).bit_length() - 1
    rest = left & ~(1 << first)
    kept = 1 << first | _most(rest & ~clash[first], clash)
    if not rest & clash[first]:
        return kept
    without = _most(rest, clash)
    return without if without.bit_count() > kept.bit_count() else kept


def fewest_moved(order: Sequence[str], pairs: Collection[Pair]) -> list[str]:
    """A right order in which the fewest steps of ``order`` have moved.

    Of those that keep the same steps, the one with the fewest neighbour swaps.
    """
    kept = kept_steps(order, pairs)
    return nearest_order(order, [*pairs, *pairwise(kept)])
