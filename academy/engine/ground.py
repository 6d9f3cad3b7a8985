"""The ground's roughness, and what the bar makes of it."""

import math

import numpy as np

from academy.engine import guard
from academy.engine.si import (
    CubicMetre,
    CyclePerMetre,
    KilogramPerMetre,
    Metre,
    MetrePerSecond,
    NewtonPerMetre,
    PerSecond,
    Radian,
)


def roughness_height(
    ground_roughness: CubicMetre,
    low_wavenumber: CyclePerMetre,
    high_wavenumber: CyclePerMetre,
    reference_wavenumber: CyclePerMetre,
) -> Metre:
    """Root-mean-square height of the ground within a band of waves.

    What a rod and level would show over the bumps of that size.

    Parameters
    ----------
    ground_roughness : [m^3] spectral density at the reference wavenumber
    low_wavenumber : [1/m] longest waves counted
    high_wavenumber : [1/m] shortest waves counted
    reference_wavenumber : [1/m] wavenumber at which the roughness is stated

    Returns
    -------
    [m] rms height

    Raises
    ------
    OutOfRange : when roughness is negative, a wavenumber is not above zero, or the band
        is turned round

    Notes
    -----
    ``σ = n₀ √(G (1/n₁ − 1/n₂))``, the integral of ``G (n/n₀)⁻²`` [iso-8608]
    [kinematics]. Measured fields may have another slope [paddy-profile].

    Examples
    --------
    >>> round(float(roughness_height(0.001024, 0.05, 2.0, 0.1)), 5)
    0.01413
    """
    guard.not_negative("ground_roughness", ground_roughness)
    guard.positive("low_wavenumber", low_wavenumber)
    guard.at_least("high_wavenumber", high_wavenumber, low_wavenumber)
    guard.positive("reference_wavenumber", reference_wavenumber)
    band = 1.0 / low_wavenumber - 1.0 / high_wavenumber
    height: Metre = reference_wavenumber * np.sqrt(ground_roughness * band)
    return height


def tracking_residual(
    ground_roughness: CubicMetre,
    ground_speed: MetrePerSecond,
    bandwidth: PerSecond,
    reference_wavenumber: CyclePerMetre,
) -> Metre:
    """Root-mean-square gap between knife and ground that height control cannot follow.

    Grows with the root of speed: the faster the machine, the more bumps come quicker
    than the header can answer.

    Parameters
    ----------
    ground_roughness : [m^3] spectral density at the reference wavenumber
    ground_speed : [m/s] speed of the machine over the ground
    bandwidth : [1/s] highest frequency that the height control still follows
    reference_wavenumber : [1/m] wavenumber at which the roughness is stated

    Returns
    -------
    [m] rms gap left

    Raises
    ------
    OutOfRange : when roughness or speed is negative, or another input is not above zero

    Notes
    -----
    ``σ = n₀ √(G v/f)``: perfect tracking below the bandwidth and none above it, on a
    spectrum of slope 2 [iso-8608] [kinematics].

    Examples
    --------
    >>> round(float(tracking_residual(0.001024, 1.3411, 0.5, 0.1)), 4)
    0.0052
    """
    guard.not_negative("ground_roughness", ground_roughness)
    guard.not_negative("ground_speed", ground_speed)
    guard.positive("bandwidth", bandwidth)
    guard.positive("reference_wavenumber", reference_wavenumber)
    root = np.sqrt(ground_roughness * ground_speed / bandwidth)
    gap: Metre = reference_wavenumber * root
    return gap


def wheel_residual(
    ground_roughness: CubicMetre,
    wheel_base: Metre,
    reference_wavenumber: CyclePerMetre,
) -> Metre:
    """Root-mean-square gap between knife and ground on a header on gauge wheels.

    Wheels follow every wave longer than the base between them and the combine, at any
    speed; what is shorter passes under the knife.

    Parameters
    ----------
    ground_roughness : [m^3] spectral density at the reference wavenumber
    wheel_base : [m] distance from the gauge wheels to the wheels of the combine
    reference_wavenumber : [1/m] wavenumber at which the roughness is stated

    Returns
    -------
    [m] rms gap left

    Raises
    ------
    OutOfRange : when the roughness is negative, or another input is not above zero

    Notes
    -----
    ``σ = n₀ √(G L)``: perfect following of waves longer than ``L`` and none of shorter
    ones, on a spectrum of slope 2 [iso-8608] [kinematics]; the form of
    ``tracking_residual`` with ``f = v/L``.

    Examples
    --------
    >>> round(float(wheel_residual(0.001024, 4.0, 0.1)), 4)
    0.0064
    """
    guard.not_negative("ground_roughness", ground_roughness)
    guard.positive("wheel_base", wheel_base)
    guard.positive("reference_wavenumber", reference_wavenumber)
    gap: Metre = reference_wavenumber * np.sqrt(ground_roughness * wheel_base)
    return gap


