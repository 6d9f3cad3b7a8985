"""Which stems the knife cuts, bunches or passes twice: the compact form."""

import numpy as np

from academy.engine import guard
from academy.engine.si import Metre, Ratio


def bunched_share(advance: Metre, edge: Metre, coefficient: Ratio) -> Ratio:
    """Share of stems that no edge reaches before they are bent to the next stroke.

    None while the machine moves less than an edge length per stroke; then more and
    more, and the stubble shows tufts.

    Parameters
    ----------
    advance : [m] ground covered during one stroke
    edge : [m] length of the section's cutting edge along the direction of travel
    coefficient : [1] share reached at very long advance

    Returns
    -------
    [1] share of stems bunched

    Raises
    ------
    OutOfRange : when advance is negative, edge is not above zero, or the coefficient is
        no fraction

    Notes
    -----
    ``c (1 − edge/a)`` where ``a > edge``, else 0: a fit to the cutting-pattern diagram
    worked out stem by stem [kinematics], good to 0.02 up to an advance of three edges.

    Examples
    --------
    >>> round(float(bunched_share(0.104, 0.052, 0.65)), 3)
    0.325
    """
    guard.not_negative("advance", advance)
    guard.positive("edge", edge)
    guard.fraction("coefficient", coefficient)
    share: Ratio = coefficient * (1.0 - edge / np.maximum(advance, edge))
    return share
