"""Edges of the knife: serration, pulling instead of cutting, old stalks dragged."""

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from academy.engine import guard
from academy.engine.si import KilogramPerSquareMetre, Metre, MetrePerSecond, Ratio

# Which way a serration leans: coarse gains with thick stems, fine with thin ones.
LEANS: Mapping[str, float] = MappingProxyType(
    {"middle": 0.0, "coarse": 1.0, "fine": -1.0}
)


def serration_factor(
    leaning: Ratio, thickness: Metre, gain: Ratio, even_thickness: Metre, width: Metre
) -> Ratio:
    """Work of cutting against an edge of middle serration.

    Coarse serration suits thick woody stems, fine serration small ones; more than the
    direction is not known.

    Parameters
    ----------
    leaning : [1] 1 coarse, 0 middle, −1 fine
    thickness : [m] thickness of a stem at the cut
    gain : [1] the most that serration spares or costs
    even_thickness : [m] thickness at which all serrations are alike
    width : [m] how far from it half and more of the gain is reached

    Returns
    -------
    [1] factor on work and loss; below 1 where the serration suits

    Raises
    ------
    OutOfRange : when thickness or width is not above zero, or the gain is no fraction

    Notes
    -----
    ``1 − l g tanh((d − d₀)/w)`` [judgement]; the direction is practice
    [common-practice].

    Examples
    --------
    >>> round(float(serration_factor(1.0, 0.009, 0.05, 0.005, 0.002)), 3)
    0.952
    """
    guard.finite("leaning", leaning)
    guard.positive("stem_thickness", thickness)
    guard.fraction("serration_gain", gain)
    guard.not_negative("serration_thickness", even_thickness)
    guard.positive("serration_width", width)
    factor: Ratio = 1.0 - leaning * gain * np.tanh((thickness - even_thickness) / width)
    return factor


def edge_force(wear: Ratio, dull_force: Ratio) -> Ratio:
    """Force that an edge needs against a sharp one.

    What a dull knife does not shear it tears, and the drive feels it.

    Parameters
    ----------
    wear : [1] wear of the edge, from 0 to 1
    dull_force : [1] force that a worn-out edge needs, against a sharp one

    Returns
    -------
    [1] factor on the force and the work of cutting

    Raises
    ------
    OutOfRange : when wear is no fraction, or the dull force is below 1

    Notes
    -----
    Straight from 1 to the dull force, 1 to 2 [judgement].

    Examples
    --------
    >>> round(float(edge_force(0.5, 1.7)), 2)
    1.35
    """
    guard.fraction("wear", wear)
    guard.at_least("dull_force", dull_force, 1.0)
    return 1.0 + wear * (dull_force - 1.0)


def pulled_share(
    force: Ratio,
    knife_speed: MetrePerSecond,
    least_speed: MetrePerSecond,
    toughness: Ratio,
    pull_rate: Ratio,
    pull_tough: Ratio,
) -> Ratio:
    """Share of stems that are pulled and torn instead of cut.

    Dull or slow knives jerk the plant: pods fall before it is in, and stubs are ragged.

    Parameters
    ----------
    force : [1] force that the edge needs against a sharp one
    knife_speed : [m/s] mean speed of the knife
    least_speed : [m/s] speed below which it pushes stems over
    toughness : [1] how tough the stems are, from 0 to 1
    pull_rate : [1] brittle stems pulled by an edge that needs twice the force
    pull_tough : [1] how much more readily tough stems are pulled

    Returns
    -------
    [1] share of stems pulled

    Raises
    ------
    OutOfRange : when the force is below 1, a speed is not above zero, toughness is no
        fraction, or a rate is negative

    Notes
    -----
    ``1 − exp(−r b (1 + t T))`` with ``b = (F − 1) + max(v₀/v − 1, 0)`` [judgement].
    That stems are pulled and pods stripped when the knife is outrun is published
    [iowa-hanna]; how many is not.

    Examples
    --------
    >>> round(float(pulled_share(2.0, 1.4, 1.2, 0.0, 0.15, 1.0)), 3)
    0.139
    """
    guard.at_least("force", force, 1.0)
    guard.positive("knife_speed", knife_speed)
    guard.positive("least_knife_speed", least_speed)
    guard.fraction("toughness", toughness)
    guard.not_negative("pull_rate", pull_rate)
    guard.not_negative("pull_tough", pull_tough)
    blunt = force - 1.0 + np.maximum(least_speed / knife_speed - 1.0, 0.0)
    share: Ratio = -np.expm1(-pull_rate * blunt * (1.0 + pull_tough * toughness))
    return share


def drag_tendency(
    residue: KilogramPerSquareMetre,
    cut_height: Metre,
    relief: Ratio,
    drag_residue: KilogramPerSquareMetre,
    drag_height: Metre,
) -> Ratio:
    """How much the knife drags old stalks along instead of letting them pass.

    Low over much old crop it gathers a bundle that pushes the new crop down. Long and
    short sections in turn let old stalks go deeper before the cut, and gather less.

    Parameters
    ----------
    residue : [kg/m^2] old stalks of the crop before
    cut_height : [m] height of the knife over the ground
    relief : [1] share of the dragging that the kind of knife spares
    drag_residue : [kg/m^2] old stalks with which nearly two thirds of a low knife drag
    drag_height : [m] height at which little more than a third is left of it

    Returns
    -------
    [1] tendency, from 0 to 1

    Raises
    ------
    OutOfRange : when residue or height is negative, relief is no fraction, or a scale
        is not above zero

    Notes
    -----
    ``(1 − r)(1 − exp(−m/m₀)) exp(−h/h₀)`` [judgement]; the direction is practice
    [common-practice].

    Examples
    --------
    >>> round(float(drag_tendency(0.3, 0.0, 0.5, 0.3, 0.08)), 3)
    0.316
    """
    guard.not_negative("residue", residue)
    guard.not_negative("cut_height", cut_height)
    guard.fraction("alternating_relief", relief)
    guard.positive("drag_residue", drag_residue)
    guard.positive("drag_height", drag_height)
    lying = -np.expm1(-residue / drag_residue)
    tendency: Ratio = (1.0 - relief) * lying * np.exp(-cut_height / drag_height)
    return tendency
