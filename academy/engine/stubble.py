"""Pods left on the stubble."""

import math

import numpy as np
from scipy.special import ndtr

from academy.engine import guard
from academy.engine.si import Metre, PerMetre, Ratio


def stubble_share(
    cut_height: Metre,
    lowest_pod_effective: Metre,
    spread: Metre,
    share_per_metre: PerMetre,
) -> Ratio:
    """Share of the crop that stays on the stubble below the cut.

    Almost nothing while the knife runs under the lowest pods, then a steady loss for
    every bit of height.

    Parameters
    ----------
    cut_height : [m] true height of the cut over the ground
    lowest_pod_effective : [m] mean height of the lowest pod as it hangs
    spread : [m] standard deviation of that height between plants
    share_per_metre : [1/m] share of the yield per height of stem

    Returns
    -------
    [1] share of the standing crop left on the stubble

    Raises
    ------
    OutOfRange : when cut height or share is negative, the spread is not above zero, or
        the pod height is no number

    Notes
    -----
    ``s σ [ζ Φ(ζ) + φ(ζ)]``, ``ζ = (h − μ)/σ``: normal lowest-pod height, pods spread
    evenly above it [judgement]. Fitted to the extra-inch rule of [iowa-hanna], to
    [rebilas-2020] and to a remembered table [memory]; rms misfit one point. A share
    cannot pass 1 and stops there.

    Examples
    --------
    >>> round(float(stubble_share(0.2, 0.05, 0.03, 1.0)), 3)
    0.15
    """
    guard.not_negative("cut_height", cut_height)
    guard.finite("lowest_pod_effective", lowest_pod_effective)
    guard.positive("spread", spread)
    guard.not_negative("share_per_metre", share_per_metre)
    score = (cut_height - lowest_pod_effective) / spread
    density = np.exp(-0.5 * (score * score)) / math.sqrt(2.0 * math.pi)
    expected = score * ndtr(score) + density
    share: Ratio = np.minimum(share_per_metre * spread * expected, 1.0)
    return share
