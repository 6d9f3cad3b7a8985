"""Draws that come out the same for the same seed on every machine and version."""

import random
from collections.abc import Sequence
from typing import TypeVar

from academy.catalog.families import Grid

T = TypeVar("T")


class Dice:
    """A stream of draws named by a family, a seed and a substream.

    Only ``random.Random.random`` is used: its stream is promised not to change.
    """

    def __init__(self, *names: object) -> None:
        self._stream = random.Random("/".join(str(name) for name in names))  # noqa: S311

    def below(self, size: int) -> int:
        """A whole number from 0 to ``size`` - 1."""
        return min(int(self._stream.random() * size), size - 1)

    def one_of(self, things: Sequence[T]) -> T:
        """One of ``things``."""
        return things[self.below(len(things))]

    def between(self, low: float, high: float) -> float:
        """A number from ``low`` up to ``high``."""
        return low + (high - low) * self._stream.random()

    def on(self, grid: Grid) -> float:
        """One value of a grid."""
        return grid.value(self.below(grid.size))

    def shuffled(self, things: Sequence[T]) -> list[T]:
        """``things`` in a random order (Fisher and Yates)."""
        order = list(things)
        for last in range(len(order) - 1, 0, -1):
            other = self.below(last + 1)
            order[last], order[other] = order[other], order[last]
        return order
