"""The moisture that grain comes to in the air of the hour, and which form says so."""

from collections.abc import Mapping
from types import MappingProxyType

from academy import units
from academy.catalog import isotherms
from academy.catalog.evidence import Evidenced
from academy.catalog.isotherms import Isotherm
from academy.engine import isotherm, moisture
from academy.errors import OutOfRange
from academy.language import marked
from academy.service.quantity import Asked, Given, Quantity

FORM_NAMES = {
    "henderson": marked(
        "Worked out by the modified Henderson form. Forms differ by about a point "
        "in fairly damp air, and by more in damper."
    ),
    "chung-pfost": marked(
        "Worked out by the Chung-Pfost form. Forms differ by about a point "
        "in fairly damp air, and by more in damper."
    ),
    "halsey": marked(
        "Worked out by the modified Halsey form. Forms differ by about a point "
        "in fairly damp air, and by more in damper."
    ),
    "oswin": marked(
        "Worked out by the modified Oswin form. Forms differ by about a point "
        "in fairly damp air, and by more in damper."
    ),
}
_CAPPED = marked(
    "The air is damper than the forms can be trusted in, where they differ by many "
    "points: this is the moisture at the highest humidity they are asked at. Damper "
    "air leads to more."
)


def _highest() -> float:
    return isotherms.load().limits.highest_humidity.si()[1]


def _checked(temperature: float) -> float:
    limits = isotherms.load().limits
    low, high = limits.lowest_temperature, limits.highest_temperature
    if not low.si()[1] <= temperature <= high.si()[1]:
        raise OutOfRange(
            "air_not_meant",
            value=units.from_si(temperature, low.unit),
            low=low.value,
            high=high.value,
        )
    return temperature


def equilibrium_moisture(crop: str, temperature: float, humidity: float) -> float:
    """Moisture, wet basis [1], of grain in air of a temperature [K] and humidity [1].

    Above the highest humidity of the content it stays what it is there. Raises NotFound
    for a crop without an isotherm, OutOfRange.
    """
    isotherms.of(crop)  # its own, not a lent one
    if not 0.0 < humidity <= 1.0:
        raise OutOfRange("humidity_not_meant", value=humidity)
    dry = isotherm.equilibrium_moisture(
        isotherms.engine_of(crop), humidity, _checked(temperature)
    )
    return float(moisture.wet_basis(dry))


def notes(crop: str, humidity: float) -> tuple[str, ...]:
    """Which form it is, and whether the air was too damp for it."""
    said = FORM_NAMES[isotherms.of(crop).form]
    return (said, _CAPPED) if humidity > _highest() else (said,)


def figures(crop: str) -> Mapping[str, Evidenced]:
    """The coefficients behind a crop's moisture by the keys of their pages."""
    found: Isotherm = isotherms.of(crop)
    return {f"{crop}.isotherm.{name}": getattr(found, name) for name in "abc"}


def crops() -> tuple[str, ...]:
    """Crops that have an isotherm."""
    return tuple(isotherms.load().crops)


def _leans_on(given: Given) -> Mapping[str, Evidenced]:
    found = dict(figures(given.crop_key))
    if given["relative-humidity"] > _highest():
        found["highest_humidity"] = isotherms.load().limits.highest_humidity
    return found


QUANTITY = Quantity(
    "moisture",
    MappingProxyType(
        {
            "air-temperature": Asked("temperature", signed=True),
            "relative-humidity": Asked("humidity"),
        }
    ),
    lambda given: equilibrium_moisture(
        given.crop_key, given["air-temperature"], given["relative-humidity"]
    ),
    "asabe-d245",
    crop=True,
    leans_on=_leans_on,
    notes=lambda given: notes(given.crop_key, given["relative-humidity"]),
)
