"""How the knife lies in its guards: too wide and stems fold, too tight and it heats."""

from collections.abc import Mapping
from itertools import pairwise
from types import MappingProxyType

import numpy as np

from academy.engine import guard
from academy.engine.si import Count, Kelvin, Metre, Ratio, Second

# A bearing's band by its number.
BANDS: Mapping[int, str] = MappingProxyType(
    {0: "cold", 1: "normal", 2: "watch", 3: "act", 4: "stop"}
)


def folded_share(
    clearance: Metre,
    play: Metre,
    widest_clearance: Metre,
    thickness: Metre,
    toughness: Ratio,
    fold_rate: Ratio,
    fold_tough: Ratio,
) -> Ratio:
    """Share of stems that fold between section and guard instead of being cut.

    Crop hangs between section and guard when hold-downs let the knife lift; thin and
    tough stems slip in first.

    Parameters
    ----------
    clearance : [m] gap under the hold-downs
    play : [m] play of the knife up and down beside it
    widest_clearance : [m] gap up to which nothing folds
    thickness : [m] thickness of a stem at the cut
    toughness : [1] how tough the stems are, from 0 to 1
    fold_rate : [1] brittle stems folded by a gap as wide as they are thick
    fold_tough : [1] how much more readily tough stems fold

    Returns
    -------
    [1] share of stems folded

    Raises
    ------
    OutOfRange : when a length, rate or factor is negative, thickness is not above zero,
        or toughness is no fraction

    Notes
    -----
    ``1 − exp(−r g (1 + t T)/d)`` with ``g`` the gap beyond the widest one [judgement].
    The widest gap is published [msu-improve-yields], and that crop hangs beyond it
    [dtn-2023-cut]; how much is not.

    Examples
    --------
    >>> round(float(folded_share(0.0018, 0.0, 0.0008, 0.005, 0.0, 0.3, 1.0)), 3)
    0.058
    """
    guard.not_negative("hold_down_clearance", clearance)
    guard.not_negative("vertical_play", play)
    guard.not_negative("widest_clearance", widest_clearance)
    guard.positive("stem_thickness", thickness)
    guard.fraction("toughness", toughness)
    guard.not_negative("fold_rate", fold_rate)
    guard.not_negative("fold_tough", fold_tough)
    beyond = np.maximum(clearance + play - widest_clearance, 0.0)
    share: Ratio = -np.expm1(
        -fold_rate * beyond / thickness * (1.0 + fold_tough * toughness)
    )
    return share


def tightness(clearance: Metre, free_clearance: Metre) -> Ratio:
    """How hard the hold-downs pinch the knife.

    Too tight and they heat up and load the drive; the knife must move freely.

    Parameters
    ----------
    clearance : [m] gap under the hold-downs
    free_clearance : [m] gap from which on the knife does not rub

    Returns
    -------
    [1] from 0, free, to 1, no gap at all

    Raises
    ------
    OutOfRange : when the gap is negative, or the free one is not above zero

    Notes
    -----
    ``1 − g/g₀`` below ``g₀`` [judgement]; "without binding" is published
    [msu-improve-yields].

    Examples
    --------
    >>> float(tightness(0.0001, 0.0002))
    0.5
    """
    guard.not_negative("hold_down_clearance", clearance)
    guard.positive("free_clearance", free_clearance)
    tight: Ratio = np.maximum(1.0 - clearance / free_clearance, 0.0)
    return tight


def hold_down_excess(
    tight: Ratio,
    speed_ratio: Ratio,
    run_time: Second,
    tight_heat: Kelvin,
    heat_time: Second,
) -> Kelvin:
    """How much hotter a pinching hold-down is than its neighbours.

    It shows after about 15 minutes of running-in: one clearly hotter than its
    neighbours is too tight. Read it from a safe stop, without touching.

    Parameters
    ----------
    tight : [1] how hard it pinches, from 0 to 1
    speed_ratio : [1] knife speed against that for which the heat is stated
    run_time : [s] time run since the hold-downs were set
    tight_heat : [K] steady excess of one that leaves no gap
    heat_time : [s] time in which nearly two thirds of it are reached

    Returns
    -------
    [K] excess over hold-downs that do not pinch

    Raises
    ------
    OutOfRange : when tightness is no fraction, a ratio, time or excess is negative, or
        the heating time is not above zero

    Notes
    -----
    ``t s ΔT (1 − exp(−time/τ))``: first-order rise to where as much heat leaves as
    friction makes [judgement]. Only the direction is practice [common-practice].

    Examples
    --------
    >>> round(float(hold_down_excess(0.5, 1.0, 900.0, 40.0, 300.0)), 1)
    19.0
    """
    guard.fraction("tightness", tight)
    guard.not_negative("speed_ratio", speed_ratio)
    guard.not_negative("run_time", run_time)
    guard.not_negative("tight_heat", tight_heat)
    guard.positive("heat_time", heat_time)
    excess: Kelvin = -tight * speed_ratio * tight_heat * np.expm1(-run_time / heat_time)
    return excess


def bearing_band(
    temperature: Kelvin,
    normal_low: Kelvin,
    normal_high: Kelvin,
    act: Kelvin,
    stop: Kelvin,
) -> Count:
    """In which band a bearing runs: what its temperature asks for.

    A cold one tells nothing yet; hot ones light dry crop.

    Parameters
    ----------
    temperature : [K] of the bearing
    normal_low : [K] from here on it has run warm
    normal_high : [K] to here it runs normally
    act : [K] beyond this one stops and finds out why
    stop : [K] beyond this the machine is shut down

    Returns
    -------
    [1] number of the band in ``BANDS``: cold, normal, watch, act, stop

    Raises
    ------
    OutOfRange : when the temperature is not above zero, or the limits do not rise

    Notes
    -----
    125 to 150 °F (52 to 66 °C) is normal [nebraska-fire-2022]; above 180 °F (82 °C) a
    bearing is being damaged, 300 °F (149 °C) means shut down [farms-fire]. Between
    normal and 180 °F the sources are silent: watch it [judgement].

    Examples
    --------
    >>> int(bearing_band(360.0, 325.0, 339.0, 355.0, 422.0))
    3
    """
    guard.positive("bearing_temperature", temperature)
    limits = (normal_low, normal_high, act, stop)
    for lower, upper in pairwise(limits):
        guard.at_least("bearing_limit", upper, lower)
    passed = np.broadcast_arrays(
        temperature >= normal_low,
        temperature > normal_high,
        temperature > act,
        temperature >= stop,
    )
    number: Count = np.sum(passed, axis=0, dtype=np.float64)
    return number
