"""The reference set: drawn fields at the settings that are best by likeliest beliefs.

Fields come from the set-up families of a crop, by turns; the header is in good order.
"""

from collections.abc import Iterator, Mapping
from functools import cache
from types import MappingProxyType
from typing import NamedTuple

from academy.catalog import coefficients, crops, families
from academy.engine import search
from academy.engine.header import Settings
from academy.errors import ContentError, OutOfRange
from academy.grading.verdict import Problem
from academy.scenarios.draw import draw
from academy.scenarios.facts import Facts
from academy.service.problems import problem_of

_TRIES = 40


class Reference(NamedTuple):
    """A drawn set-up and its best settings; ``place`` counts those of a crop."""

    family: str
    place: int
    facts: Facts
    problem: Problem
    settings: Settings

    @property
    def crop(self) -> str:
        """The key of its crop."""
        return str(self.facts["crop"])


def controls_of(family: families.Family) -> tuple[str, ...]:
    """Controls of the family's first set-up; empty where it has none."""
    return next((tuple(p.controls) for p in family.parts if p.kind == "set-up"), ())


def crops_asked() -> tuple[str, ...]:
    """Crops that some family asks a set-up of."""
    asked = [one.crop for one in families.known().values() if controls_of(one)]
    return tuple(dict.fromkeys(sorted(asked)))


def _reference(key: str, place: int) -> Reference:
    """A set-up of a family that has a safe answer, and that answer."""
    family = families.load(key)
    for substream in range(_TRIES):
        facts = draw(key, family, place, substream)
        problem = problem_of(facts, controls_of(family))
        try:
            found = search.best(
                problem.field,
                problem.machine,
                problem.as_found,
                problem.controls,
                problem.values,
                problem.engine,
            )
        except OutOfRange:
            continue
        return Reference(key, place, facts, problem, found.settings)
    raise ContentError("no_fair_draw", file=f"questions/{key}", seed=place)


def reference_set(crop: str, count: int) -> Iterator[Reference]:
    """Drawn set-ups of a crop, its families by turns; raises ContentError."""
    asked = [
        key
        for key, family in families.known().items()
        if family.crop == crop and controls_of(family)
    ]
    for place in range(count):
        yield _reference(asked[place % len(asked)], place)


@cache
def keys_of(crop: str) -> Mapping[str, str]:
    """Name of each coefficient of a crop's plain run -> key of its page."""
    own = crops.load(crop).coefficients
    entries = coefficients.entries_for(crop)
    return MappingProxyType(
        {name: f"{crop}.{name}" if name in own else name for name in entries}
    )
