"""What print recommends for a header, to lay beside what the engine finds best."""

from functools import cache

from pydantic import Field as Named
from pydantic import RootModel

from academy import paths
from academy.catalog.evidence import Evidenced
from academy.catalog.toml_files import Record, Twin, Words, read


class Stated(Record):
    """A condition of the field that the recommendation is for."""

    value: float
    unit: Words


class Recommended(Evidenced):
    """One recommendation: a setting or a reading, a crop, and the field it is for.

    ``low`` and ``high`` are the ends as printed; a single figure has neither.
    """

    name: Twin
    figure: Words
    crop: Words
    field: dict[str, Stated] = Named(default_factory=dict)


class _All(RootModel[dict[str, Recommended]]):
    pass


@cache
def load() -> dict[str, Recommended]:
    """Recommendations by key; raises ContentError."""
    return read(_All, paths.content() / "recommended.toml").root
