"""Water in grain: the two bases, shrink, and what a buyer pays for."""

from academy.engine import guard
from academy.engine.si import Kilogram, PerSecond, Ratio, Second


def wet_basis(dry_basis_moisture: Ratio) -> Ratio:
    """Water per mass of moist grain, from water per mass of dry matter.

    What the moisture meter and the market mean by moisture.

    Parameters
    ----------
    dry_basis_moisture : [1] water over dry matter

    Returns
    -------
    [1] moisture, wet basis

    Raises
    ------
    OutOfRange : when the moisture is negative

    Notes
    -----
    ``M_w = M_d/(1 + M_d)`` [mass-balance].

    Examples
    --------
    >>> wet_basis(0.25)
    0.2
    """
    guard.not_negative("dry_basis_moisture", dry_basis_moisture)
    return dry_basis_moisture / (1.0 + dry_basis_moisture)


def dry_basis(wet_basis_moisture: Ratio) -> Ratio:
    """Water per mass of dry matter, from water per mass of moist grain.

    Drying forms speak of water on dry matter; meters and buyers do not.

    Parameters
    ----------
    wet_basis_moisture : [1] water over moist grain

    Returns
    -------
    [1] moisture, dry basis

    Raises
    ------
    OutOfRange : when the moisture is no fraction below 1

    Notes
    -----
    ``M_d = M_w/(1 − M_w)``, the inverse of ``wet_basis`` [mass-balance].

    Examples
    --------
    >>> dry_basis(0.2)
    0.25
    """
    guard.below_one("wet_basis_moisture", wet_basis_moisture)
    return wet_basis_moisture / (1.0 - wet_basis_moisture)


def shrink(mass: Kilogram, from_moisture: Ratio, to_moisture: Ratio) -> Kilogram:
    """Mass of the same dry matter at another moisture.

    What a wet load weighs once dried; also what a dry load would weigh at market
    moisture.

    Parameters
    ----------
    mass : [kg] mass of the grain as it is
    from_moisture : [1] moisture as it is, wet basis
    to_moisture : [1] moisture wanted, wet basis

    Returns
    -------
    [kg] mass at the wanted moisture

    Raises
    ------
    OutOfRange : when the mass is negative, or a moisture is no fraction below 1

    Notes
    -----
    ``m (1 − M₁)/(1 − M₂)`` [purdue-shrink] [mass-balance]: water only, handling losses
    not included.

    Examples
    --------
    >>> round(shrink(1000.0, 0.20, 0.15), 1)
    941.2
    """
    guard.not_negative("mass", mass)
    guard.below_one("from_moisture", from_moisture)
    guard.below_one("to_moisture", to_moisture)
    return mass * (1.0 - from_moisture) / (1.0 - to_moisture)


def water_shrink_per_point(to_moisture: Ratio) -> Ratio:
    """Share of the wet weight lost for each unit of moisture taken out.

    Read per point: drying to 13 % costs 1.149 % of the wet weight per point.

    Parameters
    ----------
    to_moisture : [1] moisture dried to, wet basis

    Returns
    -------
    [1] shrink per moisture, both as fractions or both in points

    Raises
    ------
    OutOfRange : when the moisture is no fraction below 1

    Notes
    -----
    ``1/(1 − M₂)`` [purdue-shrink] [mass-balance].

    Examples
    --------
    >>> water_shrink_per_point(0.2)
    1.25
    """
    guard.below_one("to_moisture", to_moisture)
    return 1.0 / (1.0 - to_moisture)


def paid_mass(
    mass: Kilogram, from_moisture: Ratio, to_moisture: Ratio, shrink_factor: Ratio
) -> Kilogram:
    """Mass a buyer pays for when shrink is reckoned by a fixed factor per point.

    The elevator takes a little more than the water; this is what is left to be paid.

    Parameters
    ----------
    mass : [kg] mass of the grain delivered
    from_moisture : [1] moisture delivered, wet basis
    to_moisture : [1] moisture the buyer pays in full, wet basis
    shrink_factor : [1] share of weight taken off per moisture above it

    Returns
    -------
    [kg] mass paid

    Raises
    ------
    OutOfRange : when mass or factor is negative, a moisture is no fraction, the grain
        is drier than the buyer's moisture, or more than all would be taken off

    Notes
    -----
    ``m [1 − k (M₁ − M₂)]`` [insurance-shrink]. With ``k`` above the water shrink the
    rest stands for handling.

    Examples
    --------
    >>> round(paid_mass(1000.0, 0.20, 0.15, 1.2), 6)
    940.0
    """
    guard.not_negative("mass", mass)
    guard.fraction("from_moisture", from_moisture)
    guard.at_least("from_moisture", from_moisture, to_moisture)
    guard.fraction("to_moisture", to_moisture)
    guard.not_negative("shrink_factor", shrink_factor)
    taken = shrink_factor * (from_moisture - to_moisture)
    guard.fraction("shrink", taken)
    return mass * (1.0 - taken)


def water_shrink(from_moisture: Ratio, to_moisture: Ratio) -> Ratio:
    """Share of the wet weight that drying takes away.

    What leaves the load as water, before anything is lost in handling.

    Parameters
    ----------
    from_moisture : [1] moisture before drying, wet basis
    to_moisture : [1] moisture dried to, wet basis

    Returns
    -------
    [1] share of the wet weight

    Raises
    ------
    OutOfRange : when a moisture is no fraction below 1, or the grain would get wetter

    Notes
    -----
    ``(M₁ − M₂)/(1 − M₂)`` [purdue-shrink] [mass-balance].

    Examples
    --------
    >>> water_shrink(0.4, 0.2)
    0.25
    """
    guard.below_one("from_moisture", from_moisture)
    guard.below_one("to_moisture", to_moisture)
    guard.at_least("from_moisture", from_moisture, to_moisture)
    return (from_moisture - to_moisture) / (1.0 - to_moisture)


def water_mass(mass: Kilogram, moisture: Ratio) -> Kilogram:
    """Mass of the water in a mass of grain.

    Sold at the price of grain, as long as the market allows it.

    Parameters
    ----------
    mass : [kg] mass of the grain as it is
    moisture : [1] moisture, wet basis

    Returns
    -------
    [kg] water

    Raises
    ------
    OutOfRange : when the mass is negative, or the moisture is no fraction

    Notes
    -----
    ``m M``, what wet basis means [unl-2009] [mass-balance].

    Examples
    --------
    >>> water_mass(100.0, 0.125)
    12.5
    """
    guard.not_negative("mass", mass)
    guard.fraction("moisture", moisture)
    return mass * moisture


def drydown_rate(from_moisture: Ratio, to_moisture: Ratio, time: Second) -> PerSecond:
    """Moisture that a standing crop loses in unit time.

    Tells how many days are left until the crop is fit, and until it is too dry.

    Parameters
    ----------
    from_moisture : [1] moisture at the first date, wet basis
    to_moisture : [1] moisture at the second date, wet basis
    time : [s] time between them

    Returns
    -------
    [1/s] fall of the moisture in unit time

    Raises
    ------
    OutOfRange : when a moisture is no fraction, the crop got wetter, or the time is not
        above zero

    Notes
    -----
    ``(M₁ − M₂)/t`` [kstate-drydown], a mean over dry and damp days.

    Examples
    --------
    >>> drydown_rate(0.5, 0.25, 2.0)
    0.125
    """
    guard.fraction("from_moisture", from_moisture)
    guard.fraction("to_moisture", to_moisture)
    guard.at_least("from_moisture", from_moisture, to_moisture)
    guard.positive("time", time)
    return (from_moisture - to_moisture) / time
