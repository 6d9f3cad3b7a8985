"""What lost grain, time, stoppages, soil and delay cost."""

import numpy as np

from academy.engine import guard
from academy.engine.si import (
    KilogramPerSquareMetre,
    Money,
    MoneyPerKilogram,
    MoneyPerSecond,
    MoneyPerSquareMetre,
    NewtonPerMetre,
    PerSecond,
    PerSquareMetre,
    Ratio,
    Second,
    SquareMetre,
    SquareMetrePerSecond,
)


def cost_of_loss(
    loss_share: Ratio,
    crop_yield: KilogramPerSquareMetre,
    grain_price: MoneyPerKilogram,
) -> MoneyPerSquareMetre:
    """Value of the grain left on the field, per field area.

    Seeds on the ground turned into money, to weigh against hours.

    Parameters
    ----------
    loss_share : [1] share of the standing crop lost
    crop_yield : [kg/m^2] grain per field area before the loss
    grain_price : [money/kg] price of the grain

    Returns
    -------
    [money/m^2] value lost

    Raises
    ------
    OutOfRange : when the share is no fraction, or yield or price is negative

    Notes
    -----
    ``L Y p`` [grdc-2022] [mass-balance].

    Examples
    --------
    >>> round(cost_of_loss(0.02, 0.5, 0.4), 4)
    0.004
    """
    guard.fraction("loss_share", loss_share)
    guard.not_negative("crop_yield", crop_yield)
    guard.not_negative("grain_price", grain_price)
    return loss_share * (crop_yield * grain_price)


def machine_cost_per_area(
    hour_cost: MoneyPerSecond, area_rate: SquareMetrePerSecond
) -> MoneyPerSquareMetre:
    """Cost of machine and operator, per field area.

    Half the speed, twice the cost: what a gentler setting must earn back.

    Parameters
    ----------
    hour_cost : [money/s] cost of machine and operator in unit time
    area_rate : [m^2/s] area finished in unit time

    Returns
    -------
    [money/m^2] machine cost

    Raises
    ------
    OutOfRange : when the cost is negative, or the area rate is not above zero

    Notes
    -----
    ``c_h/C`` [gregg-2016] [mass-balance].

    Examples
    --------
    >>> machine_cost_per_area(0.1, 10.0)
    0.01
    """
    guard.not_negative("hour_cost", hour_cost)
    guard.positive("area_rate", area_rate)
    return hour_cost / area_rate


def cost_rate(
    cost_per_area: MoneyPerSquareMetre, area_rate: SquareMetrePerSecond
) -> MoneyPerSecond:
    """Money that a cost per area takes in unit time.

    Loss per hour in the cab: it grows with the loss and with the area rate.

    Parameters
    ----------
    cost_per_area : [money/m^2] cost per field area
    area_rate : [m^2/s] area finished in unit time

    Returns
    -------
    [money/s] cost in unit time

    Raises
    ------
    OutOfRange : when cost or area rate is negative

    Notes
    -----
    ``c C`` [gregg-2016] [mass-balance].

    Examples
    --------
    >>> cost_rate(0.01, 10.0)
    0.1
    """
    guard.not_negative("cost_per_area", cost_per_area)
    guard.not_negative("area_rate", area_rate)
    return cost_per_area * area_rate


def field_cost(cost_per_area: MoneyPerSquareMetre, area: SquareMetre) -> Money:
    """Money that a cost per area takes on a whole field.

    A few dollars an acre sound small; over the field they are a cheque.

    Parameters
    ----------
    cost_per_area : [money/m^2] cost per field area
    area : [m^2] area of the field

    Returns
    -------
    [money] cost of the field

    Raises
    ------
    OutOfRange : when cost or area is negative

    Notes
    -----
    ``c A`` [gregg-2016] [mass-balance].

    Examples
    --------
    >>> field_cost(0.25, 100.0)
    25.0
    """
    guard.not_negative("cost_per_area", cost_per_area)
    guard.not_negative("area", area)
    return cost_per_area * area


def stoppage_cost(
    stoppages_per_area: PerSquareMetre, stop_time: Second, hour_cost: MoneyPerSecond
) -> MoneyPerSquareMetre:
    """Cost of the plug-ups to expect, per field area.

    A plug takes minutes to clear, and the whole crew waits.

    Parameters
    ----------
    stoppages_per_area : [1/m^2] expected stoppages per field area
    stop_time : [s] time one stoppage takes, clearing included
    hour_cost : [money/s] cost of machine and operator in unit time

    Returns
    -------
    [money/m^2] cost of stoppages

    Raises
    ------
    OutOfRange : when an input is negative

    Notes
    -----
    ``n t c_h`` [mass-balance]; how often it stops is [judgement].

    Examples
    --------
    >>> round(stoppage_cost(0.00001, 600.0, 0.1), 6)
    0.0006
    """
    guard.not_negative("stoppages_per_area", stoppages_per_area)
    guard.not_negative("stop_time", stop_time)
    guard.not_negative("hour_cost", hour_cost)
    return stoppages_per_area * (stop_time * hour_cost)


