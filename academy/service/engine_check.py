"""Every coefficient of the engine with its evidence, and how much doubt it causes.

Reference fields are drawn from the set-up families of each crop; the machine stands at
the settings that are best by the likeliest coefficients. Then ``engine/spread.py`` says
how much of the spread of the cost each coefficient causes by itself.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from statistics import fmean, stdev
from typing import cast

from academy.catalog import coefficients, crops, families
from academy.catalog.evidence import Named
from academy.engine import search
from academy.engine.ensemble import bounds_of
from academy.engine.spread import Floats, Spread, spread
from academy.errors import ContentError, OutOfRange
from academy.grading.verdict import Problem
from academy.language import Reader, gettext, marked
from academy.scenarios.draw import draw
from academy.service.problems import problem_of

FIELDS = 24  # of each crop
_TRIES = 40
METHOD = marked(
    "Share of the variance of the cost per area that a coefficient causes by itself "
    "(first-order Sobol' index), the mean over %(fields)s drawn fields of %(crops)s at "
    "their best settings. A coefficient's range is taken as triangular about its "
    "value. All shares together: %(total)s %%, give or take %(error)s; the rest is "
    "caused by several together."
)


@dataclass(frozen=True, slots=True)
class Known:
    """One coefficient under the key of its page, with its share and crop, if any."""

    key: str
    figure: Named
    crop: str | None
    share: float
    error: float  # twice the standard error over the fields


@dataclass(frozen=True, slots=True)
class EngineCheck:
    """Every coefficient, those that matter most first; what all shares come to."""

    known: tuple[Known, ...]
    fields: int
    crops: tuple[str, ...]
    total: float
    error: float


def crops_asked() -> tuple[str, ...]:
    """Crops that some family asks a set-up of."""
    asked = [f.crop for f in families.known().values() if _controls(f)]
    return tuple(dict.fromkeys(sorted(asked)))


def _controls(family: families.Family) -> tuple[str, ...]:
    """Controls of the family's first set-up; empty where it has none."""
    return next((tuple(p.controls) for p in family.parts if p.kind == "set-up"), ())


def _drawn(key: str, family: families.Family, seed: int) -> tuple[Problem, search.Best]:
    """A set-up of a family that has a safe answer, and that answer."""
    for substream in range(_TRIES):
        problem = problem_of(draw(key, family, seed, substream), _controls(family))
        try:
            return problem, search.best(
                problem.field,
                problem.machine,
                problem.as_found,
                problem.controls,
                problem.values,
                problem.engine,
            )
        except OutOfRange:
            continue
    raise ContentError("no_fair_draw", file=f"questions/{key}", seed=seed)


def _fields(crop: str, count: int) -> Iterator[tuple[Problem, search.Best]]:
    """Drawn set-ups of a crop, its families by turns."""
    asked = [
        (k, f) for k, f in families.known().items() if f.crop == crop and _controls(f)
    ]
    for place in range(count):
        key, family = asked[place % len(asked)]
        yield _drawn(key, family, place)


def _spread_of(problem: Problem, found: search.Best) -> Spread:
    def cost(drawn: Mapping[str, Floats]) -> Floats:
        believed = replace(problem.values, **drawn)
        done = problem.run(found.settings, believed)
        return cast(Floats, done.cost)

    return spread(cost, bounds_of(problem.low, problem.values, problem.high))


def _keys(crop: str) -> Mapping[str, str]:
    """Name of each coefficient of a crop -> key of its page."""
    own = crops.load(crop).coefficients
    entries = coefficients.entries_for(crop)
    return {name: f"{crop}.{name}" if name in own else name for name in entries}


def _twice_error(values: list[float]) -> float:
    return 2.0 * stdev(values) / len(values) ** 0.5 if len(values) > 1 else 0.0


def engine_check(count: int = FIELDS) -> EngineCheck:
    """Coefficients with their shares, from ``count`` drawn fields of each crop.

    Same content, same shares. Raises ContentError for broken content.
    """
    asked = crops_asked()
    figures: dict[str, tuple[Named, str | None]] = {}
    shares: list[Mapping[str, float]] = []
    for crop in asked:
        keys, entries = _keys(crop), coefficients.entries_for(crop)
        for name, key in keys.items():
            figures[key] = entries[name], crop if key != name else None
        for problem, found in _fields(crop, count):
            caused = _spread_of(problem, found).shares
            shares.append({keys[name]: share for name, share in caused.items()})
    known = [
        Known(key, figure, crop, fmean(each), _twice_error(each))
        for key, (figure, crop) in figures.items()
        for each in ([one.get(key, 0.0) for one in shares],)
    ]
    totals = [sum(one.values()) for one in shares]
    return EngineCheck(
        known=tuple(sorted(known, key=lambda one: (-one.share, one.key))),
        fields=len(shares),
        crops=asked,
        total=fmean(totals),
        error=_twice_error(totals),
    )


def method(checked: EngineCheck, reader: Reader) -> str:
    """How the shares were found and how far they may be off, in words."""
    named = [crops.load(c).name.for_language(reader.language) for c in checked.crops]
    return gettext(METHOD, reader.language) % {
        "fields": checked.fields,
        "crops": ", ".join(named),
        "total": f"{100 * checked.total:.1f}",
        "error": f"{100 * checked.error:.1f}",
    }
