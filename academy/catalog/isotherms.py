"""Which form and coefficients tell what moisture air leads a crop's grain to."""

from collections.abc import Mapping
from functools import cache

from pydantic import Field

from academy import paths, units
from academy.catalog.evidence import Named
from academy.catalog.toml_files import Record, read
from academy.engine import isotherm
from academy.engine.isotherm import Form
from academy.errors import NotFound


class Limits(Record):
    """Air for which the forms may be asked."""

    highest_humidity: Named  # above it the forms part: what they say there is kept
    lowest_temperature: Named
    highest_temperature: Named


class Isotherm(Record):
    """One crop's form with its three coefficients, as printed."""

    form: Form
    a: Named
    b: Named
    c: Named


class Isotherms(Record):
    """``content/isotherms.toml``."""

    limits: Limits
    lent: Mapping[str, str] = Field(default_factory=dict)  # crop -> whose swing it has
    crops: Mapping[str, Isotherm]


@cache
def load() -> Isotherms:
    """Limits and every crop's isotherm; raises ContentError."""
    return read(Isotherms, paths.content() / "isotherms.toml")


def of(crop: str) -> Isotherm:
    """The isotherm of a crop; raises NotFound naming those there are."""
    known = load().crops
    if crop not in known:
        raise NotFound("no_isotherm", name=crop, allowed=", ".join(known))
    return known[crop]


def swings_like(crop: str) -> str:
    """The crop whose isotherm tells how this one swings; as a rule itself.

    Raises NotFound for a crop that has neither its own nor a lent one.
    """
    found = load().lent.get(crop, crop)
    of(found)
    return found


@cache
def engine_of(crop: str) -> isotherm.Isotherm:
    """The engine's record of the isotherm that a crop swings by; raises NotFound."""
    found = of(swings_like(crop))
    return isotherm.Isotherm(
        form=found.form,
        a=found.a.si()[1],
        b=found.b.si()[1],
        c=found.c.si()[1],
        fitted_zero=units.to_si(0.0, "degC"),
        fitted_unit=units.to_si(1.0, "%"),
        highest_humidity=load().limits.highest_humidity.si()[1],
    )
