"""Set-ups as they are really asked, to judge again."""

from collections.abc import Callable
from functools import cache

import pytest

from academy.catalog.families import known
from academy.grading.verdict import Problem, SetUpVerdict, judge
from academy.scenarios.draw import draw
from academy.service.problems import problem_of

SET_UPS = {
    key: next(part for part in family.parts if part.kind == "set-up")
    for key, family in known().items()
    if any(part.kind == "set-up" for part in family.parts)
}


@pytest.fixture(params=sorted(SET_UPS))
def set_up(request: pytest.FixtureRequest) -> str:
    """The key of each family that asks for a set-up, in turn."""
    return str(request.param)


def _drawn(key: str, seed: int, substream: int = 0) -> Problem:
    facts = draw(key, known()[key], seed, substream)
    return problem_of(facts, SET_UPS[key].controls)


@cache
def _judged(key: str, seed: int, substream: int = 0) -> SetUpVerdict:
    return judge(_drawn(key, seed, substream))


@pytest.fixture
def drawn() -> Callable[..., Problem]:
    """A drawn set-up of a family, whether it may be asked or not."""
    return _drawn


@pytest.fixture
def judged_once() -> Callable[..., SetUpVerdict]:
    """The verdict on a drawn set-up, kept for the next test that asks for it."""
    return _judged
