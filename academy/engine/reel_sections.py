"""A reel whose arms stand out of step: where its axle is over the width.

A reel in several parts hangs on an arm at each end and on arms between its parts. When
oil has leaked past a cylinder, one arm stands higher or lower than the others, and the
parts beside it slope.
"""

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from academy.engine import across, guard, reel, reel_path
from academy.engine.conditions import Machine, Settings
from academy.engine.readings import Flags
from academy.engine.si import Count, Metre, Ratio


@dataclass(frozen=True, slots=True, kw_only=True)
class ReelSectionsState:
    """How far each arm holds the axle above the height that is set."""

    left_arm: Metre
    centre_arm: Metre  # of every arm between parts; a reel in one part has none
    right_arm: Metre


@dataclass(frozen=True, slots=True, kw_only=True)
class ReelSectionsCoefficients:
    """What is believed of a reel out of step."""

    seen_out_of_step: Metre  # difference between arms that shows from the seat


class ReelSectionsEffect(NamedTuple):
    """What an uneven reel changes, and what one reads of it.

    ``reel_height_add`` and ``finger_gap`` lie over the places, along the last axis.
    """

    reel_height_add: Metre  # to the reel height, by place
    finger_gap: Metre  # tine tips over the bar in its raised position, by place
    least_finger_gap: Metre  # anywhere over the width
    too_near: Ratio  # share of the width where the gap is under the least allowed
    step: Metre  # highest arm over the lowest
    out_of_step: Flags  # whether that shows from the seat
    loop_cover: Ratio
    violations: dict[str, Flags]


def end_share(place: Ratio, reel_parts: Count) -> Ratio:
    """Share of the left arm in the height of the axle at a place.

    All of it at the left end, nothing from the first arm between parts on; for the
    right arm take the place on the other side of the middle.

    Parameters
    ----------
    place : [1] distance from the middle over the width, from −½ to ½
    reel_parts : [1] equal parts of the reel

    Returns
    -------
    [1] share, from 0 to 1

    Raises
    ------
    OutOfRange : when the place lies beyond an end, or there is no part

    Notes
    -----
    ``max(0, 1 − n (x + ½))``: each part is straight between its two arms [kinematics].

    Examples
    --------
    >>> [float(end_share(x, 3)) for x in (-0.5, -0.25, 0.0)]
    [1.0, 0.25, 0.0]
    """
    across.inside(place)
    guard.at_least("reel_parts", reel_parts, 1.0)
    share: Ratio = np.maximum(1.0 - reel_parts * (place + 0.5), 0.0)
    return share


def arm_offset(
    place: Ratio,
    left_arm: Metre,
    centre_arm: Metre,
    right_arm: Metre,
    reel_parts: Count,
) -> Metre:
    """Height of the axle at a place over the height that is set.

    In each outer part it changes in a straight line from the end to the first arm
    between parts; a reel in one part has no such arm and only sinks or tilts whole.

    Parameters
    ----------
    place : [1] distance from the middle over the width, from −½ to ½
    left_arm : [m] left end arm above the height that is set
    centre_arm : [m] arms between parts above the height that is set
    right_arm : [m] right end arm above the height that is set
    reel_parts : [1] equal parts of the reel

    Returns
    -------
    [m] height, negative below what is set

    Raises
    ------
    OutOfRange : when an arm's height is no number, the place lies beyond an end, or
        there is no part

    Notes
    -----
    ``s_l L + s_r R + (1 − s_l − s_r) C`` with ``end_share`` for the ends; in one part
    the last term vanishes [kinematics].

    Examples
    --------
    >>> float(arm_offset(-0.5, 0.0, 0.06, 0.0, 3)), float(arm_offset(0, 0, 0.06, 0, 3))
    (0.0, 0.06)
    >>> float(arm_offset(0.25, 0.04, 9.0, 0.0, 1))
    0.01
    """
    guard.finite("left_arm", left_arm)
    guard.finite("centre_arm", centre_arm)
    guard.finite("right_arm", right_arm)
    left = end_share(place, reel_parts)
    right = end_share(np.negative(place), reel_parts)
    return left * left_arm + right * right_arm + (1.0 - left - right) * centre_arm


def mean_offset(
    left_arm: Metre, centre_arm: Metre, right_arm: Metre, reel_parts: Count
) -> Metre:
    """Height of the axle over the height that is set, on average over the width.

    Parameters
    ----------
    left_arm : [m] left end arm above the height that is set
    centre_arm : [m] arms between parts above the height that is set
    right_arm : [m] right end arm above the height that is set
    reel_parts : [1] equal parts of the reel

    Returns
    -------
    [m] mean height, negative below what is set

    Raises
    ------
    OutOfRange : when an arm's height is no number, or there is no part

    Notes
    -----
    ``[(L + R)/2 + (n − 1) C]/n``, the mean of ``arm_offset`` [kinematics].

    Examples
    --------
    >>> round(mean_offset(0.0, 0.06, 0.0, 3), 4)
    0.04
    """
    guard.finite("left_arm", left_arm)
    guard.finite("centre_arm", centre_arm)
    guard.finite("right_arm", right_arm)
    guard.at_least("reel_parts", reel_parts, 1.0)
    return ((left_arm + right_arm) / 2 + (reel_parts - 1.0) * centre_arm) / reel_parts


