"""How the frame of a header answers the ground: its lag, its dead time, its hunting.

What the sensors see turns into height and tilt of the frame. Everything is told along
the way: waves per metre, and metres of travel, not waves and seconds. A machine twice
as fast meets its corner at waves twice as long.
"""

import math
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from academy.engine import ground, guard
from academy.engine.si import (
    CubicMetre,
    CyclePerMetre,
    Metre,
    MetrePerSecond,
    PerSecond,
    Radian,
    Ratio,
    Second,
)
from academy.errors import OutOfRange

# A lag of the first order, or the limit: all below the corner and nothing above it.
Response: TypeAlias = Literal["lag", "ideal"]


_DEAD_TIMES = 30.0  # after which the sum of a step would lose its last digits


@dataclass(frozen=True, slots=True)
class Answer:
    """The way in which a frame follows what its sensors see."""

    corner: float  # waves per metre up to which it follows
    dead_travel: float = 0.0  # metres driven before it begins to move
    response: Response = "lag"


def hunting_index(bandwidth: PerSecond, dead_time: Second) -> Ratio:
    """Nearness of the height control to hunting by itself.

    From 1 up the header swings up and down on level ground: too fast a response for the
    time that sensors, valves and oil need.

    Parameters
    ----------
    bandwidth : [1/s] highest frequency that the height control still follows
    dead_time : [s] time before the header begins to move

    Returns
    -------
    [1] index, 0 without dead time

    Raises
    ------
    OutOfRange : when the bandwidth is not above zero, or the time negative

    Notes
    -----
    A loop ``Ḣ = K [g(t − τ) − H(t − τ)]`` with ``K = 2πf`` swings for ever at ``Kτ =
    π/2``; the index is ``Kτ/(π/2) = 4fτ`` [kinematics]. Known in direction only.

    Examples
    --------
    >>> hunting_index(0.5, 0.3)
    0.6
    """
    guard.positive("bandwidth", bandwidth)
    guard.not_negative("dead_time", dead_time)
    return 4.0 * bandwidth * dead_time


def step_left(bandwidth: PerSecond, dead_time: Second, time: Second) -> Ratio:
    """Share of a sudden step of the ground that the frame has still not made.

    Below zero it has gone too far. With little dead time it dies away; a control as
    quick as ``hunting_index`` 1 swings for ever, and a quicker one more and more.

    Parameters
    ----------
    bandwidth : [1/s] highest frequency that the height control still follows
    dead_time : [s] time before the header begins to move
    time : [s] since the step came under the sensor

    Returns
    -------
    [1] share left, 1 until the dead time is over

    Raises
    ------
    OutOfRange : when the bandwidth is not above zero, a time is negative, or longer
        than thirty dead times

    Notes
    -----
    ``ė = −K e(t − τ)`` with ``K = 2πf``, interval by interval: ``Σ [−K (t − kτ)]^k/k!``
    over all ``kτ ≤ t``; ``e^(−Kt)`` without dead time [kinematics].

    Examples
    --------
    >>> step_left(0.5, 0.3, 0.2)
    1.0
    >>> round(step_left(0.5, 0.0, 1.0), 4)
    0.0432
    """
    guard.positive("bandwidth", bandwidth)
    guard.not_negative("dead_time", dead_time)
    guard.not_negative("time", time)
    speed = 2.0 * math.pi * float(bandwidth)
    if not dead_time > 0.0:
        return math.exp(-speed * float(time))
    guard.at_least("dead_time", dead_time, time / _DEAD_TIMES)
    left, number = 0.0, 0
    while number * dead_time <= time:
        way = speed * float(time - number * dead_time)
        left += (-way) ** number / math.factorial(number)
        number += 1
    return left


