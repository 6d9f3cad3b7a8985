"""From kernels on the ground to mass per area and share of the yield."""

import math

import numpy as np

from academy.engine import guard
from academy.engine.si import (
    Count,
    Kilogram,
    KilogramPerSquareMetre,
    Metre,
    Ratio,
    SquareMetre,
)


def count_to_mass_per_area(
    count: Count, area: SquareMetre, kernel_mass: Kilogram
) -> KilogramPerSquareMetre:
    """Mass of grain on the ground per area, from kernels counted in a frame.

    Kernels are easy to count and mean nothing until they are a weight per area.

    Parameters
    ----------
    count : [1] kernels counted, or their mean over several frames
    area : [m^2] area of the frame
    kernel_mass : [kg] mass of one kernel

    Returns
    -------
    [kg/m^2] grain on the ground

    Raises
    ------
    OutOfRange : when the count is negative, or area or kernel mass is not above zero

    Notes
    -----
    ``N m/A`` [mass-balance]. Rules of so many kernels per square foot to the bushel per
    acre are this with a fixed kernel mass [staton-2012] [smallgrains-2003].

    Examples
    --------
    >>> round(count_to_mass_per_area(100.0, 0.5, 0.00015), 4)
    0.03
    """
    guard.not_negative("count", count)
    guard.positive("area", area)
    guard.positive("kernel_mass", kernel_mass)
    return count * kernel_mass / area


def count_for(
    mass_per_area: KilogramPerSquareMetre, area: SquareMetre, kernel_mass: Kilogram
) -> Count:
    """Kernels to find in a frame at a stated loss.

    Tells before kneeling down how many kernels would still be good.

    Parameters
    ----------
    mass_per_area : [kg/m^2] grain on the ground
    area : [m^2] area of the frame
    kernel_mass : [kg] mass of one kernel

    Returns
    -------
    [1] kernels in the frame

    Raises
    ------
    OutOfRange : when the mass is negative, or area or kernel mass is not above zero

    Notes
    -----
    ``w A/m``, the inverse of ``count_to_mass_per_area`` [mass-balance] [dpird-2018].

    Examples
    --------
    >>> round(count_for(0.03, 0.5, 0.00015), 6)
    100.0
    """
    guard.not_negative("mass_per_area", mass_per_area)
    guard.positive("area", area)
    guard.positive("kernel_mass", kernel_mass)
    return mass_per_area * area / kernel_mass


def concentration_factor(cut_width: Metre, discharge_width: Metre) -> Ratio:
    """Times that the machine heaps the loss of its full width behind itself.

    Counts behind the machine look terrible until they are divided by this.

    Parameters
    ----------
    cut_width : [m] width of crop cut
    discharge_width : [m] width over which the residue falls

    Returns
    -------
    [1] concentration factor

    Raises
    ------
    OutOfRange : when a width is not above zero

    Notes
    -----
    ``W/W_d`` [grainews]; 1 when residue is spread over the full width [mass-balance].

    Examples
    --------
    >>> concentration_factor(9.0, 1.5)
    6.0
    """
    guard.positive("cut_width", cut_width)
    guard.positive("discharge_width", discharge_width)
    return cut_width / discharge_width


def header_loss(
    under_machine: KilogramPerSquareMetre, preharvest: KilogramPerSquareMetre
) -> KilogramPerSquareMetre:
    """Grain the header lost, from counts under the machine and in standing crop.

    What the setting of the header is to blame for; grain that had fallen before is not.

    Parameters
    ----------
    under_machine : [kg/m^2] grain where the header passed and no residue fell
    preharvest : [kg/m^2] grain on the ground in the standing crop

    Returns
    -------
    [kg/m^2] header loss

    Raises
    ------
    OutOfRange : when a mass is negative, or less lies under the machine than before it

    Notes
    -----
    ``B − C`` [staton-2012] [missouri-g1280].

    Examples
    --------
    >>> header_loss(0.75, 0.25)
    0.5
    """
    guard.not_negative("preharvest", preharvest)
    guard.at_least("under_machine", under_machine, preharvest)
    return under_machine - preharvest


