"""Classes of roughness: which one a ground belongs to, and the middle of one."""

import math

import numpy as np

from academy.engine import guard
from academy.engine.si import Count, CubicMetre, Ratio


def class_number(
    ground_roughness: CubicMetre, first_limit: CubicMetre, limit_ratio: Ratio
) -> Count:
    """Class of a roughness, counted from 1 for the smoothest.

    Lets a measured field be told in one letter: the fourth class is D.

    Parameters
    ----------
    ground_roughness : [m^3] spectral density at the reference wavenumber
    first_limit : [m^3] roughness at which the second class begins
    limit_ratio : [1] upper limit of a class over its lower one

    Returns
    -------
    [1] number of the class

    Raises
    ------
    OutOfRange : when a roughness is not above zero, or the ratio is not above 1

    Notes
    -----
    ``1 + max(⌊log_r(G/G₁)⌋ + 1, 0)``; limits of the standard lie at 32, 128, 512 and
    2048 millionths of a cubic metre [iso-8608]. A limit belongs to the class above it.

    Examples
    --------
    >>> class_number(0.001024, 0.000032, 4.0)
    4.0
    """
    guard.positive("ground_roughness", ground_roughness)
    guard.positive("first_limit", first_limit)
    guard.positive("limit_ratio", limit_ratio - 1.0)
    steps = np.log(ground_roughness / first_limit) / math.log(limit_ratio)
    # a limit itself must not fall below its class by a rounding error
    return float(1.0 + np.maximum(np.floor(steps + 1e-12) + 1.0, 0.0))


def class_middle(low_limit: CubicMetre, high_limit: CubicMetre) -> CubicMetre:
    """Roughness in the middle of a class.

    What is taken for a ground that is only known by its class.

    Parameters
    ----------
    low_limit : [m^3] roughness at which the class begins
    high_limit : [m^3] roughness at which it ends

    Returns
    -------
    [m^3] geometric mean of the two

    Raises
    ------
    OutOfRange : when the lower limit is not above zero, or the upper one is below it

    Notes
    -----
    ``√(G₁ G₂)`` [iso-8608]: classes are steps of the same ratio, not difference.

    Examples
    --------
    >>> float(class_middle(0.25, 4.0))
    1.0
    """
    guard.positive("low_limit", low_limit)
    guard.at_least("high_limit", high_limit, low_limit)
    middle: CubicMetre = np.sqrt(low_limit * high_limit)
    return middle