def lag_residual(
    ground_roughness: CubicMetre,
    ground_speed: MetrePerSecond,
    bandwidth: PerSecond,
    reference_wavenumber: CyclePerMetre,
) -> Metre:
    """Root-mean-square gap that a lag of the first order leaves at one sensor.

    A real control follows slow waves a little late and fast ones a little: together it
    leaves a quarter more than one that is perfect up to its limit.

    Parameters
    ----------
    ground_roughness : [m^3] spectral density at the reference wavenumber
    ground_speed : [m/s] speed of the machine over the ground
    bandwidth : [1/s] frequency at which the control follows half the power
    reference_wavenumber : [1/m] wavenumber at which the roughness is stated

    Returns
    -------
    [m] rms gap left

    Raises
    ------
    OutOfRange : when roughness or speed is negative, or another input is not above zero

    Notes
    -----
    ``∫ G n₀²/n² · u²/(1 + u²) dn`` with ``u = nv/f`` is ``π/2`` times the square of
    ``ground.tracking_residual`` [iso-8608] [kinematics].

    Examples
    --------
    >>> round(float(lag_residual(0.001024, 1.3411, 0.5, 0.1)), 4)
    0.0066
    """
    perfect = ground.tracking_residual(
        ground_roughness, ground_speed, bandwidth, reference_wavenumber
    )
    return math.sqrt(math.pi / 2.0) * perfect


def tyre_tilt(difference: Metre, track: Metre) -> Radian:
    """Tilt of a header carried by a machine that stands higher on one side.

    A softer tyre on the right lets the right end of the bar down.

    Parameters
    ----------
    difference : [m] right tyres' rolling radius less the left ones'
    track : [m] from the middle of the left to that of the right front tyres

    Returns
    -------
    [rad] tilt; above zero the right end is high

    Raises
    ------
    OutOfRange : when the difference is no number, or the track not above zero

    Notes
    -----
    ``atan(d/t)`` [kinematics].

    Examples
    --------
    >>> round(float(tyre_tilt(-0.03, 3.0)), 4)
    -0.01
    """
    guard.finite("tyre_difference", difference)
    guard.positive("track", track)
    tilt: Radian = np.arctan(difference / track)
    return tilt


def controlled(
    bandwidth: PerSecond, dead_time: Second, ground_speed: MetrePerSecond
) -> Answer:
    """The answer of a height control: bandwidth [1/s], dead time [s], speed [m/s].

    Raises OutOfRange when it hunts: a header that swings by itself has no cut height.
    """
    guard.positive("ground_speed", ground_speed)
    index = float(hunting_index(bandwidth, dead_time))
    if index >= 1.0:
        raise OutOfRange("height_control_hunts", name="hunting_index", value=index)
    return Answer(float(bandwidth / ground_speed), float(dead_time * ground_speed))


def wheeled(wheel_base: Metre) -> Answer:
    """The answer of a frame on gauge wheels: waves over their base [m] are followed."""
    guard.positive("wheel_base", wheel_base)
    return Answer(float(1.0 / wheel_base))


def gain(answer: Answer, wavenumber: NDArray[np.float64]) -> NDArray[np.complex128]:
    """How much of each wave [1/m] the frame makes, and how late, as a complex number.

    ``e^(−2πinx)/(in/n_c + e^(−2πinx))`` with the corner ``n_c`` and the dead travel
    ``x``: the closed loop of ``hunting_index``. Without dead travel a first-order lag.
    """
    if answer.response == "ideal":
        return np.where(wavenumber <= answer.corner, 1.0 + 0.0j, 0.0j)
    late = np.exp(-2.0j * np.pi * wavenumber * answer.dead_travel)
    found: NDArray[np.complex128] = late / (1.0j * wavenumber / answer.corner + late)
    return found


def followed(
    answer: Answer, seen: NDArray[np.float64], along: float
) -> NDArray[np.float64]:
    """What the frame makes of heights or tilts seen every ``along`` metres of the way.

    ``seen`` closes on itself along its first axis, as a drawn surface does, so that the
    frame is never in the middle of a beginning.
    """
    waves = np.arange(len(seen) // 2 + 1) / (len(seen) * along)
    answered = gain(answer, waves)
    shape = (-1,) + (1,) * (seen.ndim - 1)
    turned = np.fft.rfft(seen, axis=0) * answered.reshape(shape)
    made: NDArray[np.float64] = np.fft.irfft(turned, n=len(seen), axis=0)
    return made
