"""Counts in frames, hoops and strips, and what they come to per field area."""

import numpy as np

from academy.engine import counting, guard
from academy.engine.si import (
    Count,
    Kilogram,
    KilogramPerSquareMetre,
    Metre,
    PerSquareMetre,
    Ratio,
    SquareMetre,
)


def kernels_per_area(count: Count, area: SquareMetre) -> PerSquareMetre:
    """Kernels on the ground per area, from a count in a frame.

    The figure that the rules of the trade start from.

    Parameters
    ----------
    count : [1] kernels counted, or their mean over several frames
    area : [m^2] area of the frame

    Returns
    -------
    [1/m^2] kernels per area

    Raises
    ------
    OutOfRange : when the count is negative, or the area is not above zero

    Notes
    -----
    ``N/A`` [burbrink-2021] [mass-balance].

    Examples
    --------
    >>> kernels_per_area(30.0, 0.5)
    60.0
    """
    guard.not_negative("count", count)
    guard.positive("area", area)
    return count / area


def excess_count(counts: Count, standing_counts: Count) -> Count:
    """Kernels per frame that the header added, from frames laid in pairs.

    One frame of a pair lies where the header passed, the other in the crop that still
    stands beside it; only what is more in the first is the header's doing.

    Parameters
    ----------
    counts : [1] kernels in each frame where the header passed
    standing_counts : [1] kernels in the frame beside it, in standing crop

    Returns
    -------
    [1] mean over the pairs of the one less the other

    Raises
    ------
    OutOfRange : when a count is negative, or on the whole fewer kernels lie where the
        header passed

    Notes
    -----
    ``Σ (Nᵢ − Sᵢ)/n`` [staton-2012]. A single pair may well come out below zero: grain
    lies in patches.

    Examples
    --------
    >>> excess_count(np.array([10.0, 12.0]), np.array([1.0, 2.0]))
    9.5
    """
    guard.not_negative("counts", counts)
    guard.not_negative("standing_counts", standing_counts)
    excess = float(np.mean(np.asarray(counts) - np.asarray(standing_counts)))
    guard.not_negative("excess_count", excess)
    return excess


def hoop_loss(
    count: Count, diameter: Metre, kernel_mass: Kilogram
) -> KilogramPerSquareMetre:
    """Mass of grain on the ground per area, from kernels inside a round hoop.

    A hoop is quick to throw, so more places are looked at.

    Parameters
    ----------
    count : [1] kernels inside the hoop, or their mean over several throws
    diameter : [m] inside diameter of the hoop
    kernel_mass : [kg] mass of one kernel

    Returns
    -------
    [kg/m^2] grain on the ground

    Raises
    ------
    OutOfRange : when the count is negative, or diameter or kernel mass is not above
        zero

    Notes
    -----
    ``4 N m/(π D²)`` [burbrink-2021] [mass-balance].

    Examples
    --------
    >>> round(hoop_loss(100.0, 0.635, 0.00015), 4)
    0.0474
    """
    area = counting.hoop_area(diameter)
    return counting.count_to_mass_per_area(count, area, kernel_mass)


def strip_loss(
    count: Count, strip_length: Metre, cut_width: Metre, kernel_mass: Kilogram
) -> KilogramPerSquareMetre:
    """Mass of grain lost per area, from every kernel of a strip behind the machine.

    The strip is as wide as what the machine throws out. All its kernels come from the
    full width of the cut, so the width of the straw does not matter.

    Parameters
    ----------
    count : [1] kernels in the strip, over the whole width where residue fell
    strip_length : [m] length of the strip along the direction of travel
    cut_width : [m] width of crop cut
    kernel_mass : [kg] mass of one kernel

    Returns
    -------
    [kg/m^2] grain lost

    Raises
    ------
    OutOfRange : when the count is negative, or a length or the mass is not above zero

    Notes
    -----
    ``N m/(l W)`` [kernel-worksheet] [mass-balance].

    Examples
    --------
    >>> round(strip_loss(200.0, 0.3, 6.0, 0.00003), 5)
    0.00333
    """
    guard.positive("strip_length", strip_length)
    guard.positive("cut_width", cut_width)
    return counting.count_to_mass_per_area(count, strip_length * cut_width, kernel_mass)


def pod_loss(
    plants_per_area: PerSquareMetre,
    pods_left: Ratio,
    seeds_per_pod: Ratio,
    kernel_mass: Kilogram,
) -> KilogramPerSquareMetre:
    """Mass of grain lost per area in pods that stay on the stubble.

    One low pod on every plant looks like nothing from the cab.

    Parameters
    ----------
    plants_per_area : [1/m^2] plants per area
    pods_left : [1] pods left on a plant, in the mean
    seeds_per_pod : [1] seeds in a pod, in the mean
    kernel_mass : [kg] mass of one seed

    Returns
    -------
    [kg/m^2] grain left

    Raises
    ------
    OutOfRange : when plants, pods or seeds are negative, or the mass is not above zero

    Notes
    -----
    ``P p s m`` [missouri-pods] [mass-balance].

    Examples
    --------
    >>> round(pod_loss(37.0, 1.0, 2.5, 0.00016), 4)
    0.0148
    """
    guard.not_negative("plants_per_area", plants_per_area)
    guard.not_negative("pods_left", pods_left)
    guard.not_negative("seeds_per_pod", seeds_per_pod)
    guard.positive("kernel_mass", kernel_mass)
    return plants_per_area * pods_left * seeds_per_pod * kernel_mass
