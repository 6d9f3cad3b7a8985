"""Going faster over a field: time saved against grain lost, both in money."""

from academy.engine import capacity, guard
from academy.engine.si import (
    KilogramPerSquareMetre,
    Money,
    MoneyPerKilogram,
    MoneyPerSecond,
    Second,
    SquareMetre,
    SquareMetrePerSecond,
)


def time_saved(
    area: SquareMetre, slow_rate: SquareMetrePerSecond, fast_rate: SquareMetrePerSecond
) -> Second:
    """Time that a faster pace saves over an area.

    Each further step of speed saves less than the one before.

    Parameters
    ----------
    area : [m^2] area to finish
    slow_rate : [m^2/s] area finished in unit time at the slower pace
    fast_rate : [m^2/s] area finished in unit time at the faster pace

    Returns
    -------
    [s] time saved

    Raises
    ------
    OutOfRange : when the area is negative, a rate is not above zero, or the faster one
        is below the slower

    Notes
    -----
    ``A/C₁ − A/C₂`` [gregg-2016] [mass-balance].

    Examples
    --------
    >>> time_saved(100.0, 10.0, 20.0)
    5.0
    """
    guard.at_least("fast_rate", fast_rate, slow_rate)
    return capacity.work_time(area, slow_rate) - capacity.work_time(area, fast_rate)


def time_value(time: Second, hour_cost: MoneyPerSecond) -> Money:
    """Money that a stretch of machine time costs, or saves when it is not needed.

    An hour saved pays only when something better is done in it.

    Parameters
    ----------
    time : [s] time of machine and operator
    hour_cost : [money/s] cost of machine and operator in unit time

    Returns
    -------
    [money] value of the time

    Raises
    ------
    OutOfRange : when an input is negative

    Notes
    -----
    ``t c_h`` [gregg-2016] [mass-balance].

    Examples
    --------
    >>> time_value(5.0, 0.5)
    2.5
    """
    guard.not_negative("time", time)
    guard.not_negative("hour_cost", hour_cost)
    return time * hour_cost


def field_loss_value(
    area: SquareMetre, lost: KilogramPerSquareMetre, grain_price: MoneyPerKilogram
) -> Money:
    """Value of the grain left on a whole field.

    A bushel an acre sounds small; over the field it is a cheque.

    Parameters
    ----------
    area : [m^2] area of the field
    lost : [kg/m^2] grain lost per field area
    grain_price : [money/kg] price of the grain

    Returns
    -------
    [money] value lost

    Raises
    ------
    OutOfRange : when an input is negative

    Notes
    -----
    ``A l p`` [gregg-2016] [mass-balance].

    Examples
    --------
    >>> field_loss_value(100.0, 0.25, 0.5)
    12.5
    """
    guard.not_negative("area", area)
    guard.not_negative("lost", lost)
    guard.not_negative("grain_price", grain_price)
    return area * lost * grain_price


def speed_gain(
    time_value: Money, slow_loss_value: Money, fast_loss_value: Money
) -> Money:
    """Money that the faster pace brings over a field; below 0 it costs money.

    Whether the throttle hand earns more than the ground behind the header eats.

    Parameters
    ----------
    time_value : [money] value of the time saved
    slow_loss_value : [money] value of the grain lost at the slower pace
    fast_loss_value : [money] value of the grain lost at the faster pace

    Returns
    -------
    [money] gain of going faster

    Raises
    ------
    OutOfRange : when an input is negative

    Notes
    -----
    ``t c_h − (l₂ − l₁)`` [gregg-2016] [mass-balance].

    Examples
    --------
    >>> speed_gain(2.5, 1.0, 4.0)
    -0.5
    """
    guard.not_negative("time_value", time_value)
    guard.not_negative("slow_loss_value", slow_loss_value)
    guard.not_negative("fast_loss_value", fast_loss_value)
    return time_value - (fast_loss_value - slow_loss_value)
