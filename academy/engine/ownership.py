"""What it costs to own a machine, keep it whole and fuel it."""

import numpy as np

from academy.engine import guard
from academy.engine.si import (
    Count,
    CubicMetrePerJoule,
    CubicMetrePerSecond,
    Money,
    Ratio,
    Second,
    Watt,
)


def capital_recovery(
    price: Money, salvage: Money, interest: Ratio, periods: Count
) -> Money:
    """Even payment per period that pays back a machine with interest.

    What the machine must earn each year before it turns a wheel.

    Parameters
    ----------
    price : [money] price paid at the start
    salvage : [money] value left at the end
    interest : [1] interest per period, as a fraction
    periods : [1] number of periods, as a rule years

    Returns
    -------
    [money] payment per period

    Raises
    ------
    OutOfRange : when price or salvage is negative, or interest or periods is not above
        zero

    Notes
    -----
    ``(P − S) i/(1 − (1 + i)⁻ⁿ) + S i`` [iowa-a3-29]. Its printed example rounds the
    factor first and differs by 17 in 13 917.

    Examples
    --------
    >>> round(capital_recovery(1000.0, 0.0, 0.1, 1.0), 2)
    1100.0
    """
    guard.not_negative("price", price)
    guard.not_negative("salvage", salvage)
    guard.positive("interest", interest)
    guard.positive("periods", periods)
    factor = interest / (1.0 - (1.0 + interest) ** (-periods))
    payment: Money = (price - salvage) * factor + salvage * interest
    return payment


def repair_cost(
    list_price: Money,
    use: Second,
    reference_use: Second,
    factor: Ratio,
    exponent: Ratio,
) -> Money:
    """Repairs and maintenance spent since new.

    Slow at first, then faster and faster as the machine wears.

    Parameters
    ----------
    list_price : [money] list price in today's money
    use : [s] hours run since new
    reference_use : [s] use for which the factor is stated
    factor : [1] share of list price spent at the reference use
    exponent : [1] power with which repairs grow with use

    Returns
    -------
    [money] accumulated repairs and maintenance

    Raises
    ------
    OutOfRange : when price, use or factor is negative, or reference or exponent is not
        above zero

    Notes
    -----
    ``RF₁ P (h/h₀)^RF₂`` with a reference use of a thousand hours [asabe-d497].

    Examples
    --------
    >>> repair_cost(1000.0, 2.0, 1.0, 0.05, 2.0)
    200.0
    """
    guard.not_negative("list_price", list_price)
    guard.not_negative("use", use)
    guard.positive("reference_use", reference_use)
    guard.not_negative("factor", factor)
    guard.positive("exponent", exponent)
    spent: Money = list_price * factor * (use / reference_use) ** exponent
    return spent


def average_fuel_rate(
    rated_power: Watt, consumption: CubicMetrePerJoule
) -> CubicMetrePerSecond:
    """Fuel a machine burns in unit time, averaged over the year.

    For the budget, not for a day: idle and full work averaged.

    Parameters
    ----------
    rated_power : [W] rated power of the machine
    consumption : [m^3/J] fuel per rated power and time

    Returns
    -------
    [m^3/s] mean fuel rate

    Raises
    ------
    OutOfRange : when an input is negative

    Notes
    -----
    ``k P`` [asabe-fuel].

    Examples
    --------
    >>> average_fuel_rate(100000.0, 6e-11)
    6e-06
    """
    guard.not_negative("rated_power", rated_power)
    guard.not_negative("consumption", consumption)
    return rated_power * consumption


def specific_fuel(
    load: Ratio,
    slope: CubicMetrePerJoule,
    intercept: CubicMetrePerJoule,
    root_factor: CubicMetrePerJoule,
    root_slope: Ratio,
    root_intercept: Ratio,
) -> CubicMetrePerJoule:
    """Diesel used per work done, at a given load.

    A lightly loaded engine burns more for the same work.

    Parameters
    ----------
    load : [1] power drawn over rated power
    slope : [m^3/J] coefficient of the load
    intercept : [m^3/J] constant term
    root_factor : [m^3/J] coefficient of the root
    root_slope : [1] coefficient of the load under the root
    root_intercept : [1] constant term under the root

    Returns
    -------
    [m^3/J] fuel per work

    Raises
    ------
    OutOfRange : when the load is no fraction, or a coefficient is negative

    Notes
    -----
    ``aX + b − c √(dX + e)`` [asabe-fuel]; the metric and the customary coefficients
    agree to 0.8 % at full load. A later edition replaced the form.

    Examples
    --------
    >>> float(specific_fuel(1.0, 2.0, 4.0, 0.5, 12.0, 4.0))
    4.0
    """
    guard.fraction("load", load)
    guard.not_negative("slope", slope)
    guard.not_negative("intercept", intercept)
    guard.not_negative("root_factor", root_factor)
    guard.not_negative("root_slope", root_slope)
    guard.not_negative("root_intercept", root_intercept)
    root = np.sqrt(root_slope * load + root_intercept)
    fuel: CubicMetrePerJoule = slope * load + intercept - root_factor * root
    return fuel


def salvage_value(list_price: Money, remaining_share: Ratio) -> Money:
    """Value that a machine still has at the end of its time on the farm.

    What the next owner pays, and the farm need not earn back.

    Parameters
    ----------
    list_price : [money] list price of a like machine new
    remaining_share : [1] share of it that is left at that age and use

    Returns
    -------
    [money] value left

    Raises
    ------
    OutOfRange : when the price is negative, or the share is no fraction

    Notes
    -----
    ``P r``, the share from a table of ages [iowa-a3-29].

    Examples
    --------
    >>> salvage_value(1000.0, 0.25)
    250.0
    """
    guard.not_negative("list_price", list_price)
    guard.fraction("remaining_share", remaining_share)
    return list_price * remaining_share
