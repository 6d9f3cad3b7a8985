"""Shares of a crop put together, taken apart and turned into grain."""

import math

import numpy as np

from academy.engine import guard
from academy.engine.si import KilogramPerSquareMetre, Number, Ratio


def total_share(shares: Ratio) -> Ratio:
    """Loss of several places together, each a share of the same crop.

    What the parts of a limit or of a measured loss come to.

    Parameters
    ----------
    shares : [1] loss of each place

    Returns
    -------
    [1] their sum

    Raises
    ------
    OutOfRange : when a share is no fraction, or together they pass 1

    Notes
    -----
    ``Σ Lᵢ`` [nebraska-2010] [mass-balance]: right where every share counts from the
    same crop; shares of what the stage before left are multiplied instead.

    Examples
    --------
    >>> total_share(np.array([0.25, 0.5]))
    0.75
    """
    guard.fraction("share", shares)
    total = math.fsum(np.ravel(shares))
    guard.fraction("total_share", total)
    return total


def mean_share(shares: Ratio) -> Ratio:
    """Mean loss of several fields, each counted alike.

    A survey's figure; a large field weighs no more in it than a small one.

    Parameters
    ----------
    shares : [1] loss of each field

    Returns
    -------
    [1] their mean

    Raises
    ------
    OutOfRange : when a share is no fraction

    Notes
    -----
    ``Σ Lᵢ/n`` [canola-digest-1305] [mass-balance].

    Examples
    --------
    >>> mean_share(np.array([0.25, 0.75]))
    0.5
    """
    guard.fraction("share", shares)
    return float(np.mean(shares))


def left_share(loss_share: Ratio, reductions: Ratio) -> Ratio:
    """Loss that is left when several fittings each take away a share of it.

    The second fitting can only save what the first one left.

    Parameters
    ----------
    loss_share : [1] loss without any of them
    reductions : [1] share of the loss that each fitting takes away by itself

    Returns
    -------
    [1] loss left with all of them

    Raises
    ------
    OutOfRange : when the loss or a reduction is no fraction

    Notes
    -----
    ``L Π(1 − rᵢ)``, as if no fitting knew of the other [mass-balance]; three on a
    chickpea header saved somewhat more together [siemens-2006].

    Examples
    --------
    >>> left_share(0.5, np.array([0.5, 0.25]))
    0.1875
    """
    guard.fraction("loss_share", loss_share)
    guard.fraction("reduction", reductions)
    return loss_share * float(np.prod(1.0 - np.asarray(reductions)))


def lost_mass(
    loss_share: Ratio, crop_yield: KilogramPerSquareMetre
) -> KilogramPerSquareMetre:
    """Grain that a share of the crop comes to, per field area.

    Per cent say little; bushels or kilograms left on every acre or hectare say more.

    Parameters
    ----------
    loss_share : [1] share of the standing crop lost
    crop_yield : [kg/m^2] grain per field area before the loss

    Returns
    -------
    [kg/m^2] grain lost

    Raises
    ------
    OutOfRange : when the share is no fraction, or the yield is negative

    Notes
    -----
    ``L Y`` [arkansas-fsa1048] [mass-balance].

    Examples
    --------
    >>> lost_mass(0.25, 0.5)
    0.125
    """
    guard.fraction("loss_share", loss_share)
    guard.not_negative("crop_yield", crop_yield)
    return loss_share * crop_yield


def crop_yield_for(
    lost: KilogramPerSquareMetre, loss_share: Ratio
) -> KilogramPerSquareMetre:
    """Yield that a loss told both as grain and as a share takes for granted.

    A check on a report: does the yield that it implies fit the field?

    Parameters
    ----------
    lost : [kg/m^2] grain lost per field area
    loss_share : [1] the same as a share of the crop

    Returns
    -------
    [kg/m^2] grain per field area before the loss

    Raises
    ------
    OutOfRange : when the loss is negative, or the share is no fraction above zero

    Notes
    -----
    ``l/L``, the inverse of ``lost_mass`` [pami-2019-canola] [mass-balance].

    Examples
    --------
    >>> crop_yield_for(0.125, 0.25)
    0.5
    """
    guard.not_negative("lost", lost)
    guard.positive("loss_share", loss_share)
    guard.fraction("loss_share", loss_share)
    return lost / loss_share


def saved_mass(
    crop_yield: KilogramPerSquareMetre, share_before: Ratio, share_after: Ratio
) -> KilogramPerSquareMetre:
    """Grain that a smaller loss saves, per field area.

    What an hour of setting the header is worth in grain.

    Parameters
    ----------
    crop_yield : [kg/m^2] grain per field area before any loss
    share_before : [1] share lost before the change
    share_after : [1] share lost after it

    Returns
    -------
    [kg/m^2] grain saved

    Raises
    ------
    OutOfRange : when the yield is negative, a share is no fraction, or more is lost
        after than before

    Notes
    -----
    ``Y (L₁ − L₂)`` [msu-2012-attention] [mass-balance].

    Examples
    --------
    >>> saved_mass(0.5, 0.75, 0.25)
    0.25
    """
    guard.not_negative("crop_yield", crop_yield)
    guard.fraction("share_before", share_before)
    guard.fraction("share_after", share_after)
    guard.at_least("share_before", share_before, share_after)
    return crop_yield * (share_before - share_after)


def relative_change(before: Number, after: Number) -> Ratio:
    """Change of a figure as a share of what it was; below 0 it fell.

    Tells a small step from a large one whatever is measured.

    Parameters
    ----------
    before : figure before the change, in any unit
    after : figure after it, in the same unit

    Returns
    -------
    [1] change over the figure before

    Raises
    ------
    OutOfRange : when the first figure is not above zero, or the second is negative

    Notes
    -----
    ``(b − a)/a``, a definition [mass-balance].

    Examples
    --------
    >>> relative_change(4.0, 1.0)
    -0.75
    """
    guard.positive("before", before)
    guard.not_negative("after", after)
    return (after - before) / before


def times_less(before: Number, after: Number) -> Ratio:
    """How many times a figure was larger before than after.

    The way trials like to tell an improvement.

    Parameters
    ----------
    before : figure before the change, in any unit
    after : figure after it, in the same unit

    Returns
    -------
    [1] figure before over figure after

    Raises
    ------
    OutOfRange : when the first figure is negative, or the second is not above zero

    Notes
    -----
    ``a/b``, a definition [mass-balance].

    Examples
    --------
    >>> times_less(4.0, 0.5)
    8.0
    """
    guard.not_negative("before", before)
    guard.positive("after", after)
    return before / after
