"""Kinds of knife and their measures, for the cutting-pattern diagram."""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from pydantic import RootModel

from academy import paths
from academy.catalog.evidence import Named
from academy.catalog.toml_files import Record, Twin, read
from academy.engine.cutting_diagram import Knife
from academy.errors import NotFound

MEASURES = ("pitch", "stroke", "tip", "edge", "ledger")


class KindOfKnife(Record):
    """One kind of knife of ``content/knives.toml``."""

    name: Twin
    note: Twin
    pitch: Named
    stroke: Named
    tip: Named
    edge: Named
    ledger: Named


class _File(RootModel[dict[str, KindOfKnife]]):
    pass


@cache
def load() -> Mapping[str, KindOfKnife]:
    """Every kind of knife by key; raises ContentError."""
    return MappingProxyType(read(_File, paths.content() / "knives.toml").root)


def of(key: str) -> KindOfKnife:
    """The kind of knife ``key``; raises NotFound naming those there are."""
    if key not in load():
        raise NotFound("no_such_knife", text=key, allowed=", ".join(load()))
    return load()[key]


def knife(kind: KindOfKnife) -> Knife:
    """The engine's record of a kind of knife, in SI."""
    return Knife(**{name: getattr(kind, name).si()[1] for name in MEASURES})