def soil_cost(
    ground_force: NewtonPerMetre,
    onset_force: NewtonPerMetre,
    cost_at_double: MoneyPerSquareMetre,
) -> MoneyPerSquareMetre:
    """Cost of pushing soil: stained grain, dockage and wear, per field area.

    None while the bar rides lightly; it grows with the weight past that.

    Parameters
    ----------
    ground_force : [N/m] force of the bar on the ground per width
    onset_force : [N/m] force at which the bar starts to push soil
    cost_at_double : [money/m^2] cost at twice that force

    Returns
    -------
    [money/m^2] cost of pushed soil

    Raises
    ------
    OutOfRange : when force or cost is negative, or the onset is not above zero

    Notes
    -----
    ``c max(F/F₀ − 1, 0)``: the simplest form with the right direction [judgement].

    Examples
    --------
    >>> float(soil_cost(600.0, 300.0, 0.002))
    0.002
    """
    guard.not_negative("ground_force", ground_force)
    guard.positive("onset_force", onset_force)
    guard.not_negative("cost_at_double", cost_at_double)
    excess = np.maximum(ground_force / onset_force - 1.0, 0.0)
    cost: MoneyPerSquareMetre = cost_at_double * excess
    return cost


def delay_loss(timeliness: PerSecond, delay: Second) -> Ratio:
    """Share of the crop lost while it waits past its best day.

    Pods open and plants fall while the crop waits for the machine.

    Parameters
    ----------
    timeliness : [1/s] share of the crop lost in unit time
    delay : [s] time past the best day

    Returns
    -------
    [1] share lost to the delay

    Raises
    ------
    OutOfRange : when an input is negative, or the share passes 1

    Notes
    -----
    ``K t``, for delays of days to a few weeks [schuler-2005] [philbrook-1989].

    Examples
    --------
    >>> delay_loss(0.25, 2.0)
    0.5
    """
    guard.not_negative("timeliness", timeliness)
    guard.not_negative("delay", delay)
    share = timeliness * delay
    guard.fraction("delay_loss", share)
    return share


def timeliness_cost(
    timeliness: PerSecond,
    crop_yield: KilogramPerSquareMetre,
    grain_price: MoneyPerKilogram,
    area: SquareMetre,
    area_rate: SquareMetrePerSecond,
    working_share: Ratio,
    workday_share: Ratio,
    schedule_divisor: Ratio,
) -> MoneyPerSquareMetre:
    """Value lost because a machine cannot be everywhere on the best day, per area.

    A small machine on a large farm finishes late, and the last fields pay for it.

    Parameters
    ----------
    timeliness : [1/s] share of the crop lost in unit time
    crop_yield : [kg/m^2] grain per field area
    grain_price : [money/kg] price of the grain
    area : [m^2] area to harvest
    area_rate : [m^2/s] area finished in unit time of work
    working_share : [1] share of a work day's 24 hours spent harvesting
    workday_share : [1] share of days fit for work
    schedule_divisor : [1] 2 when work only starts or ends at the best day, 4 around it

    Returns
    -------
    [money/m^2] timeliness cost

    Raises
    ------
    OutOfRange : when the coefficient, yield, price or area is negative, the area rate
        or a share is not above zero, a share passes 1, or the divisor is below 1

    Notes
    -----
    ``K Y V D/Z`` with ``D = A/(C T pwd)``, the calendar time the work lasts [memory];
    the mean delay ``D/Z`` follows from an even pace [mass-balance].

    Examples
    --------
    >>> cost = timeliness_cost(0.01, 0.5, 0.4, 100.0, 10.0, 0.5, 0.5, 4.0)
    >>> round(cost, 6)
    0.02
    """
    guard.not_negative("timeliness", timeliness)
    guard.not_negative("area", area)
    guard.positive("area_rate", area_rate)
    _some_share("working_share", working_share)
    _some_share("workday_share", workday_share)
    guard.at_least("schedule_divisor", schedule_divisor, 1.0)
    days = area / (area_rate * working_share * workday_share)
    lost = delay_loss(timeliness, days / schedule_divisor)
    return cost_of_loss(lost, crop_yield, grain_price)


def _some_share(name: str, value: Ratio) -> None:
    guard.positive(name, value)
    guard.fraction(name, value)