def rigid_bar_gap(
    ground_roughness: CubicMetre, width: Metre, reference_wavenumber: CyclePerMetre
) -> Metre:
    """Root-mean-square gap at the middle of a rigid bar that rests on its ends.

    Why a wide bar must flex: the gap grows with the root of the width.

    Parameters
    ----------
    ground_roughness : [m^3] spectral density at the reference wavenumber
    width : [m] width of the bar
    reference_wavenumber : [1/m] wavenumber at which the roughness is stated

    Returns
    -------
    [m] rms gap at mid-span

    Raises
    ------
    OutOfRange : when roughness or width is negative, or the wavenumber not above zero

    Notes
    -----
    ``√(2π² G n₀² W/4)``: the ground across the bar is a random walk of the same
    spectrum as along it [iso-8608] [kinematics].

    Examples
    --------
    >>> round(float(rigid_bar_gap(0.001024, 12.0, 0.1)), 4)
    0.0246
    """
    guard.not_negative("ground_roughness", ground_roughness)
    guard.not_negative("width", width)
    guard.positive("reference_wavenumber", reference_wavenumber)
    variance = ground_roughness * width / 2.0
    gap: Metre = math.pi * reference_wavenumber * np.sqrt(variance)
    return gap


def contact_loss_speed(
    float_force: NewtonPerMetre,
    effective_mass: KilogramPerMetre,
    amplitude: Metre,
    wavenumber: CyclePerMetre,
) -> MetrePerSecond:
    """Ground speed above which the bar leaves the ground behind a crest.

    More weight on the ground lets the machine go faster before the bar bounces, at the
    price of pushed soil.

    Parameters
    ----------
    float_force : [N/m] force of the bar on the ground per width
    effective_mass : [kg/m] mass per width that must follow the ground
    amplitude : [m] half the height of the waves, crest to trough
    wavenumber : [1/m] waves per metre of travel

    Returns
    -------
    [m/s] ground speed at which contact is just lost

    Raises
    ------
    OutOfRange : when the force is negative, or another input is not above zero

    Notes
    -----
    Contact is lost where ``m A (2πnv)² > F``; hence ``v = √(F/(mA)) / (2πn)``
    [kinematics].

    Examples
    --------
    >>> round(float(contact_loss_speed(200.0, 50.0, 0.04, 0.5)), 3)
    3.183
    """
    guard.not_negative("float_force", float_force)
    guard.positive("effective_mass", effective_mass)
    guard.positive("amplitude", amplitude)
    guard.positive("wavenumber", wavenumber)
    root = np.sqrt(float_force / (effective_mass * amplitude))
    speed: MetrePerSecond = root / (2.0 * math.pi * wavenumber)
    return speed


def end_lift(width: Metre, slope_change: Radian) -> Metre:
    """Height by which one end of the bar stands off when ground tilts under the header.

    Until tilt correction acts, one end digs in while the other hangs.

    Parameters
    ----------
    width : [m] width of the bar
    slope_change : [rad] cross slope under the header minus that under the wheels

    Returns
    -------
    [m] lift of the end, negative for the end that digs in

    Raises
    ------
    OutOfRange : when width is negative, or the slope change is no number

    Notes
    -----
    ``(W/2) tan Δα`` [kinematics]; ``tan Δα`` is the slope as rise over run.

    Examples
    --------
    >>> round(float(end_lift(12.0, 0.01)), 3)
    0.06
    """
    guard.not_negative("width", width)
    guard.finite("slope_change", slope_change)
    lift: Metre = width / 2.0 * np.tan(slope_change)
    return lift
