"""How much doubt each coefficient causes in the cost of one field of the reference set.

With the header in good order, or with one part of it out of order before a drawn
stand. Coefficients stand under the keys of their pages.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, replace
from functools import cached_property
from typing import Any, cast

from academy.catalog import ground_following, headers, knives, parts, whole
from academy.engine import economics, spread, whole_header
from academy.engine.cutting_diagram import Knife
from academy.engine.ensemble import Bounds, bounds_of
from academy.engine.header import Readings
from academy.engine.spread import Effort, Floats
from academy.engine.whole_state import Build, State
from academy.grading.verdict import Problem
from academy.scenarios.dice import Dice
from academy.scenarios.out_of_order import PARTS, drawn_state
from academy.service.reference_set import Reference, keys_of

Shares = Mapping[str, float]
IN_ORDER = Effort(draws=8192, others=64, points=24, at_once=4)
OUT_OF_ORDER = Effort(draws=2048, others=12, points=16, at_once=16)
_DRAW_SETS = 4  # fields take turns, so that the chance of one set rules no share
_KNIFE_POINTS = 4
_STATES = 12
_TELLS = 1e-9  # of the cost
_WING_SHARE = "ground.wing_share"


def _cost(done: Readings, problem: Problem) -> Floats:
    """Cost per area; far out a few draws in which all plugs would be all the doubt."""
    field = problem.field
    worth = economics.cost_of_loss(1.0, field.crop_yield, field.grain_price)
    return cast(Floats, spread.cost_or_leave(done.cost, worth))


def in_order(one: Reference) -> Shares:
    """Shares of the variance of the cost of a header in good order."""
    problem, keys = one.problem, keys_of(one.crop)

    def cost(drawn: Mapping[str, Floats]) -> Floats:
        believed = replace(problem.values, **drawn)
        return _cost(problem.run(one.settings, believed), problem)

    bounds = bounds_of(problem.low, problem.values, problem.high)
    seed = spread.SEED + one.place % _DRAW_SETS
    shares = spread.spread(cost, bounds, IN_ORDER, seed).shares
    return {keys[name]: share for name, share in shares.items()}


def _turned(believed: Any, drawn: Mapping[str, Floats]) -> Any:
    names = (field.name for field in fields(believed))
    return replace(believed, **{name: drawn[name] for name in names if name in drawn})


@dataclass(frozen=True)
class _Found:
    """A header with one part out of order, at the settings of its reference."""

    one: Reference
    part: str
    build: Build
    state: State

    @property
    def seed(self) -> int:
        """Of the draws of coefficients; one of its own for each part."""
        return spread.SEED + self.one.place * len(PARTS) + PARTS.index(self.part)

    @cached_property
    def bounds(self) -> Mapping[str, Bounds]:
        """Of all that is drawn as arrays, by key."""
        problem, keys = self.one.problem, keys_of(self.one.crop)
        plain = bounds_of(problem.low, problem.values, problem.high)
        found = {keys[name]: ends for name, ends in plain.items()}
        for name in (self.part, "stand"):
            own = parts.load(name)
            found |= bounds_of(own.low, own.values, own.high)
        if self.part == "wings":
            found[_WING_SHARE] = ground_following.load().wing_share.drawn_si()
        return found

    def readings(
        self,
        drawn: Mapping[str, Floats],
        kinds: Mapping[str, Knife] | None = None,
    ) -> Readings:
        """Readings for coefficients by key, the others at their likeliest."""
        problem, keys = self.one.problem, keys_of(self.one.crop)
        plain = {name: drawn[key] for name, key in keys.items() if key in drawn}
        believed = whole.beliefs()
        for name in (self.part, "stand"):
            own = _turned(getattr(believed, name), drawn)
            believed = replace(believed, **{name: own})
        share = drawn.get(_WING_SHARE, self.build.wing_share)
        return whole_header.run(
            problem.field,
            problem.machine,
            self.one.settings,
            replace(problem.values, **plain),
            replace(self.build, wing_share=share, kinds=kinds or self.build.kinds),
            self.state,
            believed,
        ).readings

    def cost(
        self,
        drawn: Mapping[str, Floats],
        kinds: Mapping[str, Knife] | None = None,
    ) -> Floats:
        """Cost for coefficients by key, the others at their likeliest."""
        return _cost(self.readings(drawn, kinds), self.one.problem)


def _found(one: Reference, part: str) -> _Found | None:
    """The reference with a part so far out of order that it costs, and still works.

    None where no draw does, as of a side slope on level ground.
    """
    header = headers.load(one.facts["header"])
    build = whole.build(one.crop, header)
    usual = getattr(whole.in_order(one.crop, header), part)
    for substream in range(_STATES):
        dice = Dice("out-of-order", part, one.family, one.place, substream)
        state = drawn_state(one.facts, (part,), dice)
        found, order = (
            _Found(one, part, build, each)
            for each in (state, replace(state, **{part: usual}))
        )
        done, wanted = found.readings({}), order.readings({})
        more = abs(float(done.cost) / float(wanted.cost) - 1.0)
        if more > _TELLS and not done.violations["plug_up"]:
            return found
    return None


def _measures(found: _Found) -> Iterator[tuple[str, str, Bounds]]:
    """Kind, name and bounds of each measure of the knives found and built."""
    for key in sorted({found.state.knife.kind, found.build.knife}):
        for name, figure in knives.of(key).figures():
            low, value, high = figure.drawn_si()
            if low < high:
                yield key, name, (low, value, high)


def _of_knives(found: _Found) -> dict[str, float]:
    """Variances of the mean cost over the measures of the knives found and built."""
    others = spread.draws_of(found.bounds, OUT_OF_ORDER.others, found.seed)
    caused = {}
    for key, name, bounds in _measures(found):

        def cost(at: float, key: str = key, name: str = name) -> Floats:
            knife = knives.turned(knives.of(key), name, at)
            return found.cost(others, {**found.build.kinds, key: knife})

        caused[f"{key}.{name}"] = spread.variance_along(cost, bounds, _KNIFE_POINTS)
    return caused


def out_of_order(one: Reference, part: str) -> Shares | None:
    """Shares of the variance of the cost with one part out of order, if that costs.

    Measures of knives are turned one by one in the first run of each crop, and their
    variances added to that which all others cause together.
    """
    found = _found(one, part)
    if found is None:
        return None
    done = spread.spread(found.cost, found.bounds, OUT_OF_ORDER, found.seed)
    caused = {key: share * done.variance for key, share in done.shares.items()}
    knives_too = part == "knife" and one.place == 0  # each takes a diagram
    more = _of_knives(found) if knives_too else {}
    variance = done.variance + sum(more.values())
    return {key: each / variance for key, each in (caused | more).items()}
