"""What waiting costs in grain: loss that grows day by day past the best one."""

from academy.engine import economics, guard
from academy.engine.si import KilogramPerSquareMetre, PerSecond, Ratio, Second


def waited_loss(start_loss: Ratio, timeliness: PerSecond, delay: Second) -> Ratio:
    """Field loss of a crop that waited.

    Even on its best day a crop loses some grain; each day of waiting adds to it.

    Parameters
    ----------
    start_loss : [1] share of the crop lost on the best day
    timeliness : [1/s] share of the crop lost in unit time
    delay : [s] time past the best day

    Returns
    -------
    [1] share lost in all

    Raises
    ------
    OutOfRange : when an input is negative, or the share passes 1

    Notes
    -----
    ``L₀ + K t`` [philbrook-1989], measured over six weeks.

    Examples
    --------
    >>> waited_loss(0.125, 0.0625, 2.0)
    0.25
    """
    guard.fraction("start_loss", start_loss)
    loss = start_loss + economics.delay_loss(timeliness, delay)
    guard.fraction("waited_loss", loss)
    return loss


def timeliness_for(start_loss: Ratio, end_loss: Ratio, delay: Second) -> PerSecond:
    """Share of the crop lost in unit time, from losses at two dates.

    What a day of waiting costs on this farm, from two counts.

    Parameters
    ----------
    start_loss : [1] share of the crop lost at the first date
    end_loss : [1] share of the crop lost at the second date
    delay : [s] time between them

    Returns
    -------
    [1/s] share of the crop lost in unit time

    Raises
    ------
    OutOfRange : when a loss is no fraction, the second is below the first, or the time
        is not above zero

    Notes
    -----
    ``(L₁ − L₀)/t``, the inverse of ``waited_loss`` [philbrook-1989].

    Examples
    --------
    >>> timeliness_for(0.125, 0.25, 2.0)
    0.0625
    """
    guard.fraction("start_loss", start_loss)
    guard.fraction("end_loss", end_loss)
    guard.at_least("end_loss", end_loss, start_loss)
    guard.positive("delay", delay)
    return (end_loss - start_loss) / delay


def waited_mass(
    timeliness: PerSecond, delay: Second, crop_yield: KilogramPerSquareMetre
) -> KilogramPerSquareMetre:
    """Grain lost by waiting, per field area.

    What the last fields of the season leave behind.

    Parameters
    ----------
    timeliness : [1/s] share of the crop lost in unit time
    delay : [s] time past the best day
    crop_yield : [kg/m^2] grain per field area on the best day

    Returns
    -------
    [kg/m^2] grain lost to the delay

    Raises
    ------
    OutOfRange : when an input is negative, or more than all would be lost

    Notes
    -----
    ``K t Y`` [schuler-2005] [mass-balance].

    Examples
    --------
    >>> waited_mass(0.0625, 2.0, 0.5)
    0.0625
    """
    guard.not_negative("crop_yield", crop_yield)
    return economics.delay_loss(timeliness, delay) * crop_yield