def finger_gap(reel_height: Metre, tip_radius: Metre, bar_rise: Metre) -> Metre:
    """Gap between the tine tips and the bar in its raised position.

    Measured with the bar up: a gap seen with the bar down closes on the first mound.

    Parameters
    ----------
    reel_height : [m] axle over the knife with the bar down
    tip_radius : [m] distance from the reel's axle to the tine tips
    bar_rise : [m] how far the bar can come up

    Returns
    -------
    [m] gap, negative where the tines reach the knife

    Raises
    ------
    OutOfRange : when the height is no number, the radius not above zero, or the rise
        negative

    Notes
    -----
    ``H − R − u`` [kinematics]; at least 2 in are asked for [iowa-hanna].

    Examples
    --------
    >>> round(finger_gap(1.2, 0.5, 0.15), 3)
    0.55
    """
    guard.finite("reel_height", reel_height)
    guard.positive("tip_radius", tip_radius)
    guard.not_negative("bar_rise", bar_rise)
    return reel_height - tip_radius - bar_rise


def lowest_arm(
    left_arm: Metre, centre_arm: Metre, right_arm: Metre, reel_parts: Count
) -> Metre:
    """Height of the lowest arm of the reel over the height that is set.

    Between arms the axle is straight, so no place of the width is lower.

    Parameters
    ----------
    left_arm : [m] left end arm above the height that is set
    centre_arm : [m] arms between parts above the height that is set
    right_arm : [m] right end arm above the height that is set
    reel_parts : [1] equal parts of the reel

    Returns
    -------
    [m] height, negative below what is set

    Raises
    ------
    OutOfRange : when an arm's height is no number, or there is no part

    Notes
    -----
    The least over the arms that there are: a reel in one part has only its end arms
    [kinematics].

    Examples
    --------
    >>> float(lowest_arm(0.0, -0.06, 0.01, 3)), float(lowest_arm(0.0, -0.06, 0.01, 1))
    (-0.06, 0.0)
    """
    guard.finite("left_arm", left_arm)
    guard.finite("centre_arm", centre_arm)
    guard.finite("right_arm", right_arm)
    guard.at_least("reel_parts", reel_parts, 1.0)
    ends = np.minimum(left_arm, right_arm)
    between: Metre = np.where(np.asarray(reel_parts) > 1.0, centre_arm, ends)
    lowest: Metre = np.minimum(ends, between)
    return lowest


def arm_step(
    left_arm: Metre, centre_arm: Metre, right_arm: Metre, reel_parts: Count
) -> Metre:
    """Height of the highest arm of the reel over its lowest.

    Parameters
    ----------
    left_arm : [m] left end arm above the height that is set
    centre_arm : [m] arms between parts above the height that is set
    right_arm : [m] right end arm above the height that is set
    reel_parts : [1] equal parts of the reel

    Returns
    -------
    [m] difference, 0 for a reel in step

    Raises
    ------
    OutOfRange : when an arm's height is no number, or there is no part

    Notes
    -----
    ``max − min`` over the arms that there are [kinematics]: in step means alike, not
    right; a reel that is too low all over is in step.

    Examples
    --------
    >>> [round(float(arm_step(0.0, 0.06, 0.01, parts)), 3) for parts in (3, 1)]
    [0.06, 0.01]
    """
    left, centre, right = (np.negative(a) for a in (left_arm, centre_arm, right_arm))
    highest = np.negative(lowest_arm(left, centre, right, reel_parts))
    step: Metre = highest - lowest_arm(left_arm, centre_arm, right_arm, reel_parts)
    return step


def rephased(state: ReelSectionsState) -> ReelSectionsState:
    """The reel after its sections are put back in step: every arm where it is set."""
    return replace(state, left_arm=0.0, centre_arm=0.0, right_arm=0.0)


def reel_sections_effect(
    *,
    machine: Machine,
    settings: Settings,
    state: ReelSectionsState,
    c: ReelSectionsCoefficients,
    reel_parts: Count,
    places: Ratio,
) -> ReelSectionsEffect:
    """What a reel out of step changes over the places, and what one reads of it.

    Raises OutOfRange when an input lies where it cannot be.
    """
    guard.positive("seen_out_of_step", c.seen_out_of_step)
    arms = (state.left_arm, state.centre_arm, state.right_arm)
    left, centre, right = (across.spread_out(arm) for arm in arms)
    add = arm_offset(places, left, centre, right, reel_parts)
    height = across.spread_out(settings.reel_height) + add
    rise, radius = machine.bar_rise, machine.reel_tip_radius
    gap = finger_gap(height, radius, rise)
    lowest = settings.reel_height + lowest_arm(*arms, reel_parts)
    least = finger_gap(lowest, radius, rise)
    index = reel.reel_index(radius, settings.reel_rate, settings.ground_speed)
    step = arm_step(*arms, reel_parts)
    return ReelSectionsEffect(
        reel_height_add=add,
        finger_gap=gap,
        least_finger_gap=least,
        too_near=np.mean(gap < machine.least_finger_gap, axis=-1),
        step=step,
        out_of_step=step > c.seen_out_of_step,
        loop_cover=reel_path.loop_cover(index, machine.reel_bats),
        violations={"fingers_too_near": least < machine.least_finger_gap},
    )
