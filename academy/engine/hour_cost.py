"""What an hour of machine and operator costs, put together from its list price up."""

from academy.engine import guard, ownership
from academy.engine.si import (
    CubicMetrePerSecond,
    Money,
    MoneyPerCubicMetre,
    MoneyPerSecond,
    Ratio,
    Second,
)


def yearly_repairs(
    list_price: Money,
    use_before: Second,
    yearly_use: Second,
    years: Ratio,
    reference_use: Second,
    factor: Ratio,
    exponent: Ratio,
) -> Money:
    """Repairs and maintenance in a mean year of the time on this farm.

    A machine bought used begins where repairs already climb.

    Parameters
    ----------
    list_price : [money] list price in today's money
    use_before : [s] hours run when it came to the farm
    yearly_use : [s] hours run in a year
    years : [1] years on the farm
    reference_use : [s] use for which the factor is stated
    factor : [1] share of list price spent at the reference use
    exponent : [1] power with which repairs grow with use

    Returns
    -------
    [money] repairs in a year

    Raises
    ------
    OutOfRange : when a use or the price is negative, or the years are not above zero

    Notes
    -----
    ``[R(h₀ + n h) − R(h₀)]/n`` with ``R`` the accumulated repairs [asabe-d497].

    Examples
    --------
    >>> yearly_repairs(1000.0, 1.0, 1.0, 2.0, 1.0, 0.05, 2.0)
    200.0
    """
    guard.not_negative("use_before", use_before)
    guard.not_negative("yearly_use", yearly_use)
    guard.positive("years", years)
    terms = (reference_use, factor, exponent)
    after = ownership.repair_cost(list_price, use_before + years * yearly_use, *terms)
    before = ownership.repair_cost(list_price, use_before, *terms)
    return (after - before) / years


def yearly_overhead(price: Money, salvage: Money, overhead_share: Ratio) -> Money:
    """Taxes, housing and insurance in a year.

    Due whether the machine runs or stands.

    Parameters
    ----------
    price : [money] price paid
    salvage : [money] value left at the end
    overhead_share : [1] share of the mean value due each year

    Returns
    -------
    [money] overhead in a year

    Raises
    ------
    OutOfRange : when an input is negative

    Notes
    -----
    ``k (P + S)/2``, a share of the mean of first and last value [machinery-costs].

    Examples
    --------
    >>> yearly_overhead(100.0, 20.0, 0.05)
    3.0
    """
    guard.not_negative("price", price)
    guard.not_negative("salvage", salvage)
    guard.not_negative("overhead_share", overhead_share)
    return overhead_share * (price + salvage) / 2.0


def fuel_cost_rate(
    fuel_rate: CubicMetrePerSecond,
    fuel_price: MoneyPerCubicMetre,
    lubricant_share: Ratio,
) -> MoneyPerSecond:
    """Fuel and lubricants in unit time.

    What the tank takes on in a day, and the oil that goes with it.

    Parameters
    ----------
    fuel_rate : [m^3/s] fuel burnt in unit time
    fuel_price : [money/m^3] price of the fuel
    lubricant_share : [1] cost of lubricants over that of the fuel

    Returns
    -------
    [money/s] fuel and lubricants

    Raises
    ------
    OutOfRange : when an input is negative

    Notes
    -----
    ``q p (1 + l)`` [machinery-costs].

    Examples
    --------
    >>> fuel_cost_rate(2.0, 3.0, 0.5)
    9.0
    """
    guard.not_negative("fuel_rate", fuel_rate)
    guard.not_negative("fuel_price", fuel_price)
    guard.not_negative("lubricant_share", lubricant_share)
    return fuel_rate * fuel_price * (1.0 + lubricant_share)


def labour_cost_rate(wage: MoneyPerSecond, labour_factor: Ratio) -> MoneyPerSecond:
    """Labour for each hour that the machine runs.

    Greasing, fuelling and driving there are paid hours too.

    Parameters
    ----------
    wage : [money/s] cost of the operator in unit time
    labour_factor : [1] paid time over machine time

    Returns
    -------
    [money/s] labour

    Raises
    ------
    OutOfRange : when the wage is negative, or the factor is below 1

    Notes
    -----
    ``w f`` [machinery-costs].

    Examples
    --------
    >>> labour_cost_rate(20.0, 1.25)
    25.0
    """
    guard.not_negative("wage", wage)
    guard.at_least("labour_factor", labour_factor, 1.0)
    return wage * labour_factor


def spread_over_use(yearly_cost: Money, yearly_use: Second) -> MoneyPerSecond:
    """Cost of a year, for each hour that the machine runs in it.

    Half the hours, twice the cost of each.

    Parameters
    ----------
    yearly_cost : [money] cost of a year
    yearly_use : [s] hours run in a year

    Returns
    -------
    [money/s] cost in unit time of use

    Raises
    ------
    OutOfRange : when the cost is negative, or the use is not above zero

    Notes
    -----
    ``C/h`` [iowa-a3-29] [mass-balance].

    Examples
    --------
    >>> spread_over_use(100.0, 4.0)
    25.0
    """
    guard.not_negative("yearly_cost", yearly_cost)
    guard.positive("yearly_use", yearly_use)
    return yearly_cost / yearly_use
