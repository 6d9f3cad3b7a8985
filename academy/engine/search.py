"""The best settings a machine's own steps allow, found in few and full batches.

A space-filling sample of the grid gives the start. Every round then asks the engine
once for all moves of one or two steps in one or two controls around the best point so
far; the first round also for every position of each single control, and for all joint
moves of every control at a coarse and at a fine spacing. The best becomes
the next centre; the search ends at a centre that nothing around it betters. Settings
that break a hard limit are never best.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache, cached_property
from itertools import combinations_with_replacement, product
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from academy.engine import header
from academy.engine.coefficients import Coefficients
from academy.engine.conditions import Field, Machine, Settings
from academy.engine.readings import Readings
from academy.engine.si import MoneyPerSquareMetre, Number
from academy.errors import OutOfRange

Floats: TypeAlias = NDArray[np.float64]
Steps: TypeAlias = NDArray[np.int64]

_SAMPLE = 320
_SAMPLE_AGAIN = 8192  # when the first sample holds no safe point
_SPACINGS = (8, 24)  # joint moves: this many to a control's whole range
_LINE = 128  # positions of one control that a round looks at, at most
_KEPT = 1024  # of the points looked at, the least costly


@dataclass(frozen=True, slots=True)
class Control:
    """One setting that may be turned: its name and its steps, in SI."""

    name: str
    low: float
    high: float
    step: float

    @property
    def size(self) -> int:
        """How many positions the control has."""
        return int(np.floor((self.high - self.low) / self.step + 1e-9)) + 1

    def at(self, steps: Steps) -> Floats:
        """Values at whole numbers of steps above the lowest."""
        return np.asarray(self.low + self.step * steps, dtype=np.float64)


@dataclass(frozen=True)
class Best:
    """The best settings, their cost, and the best of the points that were looked at."""

    settings: Settings
    cost: float
    controls: Sequence[Control]
    seen: Sequence[tuple[Steps, Floats]]

    @cached_property
    def _lowest(self) -> tuple[Steps, Floats]:
        return _lowest(self.seen, tuple(control.size for control in self.controls))

    @property
    def visited(self) -> Floats:
        """The least costly points looked at, once each: (points, controls), SI."""
        rows = zip(self.controls, self._lowest[0], strict=True)
        return np.column_stack([control.at(row) for control, row in rows])

    @property
    def visited_cost(self) -> Floats:
        """Their costs; infinite where a hard limit is broken."""
        return self._lowest[1]


def _lowest(
    seen: Sequence[tuple[Steps, Floats]], sizes: tuple[int, ...]
) -> tuple[Steps, Floats]:
    """The least costly points looked at, once each."""
    costs = np.concatenate([c for _, c in seen])
    kept = costs.argpartition(min(_KEPT, len(costs)) - 1)[:_KEPT]
    points = np.concatenate([p for p, _ in seen], axis=1).take(kept, axis=1)
    place = np.ravel_multi_index(tuple(points), sizes)
    order = place.argsort()
    place = place[order]
    once = order[np.concatenate([place[1:] != place[:-1], [True]])]
    return points[:, once], costs[kept[once]]


def safe_cost(readings: Readings) -> MoneyPerSquareMetre:
    """Cost per area, infinite where a hard limit is broken."""
    first, *others = readings.violations.values()
    for flags in others:
        first = first | flags
    cost: MoneyPerSquareMetre = np.where(first, np.inf, readings.cost)
    return cost


@cache
def _moves(sizes: tuple[int, ...], spacings: tuple[int, ...]) -> Steps:
    """Joint moves at each spacing, near moves of one or two controls, as columns."""
    count, signs = len(sizes), (-1, 0, 1)
    rows = [
        [
            sign * max(1, round(size / part))
            for sign, size in zip(way, sizes, strict=True)
        ]
        for part, way in product(spacings, product(signs, repeat=count))
    ]
    pairs = combinations_with_replacement(range(count), 2)
    near = product(pairs, product(range(-2, 3), repeat=2))
    for (i, j), (a, b) in near:
        row = [0] * count
        row[i], row[j] = a, b
        rows.append(row)
    return np.unique(np.asarray(rows, dtype=np.int64), axis=0).T.copy()


@cache
def _lines(sizes: tuple[int, ...]) -> tuple[Steps, Steps]:
    """Which control moves, and to which position, along the line of each control."""
    ends = [np.linspace(0, size - 1, min(size, _LINE)) for size in sizes]
    which = np.repeat(np.arange(len(sizes)), [len(line) for line in ends])
    return which, np.rint(np.concatenate(ends)).astype(np.int64)


@cache
def _sample(sizes: tuple[int, ...], points: int) -> Steps:
    """Points spread evenly over the grid: an additive recurrence, no chance in it."""
    ratio = 2.0
    for _ in range(40):  # the root of x^(d+1) = x + 1
        ratio = (1.0 + ratio) ** (1.0 / (len(sizes) + 1))
    pace = ratio ** -np.arange(1, len(sizes) + 1)
    spread = (0.5 + np.arange(points) * pace[:, None]) % 1.0
    steps: Steps = np.floor(spread * np.asarray(sizes)[:, None]).astype(np.int64)
    return steps


@cache
def _round(
    sizes: tuple[int, ...], spacings: tuple[int, ...]
) -> tuple[Steps, Steps, Steps]:
    """How a centre becomes points: times the first, plus the second, to the third."""
    moves = _moves(sizes, spacings)
    last = np.asarray(sizes, dtype=np.int64)[:, None] - 1
    if not spacings:
        return np.ones_like(moves), moves, last
    which, position = _lines(sizes)
    along = np.arange(len(which))
    stays = np.ones((len(sizes), len(which)), dtype=np.int64)
    stays[which, along] = 0
    placed = np.zeros_like(stays)
    placed[which, along] = position
    stays = np.concatenate([stays, np.ones_like(moves)], axis=1)
    return stays, np.concatenate([placed, moves], axis=1), last


def _around(centre: Steps, sizes: tuple[int, ...], spacings: tuple[int, ...]) -> Steps:
    """All that one round looks at, as columns."""
    stays, moved, last = _round(sizes, spacings)
    tried: Steps = centre[:, None] * stays + moved
    np.maximum(tried, 0, out=tried)
    np.minimum(tried, last, out=tried)
    return tried


@dataclass(frozen=True, slots=True)
class _Looks:
    """What the engine said of every batch of points, each a column of steps."""

    field: Field
    machine: Machine
    settings: Mapping[str, Number]  # by name
    names: tuple[str, ...]
    low: Floats  # a column each, one row a control
    step: Floats
    coefficients: Coefficients
    run: header.Run
    seen: list[tuple[Steps, Floats]]

    def at(self, points: Steps) -> tuple[Steps, float]:
        """The best of these points, and its cost."""
        values = self.low + self.step * points
        turned = dict(zip(self.names, values, strict=True))
        tried = Settings(**{**self.settings, **turned})
        cost = safe_cost(self.run(self.field, self.machine, tried, self.coefficients))
        full = np.asarray(cost)
        if full.shape != points.shape[1:]:
            full = np.broadcast_to(full, points.shape[1:])
        self.seen.append((points, full))
        least = full.argmin()
        return points[:, least], float(full[least])


def _descend(looks: _Looks, sizes: tuple[int, ...]) -> tuple[Steps, float]:
    """Sample, then move to the best of each round until a round finds none better."""
    centre, cost = looks.at(_sample(sizes, _SAMPLE))
    if cost == np.inf:
        centre, cost = looks.at(_sample(sizes, _SAMPLE_AGAIN))
    spacings: tuple[int, ...] = _SPACINGS
    while True:
        found, found_cost = looks.at(_around(centre, sizes, spacings))
        if not found_cost < cost:
            return centre, cost
        centre, cost, spacings = found, found_cost, ()


def best(
    field: Field,
    machine: Machine,
    settings: Settings,
    controls: Sequence[Control],
    coefficients: Coefficients,
    run: header.Run = header.run,
) -> Best:
    """The least costly safe settings on the controls' grid; others stay as they are.

    ``run`` is the engine: of a header in good order, or of a whole header in its state.

    Raises OutOfRange when no point of the grid that was looked at is safe.
    """
    looks = _Looks(
        field,
        machine,
        {name: getattr(settings, name) for name in Settings.__slots__},
        tuple(control.name for control in controls),
        np.array([[control.low] for control in controls]),
        np.array([[control.step] for control in controls]),
        coefficients,
        run,
        [],
    )
    at, cost = _descend(looks, tuple(control.size for control in controls))
    if cost == np.inf:
        tried = sum(len(costs) for _, costs in looks.seen)
        raise OutOfRange("no_safe_setting", name="controls", value=tried)
    values = {c.name: float(c.at(step)) for c, step in zip(controls, at, strict=True)}
    return Best(replace(settings, **values), cost, controls, looks.seen)
