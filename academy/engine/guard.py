"""Refusals shared by the formulas: a wrong input is an error, never clamped.

Each check takes the parameter's name as the trade says it, so that the sentence made of
the error names the thing the person typed. Arrays are judged by their least and their
greatest element (nan counts as both), which costs two passes; numpy finds their places
in a third of the time that it takes for their values. The element that breaks the rule
is named.
"""

import math

import numpy as np

from academy.engine.si import Number
from academy.errors import OutOfRange


def _extremes(value: Number) -> tuple[float, float]:
    if isinstance(value, np.ndarray):
        item = value.item
        return item(value.argmin()), item(value.argmax())
    number = float(value)
    return number, number


def positive(name: str, value: Number) -> None:
    """Refuse anything but finite numbers above zero."""
    if isinstance(value, float) and 0.0 < value < math.inf:
        return
    least, greatest = _extremes(value)
    if not least > 0:
        raise OutOfRange("must_be_positive", name=name, value=least)
    if not greatest < math.inf:
        raise OutOfRange("must_be_positive", name=name, value=greatest)


def not_negative(name: str, value: Number) -> None:
    """Refuse anything but finite numbers from zero up."""
    if isinstance(value, float) and 0.0 <= value < math.inf:
        return
    least, greatest = _extremes(value)
    if not least >= 0:
        raise OutOfRange("must_not_be_negative", name=name, value=least)
    if not greatest < math.inf:
        raise OutOfRange("must_not_be_negative", name=name, value=greatest)


def fraction(name: str, value: Number) -> None:
    """Refuse anything but fractions from 0 to 1."""
    if isinstance(value, float) and 0.0 <= value <= 1.0:
        return
    least, greatest = _extremes(value)
    if not least >= 0:
        raise OutOfRange("must_be_a_fraction", name=name, value=least)
    if not greatest <= 1:
        raise OutOfRange("must_be_a_fraction", name=name, value=greatest)


def below_one(name: str, value: Number) -> None:
    """Refuse anything but fractions from 0 up to, but not reaching, 1."""
    fraction(name, value)
    greatest = _extremes(value)[1]
    if not greatest < 1:
        raise OutOfRange("must_be_below_one", name=name, value=greatest)


def finite(name: str, value: Number) -> None:
    """Refuse nan and infinity."""
    for end in _extremes(value):
        if not math.isfinite(end):
            raise OutOfRange("must_be_a_number", name=name, value=end)


def at_least(name: str, value: Number, least: Number) -> None:
    """Refuse finite numbers below ``least``; the broken margin is named with them."""
    (lowest, highest), (slack, bound) = _extremes(value), _extremes(least)
    for end in (lowest, highest, slack, bound):
        if not math.isfinite(end):
            raise OutOfRange("must_be_a_number", name=name, value=end)
    if lowest >= bound:
        return
    margin, _ = _extremes(np.subtract(value, least))
    if margin < 0:
        raise OutOfRange("must_be_at_least", name=name, value=lowest, least=bound)
