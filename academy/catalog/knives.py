"""Kinds of knife and their measures, for the cutting-pattern diagram."""

from collections.abc import Iterator, Mapping
from functools import cache
from types import MappingProxyType

from pydantic import Field, RootModel

from academy import paths
from academy.catalog.evidence import Named
from academy.catalog.toml_files import Record, Twin, Words, read
from academy.engine.cutting_diagram import Knife
from academy.errors import NotFound

MEASURES = ("pitch", "stroke", "tip", "ledger")


class KindOfKnife(Record):
    """One kind of knife of ``content/knives.toml``.

    ``edges`` stand as the sections do along the bar, and then over again; a kind whose
    sections are all alike has one.
    """

    name: Twin
    note: Twin
    pitch: Named
    stroke: Named
    tip: Named
    ledger: Named
    edges: dict[Words, Named] = Field(min_length=1)

    def figures(self) -> Iterator[tuple[str, Named]]:
        """Every measure by its name."""
        yield from ((name, getattr(self, name)) for name in MEASURES)
        yield from self.edges.items()


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
    """The engine's record of a kind of knife, in SI and in register."""
    measures = {name: getattr(kind, name).si()[1] for name in MEASURES}
    edges = tuple(edge.si()[1] for edge in kind.edges.values())
    return Knife(**measures, edges=edges)


def turned(kind: KindOfKnife, name: str, value: float) -> Knife:
    """The engine's record of a kind, one measure of it or one edge at another [m]."""
    measures = {each: getattr(kind, each).si()[1] for each in MEASURES}
    edges = {each: edge.si()[1] for each, edge in kind.edges.items()}
    (measures if name in measures else edges)[name] = value
    return Knife(**measures, edges=tuple(edges.values()))


@cache
def all_kinds() -> Mapping[str, Knife]:
    """The engine's record of every kind of knife by key."""
    return MappingProxyType({key: knife(kind) for key, kind in load().items()})
