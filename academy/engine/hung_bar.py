"""The bar as it hangs on its frame: its freedom, its shoes, the frame's angle and tilt.

And how quickly the height control that carries the frame is set to answer.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from academy.engine import guard
from academy.engine.bar import knife_height, weight_left
from academy.engine.conditions import Machine, Settings
from academy.engine.frame_following import hunting_index
from academy.engine.ground_following import REACH, Freedom
from academy.engine.readings import Flags
from academy.engine.si import Metre, PerSecond, Radian, Ratio, Second


@dataclass(frozen=True, slots=True, kw_only=True)
class BarState:
    """How the bar hangs, beyond what settings say."""

    freedom: Freedom
    shoes_down: Metre  # farther than when the cut height was set
    header_angle: Radian  # steeper than it was then
    tilt: Radian  # of the frame across; above zero the right end is high
    control_response: Ratio  # quickness of the height control, over its usual one


@dataclass(frozen=True, slots=True, kw_only=True)
class BarCoefficients:
    """What is believed of it beyond how it is built."""

    hunting_left: Ratio  # of its quickness, that a control which hunts keeps


@dataclass(frozen=True, slots=True, kw_only=True)
class BarBuild:
    """How the bar is hung."""

    section_float: Metre  # of a hinged header's sections, from lowest to highest
    half_free_weight: Ratio  # taken back by the frame with half-free travel
    knife_lead: Metre  # from the shoes forward to the knife
    dead_time: Second  # of the height control


class BarEffect(NamedTuple):
    """What the bar as it hangs changes; ``tilt_add`` lies over the places."""

    travel_factor: Ratio  # on the travel of the bar
    float_factor: Ratio  # on the float force
    control_factor: Ratio  # on the bandwidth of the height control
    height_add: Metre  # to the cut height that is set, by shoes and angle
    tilt_add: Metre  # to it, by what of the tilt the bar does not take up
    hunting_index: Ratio
    violations: dict[str, Flags]


def tilt_left(rise: Metre, reach: Metre) -> Metre:
    """Height by which a tilted frame lifts or lowers its bar.

    A bar that floats lies on the ground all the same, as far as it can float; beyond,
    one end is cut high and the other low.

    Parameters
    ----------
    rise : [m] height of the frame over where it should stand; below zero too low
    reach : [m] how far the bar floats from the frame, up or down

    Returns
    -------
    [m] height left

    Raises
    ------
    OutOfRange : when the rise is no number, or the reach negative

    Notes
    -----
    ``sign(z) max(|z| − r, 0)`` [kinematics].

    Examples
    --------
    >>> [float(tilt_left(z, 0.05)) for z in (0.04, 0.08, -0.08)]
    [0.0, 0.03, -0.03]
    """
    guard.finite("rise", rise)
    guard.not_negative("reach", reach)
    left: Metre = np.sign(rise) * np.maximum(np.abs(rise) - reach, 0.0)
    return left


def control_factor(
    bandwidth: PerSecond, dead_time: Second, response: Ratio, hunting_left: Ratio
) -> Ratio:
    """Usefulness of a height control at a response, over that at its usual one.

    Set slow it comes late; set quick it overshoots, and in the end it hunts.

    Parameters
    ----------
    bandwidth : [1/s] of the usual response
    dead_time : [s] time before the header begins to move
    response : [1] quickness that is set, over the usual one
    hunting_left : [1] share of its quickness that a control which hunts keeps

    Returns
    -------
    [1] factor on the bandwidth

    Raises
    ------
    OutOfRange : when the bandwidth or the response is not above zero, a time is
        negative, or the share no fraction

    Notes
    -----
    ``r max(1 − i, h)/max(1 − i₀, h)`` with the hunting index ``i`` at ``r f`` and
    ``i₀`` at ``f`` [judgement]: the simplest form that is 1 at the usual response, in
    proportion to a slow one, and falls before the control swings for ever.

    Examples
    --------
    >>> [float(control_factor(0.5, 0.25, r, 0.2)) for r in (0.5, 1.0, 2.0)]
    [0.75, 1.0, 0.8]
    """
    guard.positive("control_response", response)
    guard.fraction("hunting_left", hunting_left)
    usual, now = (
        np.maximum(1.0 - hunting_index(f, dead_time), hunting_left)
        for f in (bandwidth, bandwidth * response)
    )
    return response * now / usual


def _reach(machine: Machine, build: BarBuild, freedom: Freedom) -> Metre:
    """How far the bar floats from its frame, up or down."""
    if machine.carried != "ground" or machine.build == "rigid":
        return 0.0
    hinged = machine.build == "hinged"
    travel = build.section_float if hinged else machine.bar_travel
    return travel * (REACH[freedom] / 2.0)


def bar_effect(
    *,
    machine: Machine,
    settings: Settings,
    state: BarState,
    build: BarBuild,
    c: BarCoefficients,
    places: Ratio,
) -> BarEffect:
    """What the bar as it hangs does to a run.

    ``places`` [1] lie from −½ at the left end to ½ at the right. Usual, factors are 1
    and nothing is added. Raises OutOfRange when an input lies where it cannot be.
    """
    guard.finite("tilt", state.tilt)
    response = state.control_response
    wheels = machine.carried == "wheels"
    index = hunting_index(machine.control_bandwidth * response, build.dead_time)
    set_to = knife_height(
        settings.cut_height + state.shoes_down, state.header_angle, build.knife_lead
    )
    width = np.asarray(machine.width)[..., np.newaxis]
    tilt = np.asarray(state.tilt)[..., np.newaxis]
    reach = np.asarray(_reach(machine, build, state.freedom))[..., np.newaxis]
    half = state.freedom == "half"
    return BarEffect(
        travel_factor=REACH[state.freedom],
        float_factor=weight_left(1.0, build.half_free_weight) if half else 1.0,
        control_factor=control_factor(
            machine.control_bandwidth, build.dead_time, response, c.hunting_left
        ),
        height_add=set_to - settings.cut_height,
        tilt_add=tilt_left(places * width * np.tan(tilt), reach),
        hunting_index=index,
        violations={"control_hunts": np.logical_and(not wheels, index >= 1.0)},
    )
