"""The feed drum: whether the mat passes, how often it does not, whether stems wrap."""

import math

from academy.engine import guard
from academy.engine.si import Metre, PerSquareMetre, Ratio


def slugging_index(mat_depth: Metre, compression: Ratio, feed_gap: Metre) -> Ratio:
    """Depth of the squeezed mat over the gap it must pass.

    Below 1 the mat slides under the drum; above 1 it waits, gathers and goes in slugs.

    Parameters
    ----------
    mat_depth : [m] depth of the loose mat at the hand-over
    compression : [1] loose depth over depth under the drum
    feed_gap : [m] gap between drum and floor

    Returns
    -------
    [1] slugging index

    Raises
    ------
    OutOfRange : when the depth is negative, or another input is not above zero

    Notes
    -----
    ``s = δ/(κ g)`` [judgement]: no figure is published, only that slugs hinder feeding.

    Examples
    --------
    >>> round(slugging_index(0.2, 4.0, 0.05), 6)
    1.0
    """
    guard.not_negative("mat_depth", mat_depth)
    guard.positive("compression", compression)
    guard.positive("feed_gap", feed_gap)
    return mat_depth / (compression * feed_gap)


def stoppages_per_area(
    slugging_index: Ratio, rate_at_one: PerSquareMetre, steepness: Ratio
) -> PerSquareMetre:
    """Plug-ups to expect per field area.

    Rare while the mat passes freely, quickly more once it does not.

    Parameters
    ----------
    slugging_index : [1] depth of the squeezed mat over the gap
    rate_at_one : [1/m^2] stoppages per field area at index 1
    steepness : [1] power with which they grow with the index

    Returns
    -------
    [1/m^2] expected stoppages per field area

    Raises
    ------
    OutOfRange : when index or rate is negative, or the steepness is not above zero

    Notes
    -----
    ``r₁ s^k``: the simplest form that is 0 without a mat and rises with it [judgement].

    Examples
    --------
    >>> stoppages_per_area(0.5, 0.001, 2.0)
    0.00025
    """
    guard.not_negative("slugging_index", slugging_index)
    guard.not_negative("rate_at_one", rate_at_one)
    guard.positive("steepness", steepness)
    rate: PerSquareMetre = rate_at_one * slugging_index**steepness
    return rate


def wrap_turns(stem_length: Metre, drum_diameter: Metre) -> Ratio:
    """Turns of a round part that a stem can go round.

    A stem shorter than one turn cannot hold on to itself; a longer one can wrap.

    Parameters
    ----------
    stem_length : [m] length of the cut stem
    drum_diameter : [m] diameter of the drum, reel tube or roller

    Returns
    -------
    [1] turns

    Raises
    ------
    OutOfRange : when the length is negative, or the diameter is not above zero

    Notes
    -----
    ``L/(πd)`` [kinematics]. Above 1 is necessary for wrapping, not sufficient.

    Examples
    --------
    >>> round(wrap_turns(0.942478, 0.3), 3)
    1.0
    """
    guard.not_negative("stem_length", stem_length)
    guard.positive("drum_diameter", drum_diameter)
    return stem_length / (math.pi * drum_diameter)
