"""The best settings a machine's own steps allow, found in batches.

A space-filling sample of the grid, then the best few starts walk together: in every
round each looks at all its single moves and moves in pairs, near and far, and takes the
best. A walk ends only where no move of one or two steps in one or two controls helps.
Settings that break a hard limit are never best.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import combinations, product
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from academy.engine import header
from academy.engine.coefficients import Coefficients
from academy.engine.conditions import Field, Machine, Settings
from academy.engine.readings import Readings
from academy.engine.si import MoneyPerSquareMetre
from academy.errors import OutOfRange

Floats: TypeAlias = NDArray[np.float64]
Steps: TypeAlias = NDArray[np.int64]

_SAMPLE = 1024
_STARTS = 6
_SINGLE = (1, 2, 3, 5, 8, 13, 21)
_PAIR_NEAR = (1, 2)
_PAIR_FAR = (4, 8)


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


@dataclass(frozen=True, slots=True)
class Best:
    """The best settings, their cost, and every point of the grid that was looked at."""

    settings: Settings
    cost: float
    visited: Floats
    visited_cost: Floats


def safe_cost(readings: Readings) -> MoneyPerSquareMetre:
    """Cost per area, infinite where a hard limit is broken."""
    broken: NDArray[np.bool_] = np.zeros(np.shape(readings.cost), dtype=bool)
    for flags in readings.violations.values():
        broken = broken | flags
    cost: MoneyPerSquareMetre = np.where(broken, np.inf, readings.cost)
    return cost


@cache
def _moves(count: int) -> Steps:
    """Moves of one control, and of two at once, as rows of steps."""
    rows = []
    for k, far, sign in product(range(count), _SINGLE, (-1, 1)):
        row = [0] * count
        row[k] = sign * far
        rows.append(row)
    near = tuple(product((-2, -1, 1, 2), repeat=2))
    wide = tuple(
        (a * far, b * far) for far in _PAIR_FAR for a in (-1, 1) for b in (-1, 1)
    )
    for (i, j), (a, b) in product(combinations(range(count), 2), near + wide):
        row = [0] * count
        row[i], row[j] = a, b
        rows.append(row)
    return np.asarray(rows, dtype=np.int64)


def _sample(sizes: Steps) -> Steps:
    """Points spread evenly over the grid: an additive recurrence, no chance in it."""
    ratio = 2.0
    for _ in range(40):  # the root of x^(d+1) = x + 1
        ratio = (1.0 + ratio) ** (1.0 / (len(sizes) + 1))
    pace = ratio ** -np.arange(1, len(sizes) + 1)
    spread = (0.5 + np.arange(_SAMPLE)[:, None] * pace) % 1.0
    return np.floor(spread * sizes).astype(np.int64)


def _walk(
    look: Callable[[Steps], Floats], at: Steps, cost: Floats, moves: Steps, last: Steps
) -> None:
    """Walk all starts downhill together until none finds a better move."""
    active = np.ones(len(at), dtype=bool)
    while active.any():
        rows = np.flatnonzero(active)
        tried = np.clip(at[rows, None, :] + moves, 0, last)
        found = look(tried.reshape(-1, at.shape[1])).reshape(len(rows), len(moves))
        pick = found.argmin(axis=1)
        value = found[np.arange(len(rows)), pick]
        better = value < cost[rows]
        at[rows[better]] = tried[np.arange(len(rows)), pick][better]
        cost[rows[better]] = value[better]
        active[rows[~better]] = False


def _lookup(
    field: Field,
    machine: Machine,
    settings: Settings,
    controls: Sequence[Control],
    coefficients: Coefficients,
    seen: list[tuple[Steps, Floats]],
) -> Callable[[Steps], Floats]:
    def look(points: Steps) -> Floats:
        values = {c.name: c.at(points[:, k]) for k, c in enumerate(controls)}
        tried = replace(settings, **values)
        cost = safe_cost(header.run(field, machine, tried, coefficients))
        full: Floats = np.broadcast_to(np.asarray(cost), len(points))
        seen.append((points, full))
        return full

    return look


def _once(seen: list[tuple[Steps, Floats]], sizes: Steps) -> tuple[Steps, Floats]:
    """Every point looked at, once each."""
    points = np.concatenate([p for p, _ in seen])
    costs = np.concatenate([c for _, c in seen])
    pace = np.concatenate([[1], np.cumprod(sizes[:-1])])
    first = np.unique(points @ pace, return_index=True)[1]
    return points[first], costs[first]


def best(
    field: Field,
    machine: Machine,
    settings: Settings,
    controls: Sequence[Control],
    coefficients: Coefficients,
) -> Best:
    """The least costly safe settings on the controls' grid; others stay as they are.

    Raises OutOfRange when no point of the grid that was looked at is safe.
    """
    sizes = np.asarray([control.size for control in controls], dtype=np.int64)
    seen: list[tuple[Steps, Floats]] = []
    look = _lookup(field, machine, settings, controls, coefficients, seen)
    points = _sample(sizes)
    cost = look(points)
    starts = np.argsort(cost, kind="stable")[:_STARTS]
    _walk(look, points[starts], cost[starts], _moves(len(controls)), sizes - 1)
    visited, visited_cost = _once(seen, sizes)
    least = int(visited_cost.argmin())
    if not np.isfinite(visited_cost[least]):
        raise OutOfRange("no_safe_setting", name="controls", value=len(visited))
    values = {
        control.name: float(control.at(visited[least, k]))
        for k, control in enumerate(controls)
    }
    return Best(
        settings=replace(settings, **values),
        cost=float(visited_cost[least]),
        visited=np.column_stack([c.at(visited[:, k]) for k, c in enumerate(controls)]),
        visited_cost=visited_cost,
    )
