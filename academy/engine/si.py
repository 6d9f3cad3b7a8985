"""Names for bare SI numbers: the unit stands in the signature.

Every alias is a float or a numpy array of floats; the string beside it is the unit that
the docstring must repeat and that ``units.edge`` reads. Money is in the farm's own
currency, written ``money``.
"""

from typing import Annotated, TypeAlias

import numpy as np
from numpy.typing import NDArray

Number: TypeAlias = float | NDArray[np.float64]

Metre: TypeAlias = Annotated[Number, "m"]
SquareMetre: TypeAlias = Annotated[Number, "m^2"]
CubicMetre: TypeAlias = Annotated[Number, "m^3"]
Second: TypeAlias = Annotated[Number, "s"]
MetrePerSecond: TypeAlias = Annotated[Number, "m/s"]
MetrePerSquareSecond: TypeAlias = Annotated[Number, "m/s^2"]
Radian: TypeAlias = Annotated[Number, "rad"]
RadianPerSecond: TypeAlias = Annotated[Number, "rad/s"]
PerSecond: TypeAlias = Annotated[Number, "1/s"]
PerSquareMetre: TypeAlias = Annotated[Number, "1/m^2"]
CyclePerMetre: TypeAlias = Annotated[Number, "1/m"]
Kilogram: TypeAlias = Annotated[Number, "kg"]
KilogramPerMetre: TypeAlias = Annotated[Number, "kg/m"]
KilogramPerSecond: TypeAlias = Annotated[Number, "kg/s"]
KilogramPerSquareMetre: TypeAlias = Annotated[Number, "kg/m^2"]
KilogramPerCubicMetre: TypeAlias = Annotated[Number, "kg/m^3"]
SquareMetrePerSecond: TypeAlias = Annotated[Number, "m^2/s"]
Newton: TypeAlias = Annotated[Number, "N"]
NewtonPerMetre: TypeAlias = Annotated[Number, "N/m"]
Watt: TypeAlias = Annotated[Number, "W"]
Joule: TypeAlias = Annotated[Number, "J"]
JoulePerKilogram: TypeAlias = Annotated[Number, "J/kg"]
CubicMetrePerJoule: TypeAlias = Annotated[Number, "m^3/J"]
CubicMetrePerSecond: TypeAlias = Annotated[Number, "m^3/s"]
Kelvin: TypeAlias = Annotated[Number, "K"]
PerKelvin: TypeAlias = Annotated[Number, "1/K"]
PerMetre: TypeAlias = Annotated[Number, "1/m"]
Money: TypeAlias = Annotated[Number, "money"]
MoneyPerKilogram: TypeAlias = Annotated[Number, "money/kg"]
MoneyPerCubicMetre: TypeAlias = Annotated[Number, "money/m^3"]
MoneyPerSecond: TypeAlias = Annotated[Number, "money/s"]
MoneyPerSquareMetre: TypeAlias = Annotated[Number, "money/m^2"]
Ratio: TypeAlias = Annotated[Number, "1"]
Count: TypeAlias = Annotated[Number, "1"]
