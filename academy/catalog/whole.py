"""A whole header from the content: its build, parts as they should be, beliefs."""

from collections.abc import Iterator, Mapping
from dataclasses import fields, replace
from functools import cache
from types import MappingProxyType
from typing import Literal

from academy.catalog import (
    ground_following,
    hours,
    knives,
    mouths,
    parts,
    stands,
    wings,
)
from academy.catalog.evidence import Named
from academy.catalog.headers import Header
from academy.engine.hung_bar import BarBuild
from academy.engine.whole_state import Beliefs, Build, State

PARTS = tuple(field.name for field in fields(Beliefs))


def _bar() -> BarBuild:
    known = ground_following.load()
    return BarBuild(
        section_float=known.si("section_float"),
        half_free_weight=known.si("half_free_weight"),
        knife_lead=known.si("knife_lead"),
        dead_time=known.si("dead_time"),
    )


def build(crop: str, header: Header) -> Build:
    """Build of a header, and the hours of a crop; raises NotFound, ContentError."""
    return Build(
        reel_parts=float(header.parts.reel_parts),
        wing_share=ground_following.load().wing_share.si()[1],
        holds=wings.load().designs[header.parts.wings].holds,
        bar=_bar(),
        mouth=mouths.mouth(header),
        hours=hours.hours_of(crop),
        usual_green=stands.stand_of(crop).green_stems,
        kinds={key: knives.knife(kind) for key, kind in knives.load().items()},
        knife=header.parts.knife,
    )


def in_order(crop: str, header: Header) -> State:
    """An ordinary stand of a crop before a header in good order; raises NotFound."""
    own = {name: parts.load(name).in_order for name in PARTS if name != "stand"}
    own["knife"] = replace(own["knife"], kind=header.parts.knife)
    own["flow"] = replace(own["flow"], drum_rate=mouths.mouth(header).slowest_drum)
    return State(stand=stands.stand_of(crop), **own)


@cache
def beliefs(end: Literal["low", "values", "high"] = "values") -> Beliefs:
    """What is believed of stems and parts, or one end of it; raises ContentError."""
    return Beliefs(**{name: getattr(parts.load(name), end) for name in PARTS})


def entries() -> Iterator[tuple[str, Mapping[str, Named]]]:
    """Each part with its coefficients by name; raises ContentError."""
    for name in PARTS:
        yield name, MappingProxyType(parts.load(name).entries)
