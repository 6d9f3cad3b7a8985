"""Which form and coefficients tell what moisture air leads a crop's grain to."""

from collections.abc import Mapping
from functools import cache
from typing import Literal

from academy import paths
from academy.catalog.evidence import Named
from academy.catalog.toml_files import Record, read
from academy.errors import NotFound

Form = Literal["henderson", "chung-pfost", "halsey", "oswin"]


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
