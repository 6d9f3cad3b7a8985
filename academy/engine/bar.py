"""How near to the ground the cutterbar really runs, and how often it digs in."""

import numpy as np
from scipy.special import ndtr

from academy.engine import guard
from academy.engine.si import (
    KilogramPerMetre,
    Metre,
    MetrePerSecond,
    NewtonPerMetre,
    PerMetre,
    Radian,
    Ratio,
)

_ROOT_TWO_PI = float(np.sqrt(2.0 * np.pi))


def flexed_gap(rigid_gap: Metre, travel: Metre) -> Metre:
    """Gap left under a bar that follows the ground as far as its travel lets it.

    A rigid bar bridges every hollow; a flexing one only those deeper than it can reach.

    Parameters
    ----------
    rigid_gap : [m] rms gap that a rigid bar would leave
    travel : [m] full travel of the bar, half of it up and half down; 0 for a rigid bar

    Returns
    -------
    [m] rms gap left

    Raises
    ------
    OutOfRange : when the gap is not above zero, or the travel is negative

    Notes
    -----
    A normal gap of spread ``g`` is taken up to ``t/2``; what is left has the mean
    square ``2g² [(1 + ζ²) Φ(−ζ) − ζ φ(ζ)]``, ``ζ = t/(2g)`` [kinematics]. Without
    travel it is ``g``.

    Examples
    --------
    >>> round(float(flexed_gap(0.02, 0.0)), 4)
    0.02
    """
    guard.positive("rigid_gap", rigid_gap)
    guard.not_negative("travel", travel)
    reach = travel / (2.0 * rigid_gap)
    density = np.exp(-0.5 * reach * reach) / _ROOT_TWO_PI
    left = (1.0 + reach * reach) * ndtr(-reach) - reach * density
    gap: Metre = rigid_gap * np.sqrt(2.0 * np.maximum(left, 0.0))
    return gap


def digging_share(cut_height: Metre, digging_height: Metre, spread: Metre) -> Ratio:
    """Share of the way on which the bar digs into the ground.

    The lower the bar is set and the rougher the ground, the more soil and stones come
    in with the crop.

    Parameters
    ----------
    cut_height : [m] height of the knife that is set
    digging_height : [m] setting at which half the way is dug, on any ground
    spread : [m] standard deviation of the true height about the setting

    Returns
    -------
    [1] share of the way, from 0 to 1

    Raises
    ------
    OutOfRange : when a height is negative, or the spread is not above zero

    Notes
    -----
    ``Φ(−(h − h₀)/σ)`` for a normal true height [judgement].

    Examples
    --------
    >>> float(digging_share(0.03, 0.03, 0.01))
    0.5
    """
    guard.not_negative("cut_height", cut_height)
    guard.not_negative("digging_height", digging_height)
    guard.positive("spread", spread)
    share: Ratio = ndtr((digging_height - cut_height) / spread)
    return share


def least_ground_force(
    float_force: NewtonPerMetre,
    bar_mass: KilogramPerMetre,
    amplitude: Metre,
    wavenumber: PerMetre,
    ground_speed: MetrePerSecond,
) -> NewtonPerMetre:
    """Force of the bar on the ground where a wave throws it up most.

    Below zero the bar leaves the ground: a light float and a fast machine bounce.

    Parameters
    ----------
    float_force : [N/m] force of the resting bar on the ground per width
    bar_mass : [kg/m] mass per width that must follow the ground
    amplitude : [m] half the height of the waves, crest to trough
    wavenumber : [1/m] waves per metre of travel
    ground_speed : [m/s] speed of the machine over the ground

    Returns
    -------
    [N/m] least force per width

    Raises
    ------
    OutOfRange : when a force, mass, length or speed is negative

    Notes
    -----
    ``F − m A (2πnv)²`` [kinematics]; zero at ``ground.contact_loss_speed``.

    Examples
    --------
    >>> least_ground_force(200.0, 30.0, 0.01, 0.5, 0.0)
    200.0
    """
    guard.not_negative("float_force", float_force)
    guard.not_negative("bar_mass", bar_mass)
    guard.not_negative("amplitude", amplitude)
    guard.not_negative("wavenumber", wavenumber)
    guard.not_negative("ground_speed", ground_speed)
    pulse = 2.0 * np.pi * wavenumber * ground_speed
    return float_force - bar_mass * amplitude * pulse * pulse


def knife_height(shoe_height: Metre, header_angle: Radian, knife_lead: Metre) -> Metre:
    """Height of the knife over level ground, from shoes and header angle.

    Shoes down raise the knife; a steeper header brings it down, since it lies ahead of
    the shoes.

    Parameters
    ----------
    shoe_height : [m] height of the knife over the shoes' sole with the header level
    header_angle : [rad] how far the knife points down
    knife_lead : [m] from the shoes forward to the knife

    Returns
    -------
    [m] height of the knife

    Raises
    ------
    OutOfRange : when a length is negative, or the angle no number

    Notes
    -----
    ``s − l tan α`` [kinematics].

    Examples
    --------
    >>> round(float(knife_height(0.05, 0.05236, 0.2)), 4)
    0.0395
    """
    guard.not_negative("shoe_height", shoe_height)
    guard.finite("header_angle", header_angle)
    guard.not_negative("knife_lead", knife_lead)
    height: Metre = shoe_height - knife_lead * np.tan(header_angle)
    return height


def weight_left(float_force: NewtonPerMetre, half_free_weight: Ratio) -> NewtonPerMetre:
    """Force of a bar on the ground once half its travel is taken from it.

    Half-free travel gives up reach: the frame takes back part of the weight, which
    helps on soft ground.

    Parameters
    ----------
    float_force : [N/m] force of the free bar on the ground
    half_free_weight : [1] share of the weight that the frame takes back

    Returns
    -------
    [N/m] force left

    Raises
    ------
    OutOfRange : when the force is negative, or the share no fraction

    Notes
    -----
    ``F (1 − s)`` [judgement].

    Examples
    --------
    >>> weight_left(200.0, 0.25)
    150.0
    """
    guard.not_negative("float_force", float_force)
    guard.fraction("half_free_weight", half_free_weight)
    return float_force * (1.0 - half_free_weight)
