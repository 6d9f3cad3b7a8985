"""Refusals shared by the formulas: a wrong input is an error, never clamped.

Each check takes the parameter's name as the trade says it, so that the sentence made of
the error names the thing the person typed. Arrays are refused when any element is wrong;
the first wrong element is named.
"""

import numpy as np

from academy.engine.si import Number
from academy.errors import OutOfRange


def _refuse(key: str, name: str, value: Number, wrong: object) -> None:
    where = np.broadcast_to(np.asarray(wrong), np.shape(value))
    first = float(np.asarray(value, dtype=float)[where].flat[0])
    raise OutOfRange(key, name=name, value=first)


def positive(name: str, value: Number) -> None:
    """Refuse anything but finite numbers above zero."""
    wrong = ~(np.isfinite(value) & (np.asarray(value) > 0))
    if np.any(wrong):
        _refuse("must_be_positive", name, value, wrong)


def not_negative(name: str, value: Number) -> None:
    """Refuse anything but finite numbers from zero up."""
    wrong = ~(np.isfinite(value) & (np.asarray(value) >= 0))
    if np.any(wrong):
        _refuse("must_not_be_negative", name, value, wrong)


def fraction(name: str, value: Number) -> None:
    """Refuse anything but fractions from 0 to 1."""
    wrong = ~(np.isfinite(value) & (np.asarray(value) >= 0) & (np.asarray(value) <= 1))
    if np.any(wrong):
        _refuse("must_be_a_fraction", name, value, wrong)


def finite(name: str, value: Number) -> None:
    """Refuse nan and infinity."""
    wrong = ~np.isfinite(np.asarray(value))
    if np.any(wrong):
        _refuse("must_be_a_number", name, value, wrong)
