"""Axes: round numbers to mark, and the way from values to the drawing."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from academy.drawing.svg import SMALL, line, text

Values = Sequence[float] | NDArray[np.float64]
Marks = Callable[[float, int], str]
"""A number and its decimals as the reader writes it."""


def plain(value: float, decimals: int) -> str:
    """A number with a decimal point, for readers who want no other mark."""
    return f"{value:.{decimals}f}"


def nice_step(span: float, steps: int) -> float:
    """The 1, 2 or 5 times a power of ten that divides a span into at most ``steps``.

    >>> nice_step(9.0, 5), nice_step(0.3, 4)
    (2.0, 0.1)
    """
    rough = span / steps
    power = 10.0 ** math.floor(math.log10(rough))
    for factor in (1, 2, 5):
        if factor * power >= rough * (1 - 1e-9):
            return factor * power
    return 10 * power


def decimals_of(step: float) -> int:
    """Decimals that a step needs."""
    return max(0, -math.floor(math.log10(step) + 1e-9))


def ticks(low: float, high: float, steps: int) -> list[float]:
    """Round numbers inside low..high, at most ``steps`` apart-lengths."""
    step = nice_step(high - low, steps)
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return [k * step for k in range(first, last + 1)]


def widened(low: float, high: float, steps: int) -> tuple[float, float]:
    """The range opened to round ends; a single value gets room on both sides."""
    if high - low < 1e-12 * max(1.0, abs(high)):
        room = abs(high) / 2 or 1.0
        low, high = low - room, high + room
    step = nice_step(high - low, steps)
    return math.floor(low / step + 1e-9) * step, math.ceil(high / step - 1e-9) * step


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight way from values to units of the drawing."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return self.start + share * (self.end - self.start)

    def all(self, values: Values) -> list[float]:
        """Every value's place."""
        return [self(float(value)) for value in values]


def across(scale: Scale, y: float, marks: Sequence[tuple[float, str]]) -> str:
    """The axis along the bottom at y: ink line, ticks, numbers below."""
    parts = [line(scale.start, y, scale.end, y)]
    for value, label in marks:
        x = scale(value)
        parts.append(line(x, y, x, y + 5))
        parts.append(text(x, y + 19, label, SMALL, anchor="middle"))
    return "".join(parts)


def upward(
    scale: Scale, x: float, end: float, marks: Sequence[tuple[float, str]]
) -> str:
    """Numbers left of x and dotted rules from x to end."""
    parts = []
    for value, label in marks:
        y = scale(value)
        parts.append(line(x, y, end, y, stroke_dasharray="1 4", class_="soft"))
        parts.append(text(x - 6, y + 4.5, label, SMALL, anchor="end"))
    return "".join(parts)


def marked(
    low: float, high: float, steps: int, write: Marks
) -> list[tuple[float, str]]:
    """Ticks with their labels."""
    decimals = decimals_of(nice_step(high - low, steps))
    return [(value, write(value, decimals)) for value in ticks(low, high, steps)]
