"""The moisture that air leads grain to.

Equilibrium forms are published with moisture in per cent and temperature in degrees
Celsius. Their coefficients are kept as printed; two more inputs say on which scale they
were fitted: ``fitted_zero``, the temperature that the fit calls 0, and ``fitted_unit``,
the moisture fraction that the fit calls 1.
"""

import numpy as np

from academy.engine import guard
from academy.engine.si import Kelvin, PerKelvin, Ratio


def _air(humidity: Ratio, temperature: Kelvin) -> None:
    guard.positive("humidity", humidity)
    guard.below_one("humidity", humidity)
    guard.positive("temperature", temperature)


def _scale(fitted_zero: Kelvin, fitted_unit: Ratio) -> None:
    guard.not_negative("fitted_zero", fitted_zero)
    guard.positive("fitted_unit", fitted_unit)


def henderson_moisture(
    humidity: Ratio,
    temperature: Kelvin,
    a: PerKelvin,
    b: Ratio,
    c: Kelvin,
    fitted_zero: Kelvin,
    fitted_unit: Ratio,
) -> Ratio:
    """Moisture that grain comes to in steady air, by the modified Henderson form.

    Grain left long in dry wind dries to this and no further; dew brings it back up.

    Parameters
    ----------
    humidity : [1] relative humidity of the air
    temperature : [K] temperature of air and grain
    a : [1/K] coefficient A as printed
    b : [1] exponent B as printed
    c : [K] temperature offset C as printed
    fitted_zero : [K] temperature that the fit calls 0
    fitted_unit : [1] moisture fraction that the fit calls 1

    Returns
    -------
    [1] equilibrium moisture, dry basis

    Raises
    ------
    OutOfRange : when the humidity is not between 0 and 1, or temperature, a coefficient
        or a scale is not above zero

    Notes
    -----
    ``RH = 1 − exp[−A (T + C) M^B]`` solved for M [asabe-d245]. Forms differ by a point
    at 70 % humidity and by far more above 90 %.

    Examples
    --------
    >>> from academy.engine.moisture import wet_basis
    >>> m = henderson_moisture(0.5, 298.15, 2.3007e-5, 2.2857, 55.815, 273.15, 0.01)
    >>> round(float(wet_basis(m)), 3)
    0.118
    """
    _air(humidity, temperature)
    guard.positive("a", a)
    guard.positive("b", b)
    _scale(fitted_zero, fitted_unit)
    warmth = temperature - fitted_zero + c
    guard.positive("temperature", warmth)
    moisture = (-np.log1p(-humidity) / (a * warmth)) ** (1.0 / b)
    dry: Ratio = fitted_unit * moisture
    return dry


def chung_pfost_moisture(
    humidity: Ratio,
    temperature: Kelvin,
    a: Kelvin,
    b: Ratio,
    c: Kelvin,
    fitted_zero: Kelvin,
    fitted_unit: Ratio,
) -> Ratio:
    """Moisture that grain comes to in steady air, by the Chung-Pfost form.

    Tells how dry the crop can get on such an afternoon, and how damp in the evening.

    Parameters
    ----------
    humidity : [1] relative humidity of the air
    temperature : [K] temperature of air and grain
    a : [K] coefficient A as printed
    b : [1] coefficient B as printed
    c : [K] temperature offset C as printed
    fitted_zero : [K] temperature that the fit calls 0
    fitted_unit : [1] moisture fraction that the fit calls 1

    Returns
    -------
    [1] equilibrium moisture, dry basis

    Raises
    ------
    OutOfRange : when the humidity is not between 0 and 1, temperature, a coefficient or
        a scale is not above zero, or the air is too dry for the form

    Notes
    -----
    ``RH = exp[−A/(T + C) exp(−B M)]`` solved for M [asabe-d245].

    Examples
    --------
    >>> from academy.engine.moisture import wet_basis
    >>> m = chung_pfost_moisture(0.8, 288.71, 374.34, 0.18662, 31.696, 273.15, 0.01)
    >>> round(float(wet_basis(m)), 4)
    0.1606
    """
    _air(humidity, temperature)
    guard.positive("a", a)
    guard.positive("b", b)
    _scale(fitted_zero, fitted_unit)
    warmth = temperature - fitted_zero + c
    guard.positive("temperature", warmth)
    dry: Ratio = -fitted_unit / b * np.log(-np.log(humidity) * warmth / a)
    guard.not_negative("equilibrium_moisture", dry)
    return dry


def chung_pfost_direct_moisture(
    humidity: Ratio,
    temperature: Kelvin,
    e: Ratio,
    f: Ratio,
    c: Kelvin,
    fitted_zero: Kelvin,
    fitted_unit: Ratio,
) -> Ratio:
    """Moisture that grain comes to in steady air, Chung-Pfost solved for moisture.

    The same balance, as some tables print it.

    Parameters
    ----------
    humidity : [1] relative humidity of the air
    temperature : [K] temperature of air and grain
    e : [1] coefficient E as printed
    f : [1] coefficient F as printed
    c : [K] temperature offset C as printed
    fitted_zero : [K] temperature that the fit calls 0
    fitted_unit : [1] moisture fraction that the fit calls 1

    Returns
    -------
    [1] equilibrium moisture, dry basis

    Raises
    ------
    OutOfRange : when the humidity is not between 0 and 1, temperature, a coefficient or
        a scale is not above zero, or the air is too dry for the form

    Notes
    -----
    ``M = E − F ln[−(T + C) ln RH]``, the same form with ``E = ln A/B`` and ``F = 1/B``
    [asabe-d245]; printed for moisture as a fraction, so its unit is 1.

    Examples
    --------
    >>> from academy.engine.moisture import wet_basis
    >>> m = chung_pfost_direct_moisture(0.5, 294.26, 0.3387, 0.059, 30.205, 273.15, 1.0)
    >>> round(float(wet_basis(m)), 3)
    0.113
    """
    _air(humidity, temperature)
    guard.positive("e", e)
    guard.positive("f", f)
    _scale(fitted_zero, fitted_unit)
    warmth = temperature - fitted_zero + c
    guard.positive("temperature", warmth)
    dry: Ratio = fitted_unit * (e - f * np.log(-np.log(humidity) * warmth))
    guard.not_negative("equilibrium_moisture", dry)
    return dry


