"""Grain left on the stubble: pods, or the heads that the knife passes under."""

import math

import numpy as np
from scipy.special import ndtr

from academy.engine import guard
from academy.engine.si import (
    KilogramPerSquareMetre,
    Metre,
    PerMetre,
    PerSquareMetre,
    Ratio,
)


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


def head_share(cut_height: Metre, head_height: Metre, spread: Metre) -> Ratio:
    """Share of heads that stand lower than the cut and stay on the stubble.

    Nothing while the knife runs well under the heads; then whole heads at once, the low
    ones of late tillers first. A head left is all its grain left.

    Parameters
    ----------
    cut_height : [m] true height of the cut over the ground
    head_height : [m] mean height of these heads as they stand now
    spread : [m] standard deviation of that height

    Returns
    -------
    [1] share of these heads below the cut

    Raises
    ------
    OutOfRange : when the cut height is negative, the spread is not above zero, or the
        head height is no number

    Notes
    -----
    ``Φ((h − μ)/σ)`` for a normal height of heads [judgement].

    Examples
    --------
    >>> float(head_share(0.5, 0.5, 0.05))
    0.5
    """
    guard.not_negative("cut_height", cut_height)
    guard.finite("head_height", head_height)
    guard.positive("spread", spread)
    share: Ratio = ndtr((cut_height - head_height) / spread)
    return share


def height_loss(
    extra_height: Metre, share_per_metre: PerMetre, crop_yield: KilogramPerSquareMetre
) -> KilogramPerSquareMetre:
    """Grain that some more height of cut leaves on the stubble, per field area.

    What an inch costs once the knife runs among the pods.

    Parameters
    ----------
    extra_height : [m] height by which the cut is raised
    share_per_metre : [1/m] share of the yield per height of stem
    crop_yield : [kg/m^2] grain per field area

    Returns
    -------
    [kg/m^2] grain left on the stubble for it

    Raises
    ------
    OutOfRange : when an input is negative, or more than all would be left

    Notes
    -----
    ``s Δh Y``, where ``stubble_share`` has become a straight line [iowa-hanna].

    Examples
    --------
    >>> height_loss(0.125, 1.0, 0.5)
    0.0625
    """
    guard.not_negative("extra_height", extra_height)
    guard.not_negative("share_per_metre", share_per_metre)
    guard.not_negative("crop_yield", crop_yield)
    share = share_per_metre * extra_height
    guard.fraction("height_loss", share)
    return share * crop_yield


def lowest_pod_height(
    usual_height: Metre,
    stem_density: PerSquareMetre,
    usual_density: PerSquareMetre,
    exponent: Ratio,
) -> Metre:
    """Height of the lowest pod in a thinner or denser stand of the same field.

    Crowded plants set their first pods higher; a thin stand pods near the ground.

    Parameters
    ----------
    usual_height : [m] height of the lowest pod at the usual density
    stem_density : [1/m^2] plants per area
    usual_density : [1/m^2] usual plants per area
    exponent : [1] power with which the height grows with the density

    Returns
    -------
    [m] height of the lowest pod

    Raises
    ------
    OutOfRange : when a height or the exponent is negative, or a density is not above
        zero

    Notes
    -----
    ``z (n/n₀)^k``; two densities of a trial give ``k``: 11.9 cm at 19 plants to the
    square metre, 15.3 cm at 43 [lowest-pod-trials].

    Examples
    --------
    >>> lowest_pod_height(0.12, 40.0, 10.0, 0.5)
    0.24
    """
    guard.not_negative("usual_height", usual_height)
    guard.positive("stem_density", stem_density)
    guard.positive("usual_density", usual_density)
    guard.not_negative("exponent", exponent)
    height: Metre = usual_height * (stem_density / usual_density) ** exponent
    return height
