"""Crop that lies under the knife."""

import numpy as np

from academy.engine import guard
from academy.engine.si import Metre, PerMetre, Ratio


def lodged_share(lodging: Ratio, cut_height: Metre, coefficient: PerMetre) -> Ratio:
    """Share of the crop that lies so low that the knife passes over it.

    None in standing crop; in lodged crop a low knife gets under most of it.

    Parameters
    ----------
    lodging : [1] share of the crop that lies down
    cut_height : [m] true height of the cut over the ground
    coefficient : [1/m] loss per lodging and height while it is small

    Returns
    -------
    [1] share of the standing crop left lying uncut

    Raises
    ------
    OutOfRange : when lodging is no fraction, or another input is negative

    Notes
    -----
    ``1 − exp(−c ℓ h)``: the simplest form that is 0 without lodging, rises with lodging
    and height, and never passes 1 [judgement].

    Examples
    --------
    >>> float(lodged_share(0.0, 0.1, 3.0))
    0.0
    """
    guard.fraction("lodging", lodging)
    guard.not_negative("cut_height", cut_height)
    guard.not_negative("coefficient", coefficient)
    share: Ratio = -np.expm1(-(coefficient * lodging) * cut_height)
    return share
