"""Kernels, bushels and what a buyer pays for."""

import numpy as np

from academy.engine import guard
from academy.engine.si import (
    Count,
    CubicMetre,
    Kilogram,
    KilogramPerCubicMetre,
    KilogramPerSquareMetre,
    PerSquareMetre,
    Ratio,
)


def kernels_per_area_for(
    mass_per_area: KilogramPerSquareMetre, kernel_mass: Kilogram
) -> PerSquareMetre:
    """Kernels on the ground per area at a stated loss.

    The counting rule of a crop: so many kernels per area make so much loss.

    Parameters
    ----------
    mass_per_area : [kg/m^2] grain on the ground
    kernel_mass : [kg] mass of one kernel

    Returns
    -------
    [1/m^2] kernels per area

    Raises
    ------
    OutOfRange : when the mass is negative, or the kernel mass is not above zero

    Notes
    -----
    ``w/m`` [mass-balance].

    Examples
    --------
    >>> round(kernels_per_area_for(0.01, 0.0001), 6)
    100.0
    """
    guard.not_negative("mass_per_area", mass_per_area)
    guard.positive("kernel_mass", kernel_mass)
    return mass_per_area / kernel_mass


def kernel_mass_for(
    mass_per_area: KilogramPerSquareMetre, kernels_per_area: PerSquareMetre
) -> Kilogram:
    """Kernel mass that a counting rule takes for granted.

    A rule made for large seed overstates the loss of small seed.

    Parameters
    ----------
    mass_per_area : [kg/m^2] loss that the rule stands for
    kernels_per_area : [1/m^2] kernels per area that the rule states

    Returns
    -------
    [kg] mass of one kernel

    Raises
    ------
    OutOfRange : when the mass is negative, or the kernels are not above zero

    Notes
    -----
    ``w/n``, the inverse of ``kernels_per_area_for`` [mass-balance] [smallgrains-2003].

    Examples
    --------
    >>> round(kernel_mass_for(0.01, 100.0), 6)
    0.0001
    """
    guard.not_negative("mass_per_area", mass_per_area)
    guard.positive("kernels_per_area", kernels_per_area)
    return mass_per_area / kernels_per_area


def kernel_weight(sample_mass: Kilogram, kernels: Count) -> Kilogram:
    """Mass of one kernel, from a counted and weighed sample.

    Worth a minute with a scale: the counting rule is only as good as it.

    Parameters
    ----------
    sample_mass : [kg] mass of the sample
    kernels : [1] kernels in the sample

    Returns
    -------
    [kg] mass of one kernel

    Raises
    ------
    OutOfRange : when mass or number is not above zero

    Notes
    -----
    ``m/N`` [mass-balance]; a sample of a thousand gives the thousand-kernel weight.

    Examples
    --------
    >>> round(kernel_weight(0.16, 1000.0), 5)
    0.00016
    """
    guard.positive("sample_mass", sample_mass)
    guard.positive("kernels", kernels)
    return sample_mass / kernels


def bushels(mass: Kilogram, bushel_mass: Kilogram) -> Count:
    """Bushels in a mass of grain, a bushel being a fixed mass of each crop.

    Turns scale weight into what the market counts.

    Parameters
    ----------
    mass : [kg] mass of grain
    bushel_mass : [kg] mass that counts as one bushel of this crop

    Returns
    -------
    [1] bushels

    Raises
    ------
    OutOfRange : when the mass is negative, or the bushel's mass is not above zero

    Notes
    -----
    ``m/m_b`` [bushel-table].

    Examples
    --------
    >>> bushels(100.0, 25.0)
    4.0
    """
    guard.not_negative("mass", mass)
    guard.positive("bushel_mass", bushel_mass)
    return mass / bushel_mass


def bulk_density(
    bushel_mass: Kilogram, bushel_volume: CubicMetre
) -> KilogramPerCubicMetre:
    """Density of grain in a heap that just makes the legal bushel weight.

    Tells how much a tank or a cart will hold.

    Parameters
    ----------
    bushel_mass : [kg] mass of the grain that fills one measured bushel
    bushel_volume : [m^3] volume of the measured bushel

    Returns
    -------
    [kg/m^3] bulk density

    Raises
    ------
    OutOfRange : when mass or volume is not above zero

    Notes
    -----
    ``m/V`` [bushel-table] [mass-balance]. Real test weight varies about this value.

    Examples
    --------
    >>> round(bulk_density(25.0, 0.04), 6)
    625.0
    """
    guard.positive("bushel_mass", bushel_mass)
    guard.positive("bushel_volume", bushel_volume)
    return bushel_mass / bushel_volume


def saleable_loss(moisture: Ratio, market_moisture: Ratio) -> Ratio:
    """Share of saleable weight given away by delivering grain drier than the market's.

    The buyer pays by weight and pays nothing for water that is not there.

    Parameters
    ----------
    moisture : [1] moisture of the grain delivered, wet basis
    market_moisture : [1] moisture the market pays in full, wet basis

    Returns
    -------
    [1] share of the weight at market moisture that is missing

    Raises
    ------
    OutOfRange : when a moisture is no fraction below 1

    Notes
    -----
    ``1 − (1 − M₀)/(1 − M)`` [unl-2017] [mass-balance]. Grain at or above the market's
    moisture lacks no water: the loss is 0, and shrink is reckoned instead.

    Examples
    --------
    >>> round(float(saleable_loss(0.09, 0.13)), 4)
    0.044
    """
    guard.below_one("moisture", moisture)
    guard.below_one("market_moisture", market_moisture)
    loss: Ratio = np.maximum(1.0 - (1.0 - market_moisture) / (1.0 - moisture), 0.0)
    return loss


def bushel_mass_for(
    bulk_density: KilogramPerCubicMetre, bushel_volume: CubicMetre
) -> Kilogram:
    """Mass of grain that fills one measured bushel, from its density in a heap.

    Turns a test weight told in one country's measure into another's.

    Parameters
    ----------
    bulk_density : [kg/m^3] density of the grain in a heap
    bushel_volume : [m^3] volume of the measured bushel

    Returns
    -------
    [kg] mass of one bushel

    Raises
    ------
    OutOfRange : when density or volume is not above zero

    Notes
    -----
    ``ρ V``, the inverse of ``bulk_density`` [grain-commission] [mass-balance].

    Examples
    --------
    >>> bushel_mass_for(625.0, 0.04)
    25.0
    """
    guard.positive("bulk_density", bulk_density)
    guard.positive("bushel_volume", bushel_volume)
    return bulk_density * bushel_volume
