"""The pictures that a lesson can name: what is drawn, and what stands out of order."""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Literal

from pydantic import Field as Named
from pydantic import RootModel

from academy import paths
from academy.catalog.toml_files import Record, Twin, Words, read
from academy.engine.ground_following import Freedom

Drawn = Literal[
    "side",
    "losses",
    "cost",
    "stack",
    "pace",
    "knife",
    "mat",
    "wings",
    "reel-sections",
    "ground",
    "day",
    "stubble",
    "ends",
    "money",
]
Facts = dict[str, tuple[float, str] | Words]


class Compared(Record):
    """One bar of a loss strip: facts that differ, settings as times the best.

    ``times`` names settings, or ``moisture``: times that of an ordinary field.
    """

    label: Twin
    facts: Facts = Named(default_factory=dict)
    times: dict[str, float] = Named(default_factory=dict)


class LessonPicture(Record):
    """One picture, drawn for the reader's crop and header at the best settings.

    ``facts`` say how field and header differ from what is ordinary and in order,
    ``times`` which settings from the best. ``control``, ``knife``, ``fault``, ``day``
    say which of several to draw, ``late`` whether the cost of a late season counts;
    ``compared`` are the bars of a loss strip.
    """

    drawn: Drawn
    caption: Twin
    control: str = ""
    knife: str = ""
    fault: str = ""
    day: str = ""
    freedom: Freedom = "free"
    late: bool = False
    facts: Facts = Named(default_factory=dict)
    times: dict[str, float] = Named(default_factory=dict)
    compared: tuple[Compared, ...] = ()


class _Pictures(RootModel[dict[str, LessonPicture]]):
    pass


@cache
def load() -> Mapping[str, LessonPicture]:
    """Pictures by key; raises ContentError."""
    path = paths.content() / "lesson_pictures.toml"
    return MappingProxyType(read(_Pictures, path).root)