def machine_loss(
    behind_machine: KilogramPerSquareMetre,
    under_machine: KilogramPerSquareMetre,
    concentration_factor: Ratio,
) -> KilogramPerSquareMetre:
    """Grain that threshing, separation and cleaning lost, per area of the full cut.

    What lies in the windrow is gathered from the full width; spread it back out before
    judging it.

    Parameters
    ----------
    behind_machine : [kg/m^2] grain found where the residue fell
    under_machine : [kg/m^2] grain where the header passed and no residue fell
    concentration_factor : [1] cut width over discharge width

    Returns
    -------
    [kg/m^2] machine loss

    Raises
    ------
    OutOfRange : when a mass is negative, less lies behind than under the machine, or
        the factor is not above zero

    Notes
    -----
    ``(A − B)/CF`` [smallgrains-2003] [grainews].

    Examples
    --------
    >>> machine_loss(3.5, 0.5, 6.0)
    0.5
    """
    guard.not_negative("under_machine", under_machine)
    guard.at_least("behind_machine", behind_machine, under_machine)
    guard.positive("concentration_factor", concentration_factor)
    return (behind_machine - under_machine) / concentration_factor


def pan_loss(
    mass: Kilogram, pan_area: SquareMetre, concentration_factor: Ratio
) -> KilogramPerSquareMetre:
    """Machine loss per area of the full cut, from grain weighed in a dropped pan.

    The pan is dropped from the machine; nobody stands where residue falls.

    Parameters
    ----------
    mass : [kg] clean grain caught in the pan
    pan_area : [m^2] area of the pan
    concentration_factor : [1] cut width over discharge width

    Returns
    -------
    [kg/m^2] machine loss

    Raises
    ------
    OutOfRange : when the mass is negative, or area or factor is not above zero

    Notes
    -----
    ``m/(A CF)`` [grainews] [mass-balance].

    Examples
    --------
    >>> round(pan_loss(0.003, 0.1, 6.0), 4)
    0.005
    """
    guard.not_negative("mass", mass)
    guard.positive("pan_area", pan_area)
    guard.positive("concentration_factor", concentration_factor)
    return mass / pan_area / concentration_factor


def loss_share(
    lost: KilogramPerSquareMetre, harvested: KilogramPerSquareMetre
) -> Ratio:
    """Share of the whole crop that was lost.

    The one figure that lets good and poor fields be compared.

    Parameters
    ----------
    lost : [kg/m^2] grain lost per field area
    harvested : [kg/m^2] grain harvested per field area

    Returns
    -------
    [1] share lost

    Raises
    ------
    OutOfRange : when a mass is negative, or there was no crop at all

    Notes
    -----
    ``lost/(harvested + lost)`` [canola-digest-1305] [smallgrains-2003]. Some worksheets
    divide by the harvested yield alone; the answer is then a little larger.

    Examples
    --------
    >>> loss_share(0.25, 0.75)
    0.25
    """
    guard.not_negative("lost", lost)
    guard.not_negative("harvested", harvested)
    guard.positive("crop", lost + harvested)
    return lost / (harvested + lost)


def hoop_area(diameter: Metre) -> SquareMetre:
    """Area inside a round hoop thrown on the ground.

    A hoop is quick to throw; its count means nothing without its area.

    Parameters
    ----------
    diameter : [m] inside diameter of the hoop

    Returns
    -------
    [m^2] area enclosed

    Raises
    ------
    OutOfRange : when the diameter is not above zero

    Notes
    -----
    ``π D²/4`` [burbrink-2021] [kinematics].

    Examples
    --------
    >>> round(hoop_area(0.635), 4)
    0.3167
    """
    guard.positive("diameter", diameter)
    return math.pi / 4.0 * diameter * diameter


def frame_depth(area: SquareMetre, width: Metre) -> Metre:
    """Length along the rows of a frame as wide as the cut that encloses an area.

    A frame as wide as the cut catches heavy and light places alike.

    Parameters
    ----------
    area : [m^2] area to enclose
    width : [m] width of crop cut

    Returns
    -------
    [m] length of the frame along the direction of travel

    Raises
    ------
    OutOfRange : when area or width is not above zero

    Notes
    -----
    ``A/W`` [missouri-g1280] [kinematics].

    Examples
    --------
    >>> frame_depth(1.0, 8.0)
    0.125
    """
    guard.positive("area", area)
    guard.positive("width", width)
    return area / width


def mean_count(counts: Count) -> Count:
    """Mean of the counts from several frames.

    One frame tells little; grain lies in patches.

    Parameters
    ----------
    counts : [1] kernels in each frame

    Returns
    -------
    [1] mean over the frames

    Raises
    ------
    OutOfRange : when a count is negative

    Notes
    -----
    At least four frames, spread over the width [missouri-g1280] [nebraska-2010].

    Examples
    --------
    >>> float(mean_count(np.array([10.0, 9.0, 11.0, 11.0])))
    10.25
    """
    guard.not_negative("counts", counts)
    return float(np.mean(counts))
