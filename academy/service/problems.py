"""What every kind of part needs while it is made: the problem, a plain result."""

from dataclasses import replace
from typing import Any, NamedTuple

from academy.catalog import coefficients
from academy.grading.verdict import Problem
from academy.scenarios import conditions, whole
from academy.scenarios.facts import Facts

_DIGITS = 9  # significant digits of what is stored and compared


class Made(NamedTuple):
    """A part that may be asked: what marking needs, its par, and its chance floor."""

    key: dict[str, Any]
    par: float
    floor: float


def rounded(value: float) -> float:
    """A reading to nine significant digits."""
    return float(f"{value:.{_DIGITS}g}")


def problem_of(facts: Facts, controls: tuple[str, ...]) -> Problem:
    """The set-up of some facts, as the marking room judges it."""
    known_set = coefficients.load(facts["crop"])
    return Problem(
        field=conditions.field_of(facts),
        machine=conditions.machine_of(facts),
        as_found=conditions.as_found(facts),
        controls=tuple(conditions.controls_of(facts, controls)),
        values=known_set.values,
        low=known_set.low,
        high=known_set.high,
    )


def whole_problem_of(facts: Facts, controls: tuple[str, ...]) -> Problem:
    """The set-up of some facts, run by the whole header in the state they tell."""
    return replace(problem_of(facts, controls), engine=whole.engine_of(facts))
