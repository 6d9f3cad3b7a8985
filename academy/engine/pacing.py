"""Ground speed paced out over the ground, to check what the display shows.

Nobody walks beside a moving machine: the way is paced out over its tracks, after it.
"""

from academy.engine import guard
from academy.engine.si import Count, Metre, MetrePerSecond, Second


def paces(ground_speed: MetrePerSecond, time: Second, pace: Metre) -> Count:
    """Paces in the way that the machine covers in a stated time.

    Tells how many steps to expect at the speed that the display claims.

    Parameters
    ----------
    ground_speed : [m/s] speed of the machine over the ground
    time : [s] time between the two marks
    pace : [m] length of one step

    Returns
    -------
    [1] paces from mark to mark

    Raises
    ------
    OutOfRange : when speed or time is negative, or the pace is not above zero

    Notes
    -----
    ``v t/p`` [missouri-tips] [kinematics]. In 20 seconds steps of 3 feet come to nearly
    ten for each mile an hour.

    Examples
    --------
    >>> paces(2.0, 20.0, 1.0)
    40.0
    """
    guard.not_negative("ground_speed", ground_speed)
    guard.not_negative("time", time)
    guard.positive("pace", pace)
    return ground_speed * time / pace


def paced_speed(paces: Count, time: Second, pace: Metre) -> MetrePerSecond:
    """Ground speed from paces counted over the way of a stated time.

    A display that trusts a slipping wheel or a wrong tyre is found out on foot.

    Parameters
    ----------
    paces : [1] steps from mark to mark
    time : [s] time that the machine took between the marks
    pace : [m] length of one step

    Returns
    -------
    [m/s] speed of the machine over the ground

    Raises
    ------
    OutOfRange : when paces or pace are negative, or the time is not above zero

    Notes
    -----
    ``n p/t``, the inverse of ``paces`` [missouri-tips] [kinematics].

    Examples
    --------
    >>> paced_speed(40.0, 20.0, 1.0)
    2.0
    """
    guard.not_negative("paces", paces)
    guard.not_negative("pace", pace)
    guard.positive("time", time)
    return paces * pace / time
