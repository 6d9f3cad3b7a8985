"""One crop's way to the moisture that air leads it to, in its own form."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal, TypeAlias

import numpy as np

from academy.engine import equilibrium
from academy.engine.si import Kelvin, Number, Ratio

Form: TypeAlias = Literal["henderson", "chung-pfost", "halsey", "oswin"]

FORMS: Mapping[str, Callable[..., Ratio]] = MappingProxyType(
    {
        "henderson": equilibrium.henderson_moisture,
        "chung-pfost": equilibrium.chung_pfost_moisture,
        "halsey": equilibrium.halsey_moisture,
        "oswin": equilibrium.oswin_moisture,
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Isotherm:
    """A form, its three coefficients as printed, and how far it may be asked."""

    form: Form
    a: Number  # of a unit that the form tells
    b: Number
    c: Number
    fitted_zero: Kelvin  # temperature that the fit calls 0
    fitted_unit: Ratio  # moisture that the fit calls 1
    highest_humidity: Ratio


def equilibrium_moisture(
    isotherm: Isotherm, humidity: Ratio, temperature: Kelvin
) -> Ratio:
    """Moisture, dry basis, that grain comes to in steady air.

    Where it goes if the hour lasted; damper than the highest humidity it is kept there.

    Parameters
    ----------
    isotherm : the crop's form and coefficients
    humidity : [1] relative humidity of the air
    temperature : [K] temperature of air and grain

    Returns
    -------
    [1] equilibrium moisture, dry basis

    Raises
    ------
    OutOfRange : when humidity or temperature lies where the form cannot be asked

    Notes
    -----
    The forms agree within a point at 70 % humidity and part by many above 90 %
    [asabe-d245]; above ``highest_humidity`` the answer stays what it is there.

    Examples
    --------
    >>> wheat = Isotherm(
    ...     form="henderson", a=2.3007e-5, b=2.2857, c=55.815,
    ...     fitted_zero=273.15, fitted_unit=0.01, highest_humidity=0.9,
    ... )
    >>> round(float(equilibrium_moisture(wheat, 0.5, 298.15)), 3)
    0.133
    """
    return FORMS[isotherm.form](
        np.minimum(humidity, isotherm.highest_humidity),
        temperature,
        isotherm.a,
        isotherm.b,
        isotherm.c,
        isotherm.fitted_zero,
        isotherm.fitted_unit,
    )
