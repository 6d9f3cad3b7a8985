"""A crop's ordinary stand: its own figures, the rest as in ``parts/stand.toml``."""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from academy.catalog import crops, parts
from academy.catalog.evidence import Named
from academy.engine.stand import Stand
from academy.errors import ContentError


@cache
def figures(crop: str) -> Mapping[str, Named]:
    """Each figure of a crop's stand by name, with its ends and evidence.

    Raises NotFound; ContentError for a figure that no stand has, or in another unit.
    """
    usual, own = parts.load("stand").state, crops.load(crop).stand
    for name, entry in own.items():
        if name not in usual or usual[name].unit != entry.unit:
            raise ContentError(
                "unknown_coefficient", file=f"crops/{crop}.toml", field=f"stand.{name}"
            )
    return MappingProxyType({**usual, **own})


def _at(crop: str, end: int) -> Stand:
    return Stand(**{name: each.si()[end] for name, each in figures(crop).items()})


@cache
def stand_of(crop: str) -> Stand:
    """The crop as it ordinarily stands, in SI; raises NotFound, ContentError."""
    return _at(crop, 1)


@cache
def ends(crop: str) -> tuple[Stand, Stand]:
    """Least and greatest of every figure, in SI; raises NotFound, ContentError."""
    return _at(crop, 0), _at(crop, 2)
