"""Kinds of day, from ``content/days.toml``: how warm, how dry, how windy."""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from pydantic import RootModel

from academy import paths, units
from academy.catalog.evidence import Named
from academy.catalog.toml_files import Record, Twin, read
from academy.engine import hour
from academy.errors import NotFound

USUAL = "ordinary"


class Day(Record):
    """One kind of day."""

    name: Twin
    least_temperature: Named
    greatest_temperature: Named
    coldest_time: Named
    warmest_time: Named
    dew_point: Named
    lag_factor: Named

    def figures(self) -> dict[str, Named]:
        """Its figures by name."""
        return {name: each for name, each in self if isinstance(each, Named)}


class _Days(RootModel[dict[str, Day]]):
    pass


@cache
def load() -> Mapping[str, Day]:
    """Every kind of day by key, in the order of the file; raises ContentError."""
    return MappingProxyType(read(_Days, paths.content() / "days.toml").root)


@cache
def engine_of(key: str) -> hour.Day:
    """The engine's record of a kind of day; raises NotFound."""
    if key not in load():
        raise NotFound("no_such_content", name=key)
    figures = load()[key].figures()
    si = {name: each.si()[1] for name, each in figures.items()}
    return hour.Day(**si, length=units.to_si(1.0, "day"))
