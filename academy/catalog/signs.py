"""Signs that one can measure or see at a header and behind it, and how finely."""

from functools import cache
from typing import Literal

from academy import paths
from academy.catalog.evidence import Evidenced
from academy.catalog.toml_files import Record, Twin, Words, read

Laid = Literal["across", "sides", "whole"]  # left, middle, right; left, right; once
PLACES: dict[Laid, int] = {"across": 3, "sides": 2, "whole": 1}


class Sign(Record):
    """One sign of ``content/signs.toml``: where it is taken, and what just shows.

    ``shown_as`` is a kind of quantity, or one of the service's own ways to say it.
    """

    name: Twin
    group: Words
    laid: Laid = "whole"
    shown_as: Words
    grows: bool = True  # whether that difference grows with what is there
    visible: Evidenced  # difference that just shows, where there is next to nothing


class _Signs(Record):
    groups: dict[str, Twin]
    signs: dict[str, Sign]
    relative: Evidenced  # what a just visible difference grows by with what is there
    apart: Evidenced  # just visible steps between two faults that are asked together
    ends_zone: Evidenced  # width at each end over which its loss is counted


@cache
def _read() -> _Signs:
    return read(_Signs, paths.content() / "signs.toml")


def load() -> dict[str, Sign]:
    """Signs by key, in the order in which they are told; raises ContentError."""
    return _read().signs


def groups() -> dict[str, Twin]:
    """Names of the groups that signs are told in; raises ContentError."""
    return _read().groups


def of_groups(wanted: tuple[str, ...]) -> tuple[str, ...]:
    """Keys of all signs of some groups, in the order in which they are told."""
    return tuple(key for key, sign in load().items() if sign.group in wanted)


def relative() -> float:
    """Growth of a just visible difference with what is there [1]."""
    return _read().relative.value


def apart() -> float:
    """Just visible steps that must lie between two faults that are offered [1]."""
    return _read().apart.value


def ends_zone() -> float:
    """Width at each end over which its loss is counted [m]."""
    return _read().ends_zone.si()[1]
