"""What a crop brings when it is delivered, drying paid."""

from academy.engine import guard
from academy.engine.si import (
    KilogramPerSquareMetre,
    MoneyPerKilogram,
    MoneyPerSquareMetre,
)


def delivered_value(
    paid_mass: KilogramPerSquareMetre,
    grain_price: MoneyPerKilogram,
    wet_mass: KilogramPerSquareMetre,
    drying_price: MoneyPerKilogram,
) -> MoneyPerSquareMetre:
    """Money that a crop brings per field area once drying is paid; below 0 it costs.

    Damp grain weighs more and is paid for less; this is what is left of the trade.

    Parameters
    ----------
    paid_mass : [kg/m^2] grain paid for, shrink taken off
    grain_price : [money/kg] price of the grain
    wet_mass : [kg/m^2] grain delivered, as it comes off the field
    drying_price : [money/kg] price of drying, for what is delivered

    Returns
    -------
    [money/m^2] value after drying

    Raises
    ------
    OutOfRange : when an input is negative

    Notes
    -----
    ``m_p p − m_w d`` [msu-dry-soybeans] [mass-balance].

    Examples
    --------
    >>> delivered_value(0.5, 0.5, 0.625, 0.125)
    0.171875
    """
    guard.not_negative("paid_mass", paid_mass)
    guard.not_negative("grain_price", grain_price)
    guard.not_negative("wet_mass", wet_mass)
    guard.not_negative("drying_price", drying_price)
    return paid_mass * grain_price - wet_mass * drying_price