def halsey_moisture(
    humidity: Ratio,
    temperature: Kelvin,
    a: Ratio,
    b: PerKelvin,
    c: Ratio,
    fitted_zero: Kelvin,
    fitted_unit: Ratio,
) -> Ratio:
    """Moisture that grain comes to in steady air, by the modified Halsey form.

    The form of choice for oilseeds.

    Parameters
    ----------
    humidity : [1] relative humidity of the air
    temperature : [K] temperature of air and grain
    a : [1] coefficient A as printed
    b : [1/K] coefficient B as printed
    c : [1] exponent C as printed
    fitted_zero : [K] temperature that the fit calls 0
    fitted_unit : [1] moisture fraction that the fit calls 1

    Returns
    -------
    [1] equilibrium moisture, dry basis

    Raises
    ------
    OutOfRange : when the humidity is not between 0 and 1, temperature, exponent or
        scale is not above zero, or another coefficient is no number

    Notes
    -----
    ``RH = exp[−exp(A + B T)/M^C]`` solved for M [asabe-d245].

    Examples
    --------
    >>> from academy.engine.moisture import wet_basis
    >>> m = halsey_moisture(0.5, 294.26, 2.87, -0.0054, 1.38, 273.15, 0.01)
    >>> round(float(wet_basis(m)), 3)
    0.088
    """
    _air(humidity, temperature)
    guard.finite("a", a)
    guard.finite("b", b)
    guard.positive("c", c)
    _scale(fitted_zero, fitted_unit)
    pull = np.exp(a + b * (temperature - fitted_zero))
    moisture = (pull / -np.log(humidity)) ** (1.0 / c)
    dry: Ratio = fitted_unit * moisture
    return dry


def halsey_humidity(
    dry_basis_moisture: Ratio,
    temperature: Kelvin,
    a: Ratio,
    b: PerKelvin,
    c: Ratio,
    fitted_zero: Kelvin,
    fitted_unit: Ratio,
) -> Ratio:
    """Humidity at which grain of a given moisture neither dries nor wets.

    Tells what air would dry this grain, and what air would wet it again.

    Parameters
    ----------
    dry_basis_moisture : [1] water over dry matter
    temperature : [K] temperature of air and grain
    a : [1] coefficient A as printed
    b : [1/K] coefficient B as printed
    c : [1] exponent C as printed
    fitted_zero : [K] temperature that the fit calls 0
    fitted_unit : [1] moisture fraction that the fit calls 1

    Returns
    -------
    [1] relative humidity in balance

    Raises
    ------
    OutOfRange : when moisture, temperature, exponent or scale is not above zero, or
        another coefficient is no number

    Notes
    -----
    ``RH = exp[−exp(A + B T)/M^C]``, the inverse of ``halsey_moisture`` [asabe-d245].
    Wetting grain needs a little more humid air than the form says [hellevang-2022].

    Examples
    --------
    >>> rh = halsey_humidity(0.0961, 294.26, 2.87, -0.0054, 1.38, 273.15, 0.01)
    >>> round(float(rh), 2)
    0.5
    """
    guard.positive("dry_basis_moisture", dry_basis_moisture)
    guard.positive("temperature", temperature)
    guard.finite("a", a)
    guard.finite("b", b)
    guard.positive("c", c)
    _scale(fitted_zero, fitted_unit)
    pull = np.exp(a + b * (temperature - fitted_zero))
    humidity: Ratio = np.exp(-pull / (dry_basis_moisture / fitted_unit) ** c)
    return humidity


def oswin_moisture(
    humidity: Ratio,
    temperature: Kelvin,
    a: Ratio,
    b: PerKelvin,
    c: Ratio,
    fitted_zero: Kelvin,
    fitted_unit: Ratio,
) -> Ratio:
    """Moisture that grain comes to in steady air, by the modified Oswin form.

    Tells how dry the crop can get on such an afternoon, and how damp in the evening.

    Parameters
    ----------
    humidity : [1] relative humidity of the air
    temperature : [K] temperature of air and grain
    a : [1] coefficient A as printed
    b : [1/K] coefficient B as printed
    c : [1] exponent C as printed
    fitted_zero : [K] temperature that the fit calls 0
    fitted_unit : [1] moisture fraction that the fit calls 1

    Returns
    -------
    [1] equilibrium moisture, dry basis

    Raises
    ------
    OutOfRange : when the humidity is not between 0 and 1, temperature, exponent or
        scale is not above zero, or it is too hot for the form

    Notes
    -----
    ``M = (A + B T)/(1/RH − 1)^(1/C)`` [asabe-d245].

    Examples
    --------
    >>> from academy.engine.moisture import wet_basis
    >>> m = oswin_moisture(0.5, 298.15, 13.101, -0.052626, 2.9987, 273.15, 0.01)
    >>> round(float(wet_basis(m)), 3)
    0.105
    """
    _air(humidity, temperature)
    guard.finite("b", b)
    guard.positive("c", c)
    _scale(fitted_zero, fitted_unit)
    middle = a + b * (temperature - fitted_zero)
    guard.positive("a", middle)
    dry: Ratio = fitted_unit * middle / (1.0 / humidity - 1.0) ** (1.0 / c)
    return dry
