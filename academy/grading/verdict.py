"""May this drawn set-up be asked? The answer the coefficients' doubt allows.

Every draw of the uncertain coefficients is run over one shared candidate set, so that
model doubt is measured, never charged to the trainee.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from academy.engine import ensemble, header, search
from academy.engine.coefficients import Coefficients
from academy.engine.header import Field, Machine, Readings, Settings
from academy.engine.search import Control

DRAWS, DRAW_SEED = 256, 20
_SPACE, _VISITED, _NEAR, _NEAR_STEPS = 256, 512, 768, 4
_FLOOR_SHARE = 0.001  # of the crop's value: less than this is not worth a mark
_MARGIN = 3.0  # the machine as found must be this many times worse than r1
Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Problem:
    """A set-up to judge: what stands, what may be chosen, what is known, how well."""

    field: Field
    machine: Machine
    as_found: Settings
    controls: tuple[Control, ...]
    values: Coefficients
    low: Coefficients
    high: Coefficients
    engine: header.Run = header.run

    def run(self, settings: Settings, coefficients: Coefficients) -> Readings:
        """Readings of some settings by the problem's engine."""
        return self.engine(self.field, self.machine, settings, coefficients)


@dataclass(frozen=True, slots=True)
class SetUpVerdict:
    """The best settings, what they cost, and how much doubt there is. [money/m2]"""

    best: Settings
    best_cost: float
    found_cost: float
    r0: float
    r1: float
    found_low: float
    accepted: bool


def draws_of(problem: Problem, size: int = DRAWS) -> Coefficients:
    """The ensemble as columns, so that settings can run along the rows."""
    return ensemble.column(
        ensemble.draw(
            problem.low, problem.values, problem.high, size=size, seed=DRAW_SEED
        )
    )


def settings_at(start: Settings, controls: Sequence[Control], rows: Array) -> Settings:
    """Settings with one array a control; ``rows`` is (points, controls), SI."""
    chosen = {c.name: rows[:, place] for place, c in enumerate(controls)}
    return replace(start, **chosen)


def cost_of(problem: Problem, settings: Settings, coefficients: Coefficients) -> Array:
    """Cost [money/m2], infinite where a hard limit is broken."""
    readings = problem.run(settings, coefficients)
    return np.asarray(search.safe_cost(readings))


def _chosen(settings: Settings, controls: Sequence[Control]) -> Array:
    return np.array([float(getattr(settings, c.name)) for c in controls])


def _clipped(rows: Array, controls: Sequence[Control]) -> Array:
    low = np.array([c.low for c in controls])
    high = np.array([c.high for c in controls])
    return np.clip(rows, low, high)


def candidates(problem: Problem, found: search.Best) -> Array:
    """Shared candidate set: space-filling, the best visited, and near the key."""
    controls = problem.controls
    rng = np.random.Generator(np.random.PCG64(DRAW_SEED))
    low = np.array([c.low for c in controls])
    span = np.array([c.high - c.low for c in controls])
    step = np.array([c.step for c in controls])
    space = low + span * rng.random((_SPACE, len(controls)))
    order = np.argsort(found.visited_cost, kind="stable")[:_VISITED]
    offset = np.floor(rng.random((_NEAR, len(controls))) * (2 * _NEAR_STEPS + 1))
    near = _chosen(found.settings, controls) + (offset - _NEAR_STEPS) * step
    return _clipped(np.vstack([space, found.visited[order], near]), controls)


def one_step_loss(problem: Problem, best: Settings, best_cost: float) -> float:
    """The smallest loss of moving one control by one step off the best."""
    controls = problem.controls
    centre = _chosen(best, controls)
    steps = np.diag([c.step for c in controls])
    rows = _clipped(np.vstack([centre + steps, centre - steps]), controls)
    moved = np.abs(rows - centre).sum(axis=1) > 0
    around = settings_at(problem.as_found, controls, rows[moved])
    losses = cost_of(problem, around, problem.values) - best_cost
    finite = losses[np.isfinite(losses)]
    return float(max(finite.min(), 0.0)) if finite.size else 0.0


def judge(problem: Problem) -> SetUpVerdict:
    """Search the best settings, then ask the ensemble whether the question is fair.

    Accepted when the 10 % quantile over the draws of what the machine as found costs
    above the least is at least three times ``r1``: the largest of a thousandth of the
    crop's value, one step of a control, and the 95 % quantile of the key's own regret.
    """
    found = search.best(
        problem.field,
        problem.machine,
        problem.as_found,
        problem.controls,
        problem.values,
        problem.engine,
    )
    rows = np.vstack(
        [
            _chosen(found.settings, problem.controls),
            _chosen(problem.as_found, problem.controls),
            candidates(problem, found),
        ]
    )
    settings = settings_at(problem.as_found, problem.controls, rows)
    costs = cost_of(problem, settings, draws_of(problem))
    readings = problem.run(problem.as_found, problem.values)
    return _verdict(problem, found, costs, float(readings.cost))


def _verdict(
    problem: Problem, found: search.Best, costs: Array, found_cost: float
) -> SetUpVerdict:
    least = costs.min(axis=1)
    with np.errstate(invalid="ignore"):
        key_regret = np.quantile(costs[:, 0] - least, 0.95)
        found_low = float(np.quantile(costs[:, 1] - least, 0.10))
    value = float(problem.field.crop_yield * problem.field.grain_price)
    step = one_step_loss(problem, found.settings, found.cost)
    r1 = float(max(_FLOOR_SHARE * value, step, key_regret))
    r0 = found_cost - float(found.cost)
    fair = bool(np.isfinite(r1) and r0 > r1 and found_low >= _MARGIN * r1)
    return SetUpVerdict(
        found.settings, float(found.cost), found_cost, r0, r1, found_low, fair
    )
