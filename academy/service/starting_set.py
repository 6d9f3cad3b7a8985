"""The starting set: a few scenarios that look at a new person's jobs from all sides.

The first is about working safely; each further one asks as many topics of the crew's
jobs per minute as possible that were not asked yet, so that the set stays short. No
family comes twice. It is offered until it
is done, and not to somebody who has practised as much without it.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from academy.catalog import practice
from academy.catalog.families import Family
from academy.records.queries.practised import Had

PURPOSE = "starting"


@dataclass(frozen=True, slots=True)
class Progress:
    """How many scenarios of the starting set are answered, out of how many."""

    done: int
    of: int

    @property
    def complete(self) -> bool:
        """Whether all are answered."""
        return self.done >= self.of


def topics_of(family: Family) -> frozenset[str]:
    """The topics a family asks."""
    return frozenset(part.topic for part in family.parts)


def choose(
    known: Mapping[str, Family],
    weights: Mapping[str, float],
    safety: Iterable[str],
    given: Sequence[str],
) -> str | None:
    """The family that comes after those ``given``; None when none is left.

    ``weights`` say how much the jobs need each topic; a family is worth what it asks
    anew, per minute that it takes. Of equal families the one with kinds of question not
    seen yet comes first, then the one earlier in the lists.
    """
    minutes_of = practice.load().minutes_of
    left = [key for key in known if key not in given]
    careful = [key for key in left if topics_of(known[key]) & frozenset(safety)]
    asked = {topic for key in given if key in known for topic in topics_of(known[key])}
    kinds = {part.kind for key in given if key in known for part in known[key].parts}

    def worth(key: str) -> tuple[float, int]:
        fresh = topics_of(known[key]) - asked
        asked_kinds = [part.kind for part in known[key].parts]
        gain = sum(weights.get(topic, 0.0) for topic in fresh)
        return gain / minutes_of(asked_kinds), len(set(asked_kinds) - kinds)

    pool = careful if careful and not given else left
    return max(pool, key=worth, default=None)


def fresh_topics(
    known: Mapping[str, Family], family: str, given: Sequence[str]
) -> tuple[str, ...]:
    """The topics of a family that those given before did not ask, in its order."""
    asked = {topic for key in given if key in known for topic in topics_of(known[key])}
    parts = known[family].parts
    return tuple(dict.fromkeys(p.topic for p in parts if p.topic not in asked))


def progress(
    had: Sequence[Had], known: Mapping[str, Family], works: bool
) -> Progress | None:
    """How far a person is; None for whom the set is not, or no longer, meant."""
    mine = [one for one in had if one.purpose == PURPOSE]
    most = min(practice.load().starting, len(known))
    answered = sum(one.answered_at is not None for one in had)
    if not mine and (not works or answered >= most):
        return None
    return Progress(sum(one.answered_at is not None for one in mine), most)
