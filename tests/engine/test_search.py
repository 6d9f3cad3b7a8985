"""Best settings against every point of a small grid, and against another optimiser."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from scipy.optimize import differential_evolution

from academy.engine import search
from academy.engine.header import Settings, run
from academy.engine.search import Control
from academy.errors import OutOfRange

BUSHEL, ACRE = 60 * 0.45359237, 4046.8564224


def some_field(field, number):
    """An ordinary or lodged field of its own for each number."""
    rng = np.random.Generator(np.random.PCG64(number))
    lodging = float(rng.uniform(0.3, 1.0)) if rng.random() < 0.4 else 0.0
    return replace(
        field,
        crop_yield=float(rng.uniform(30, 80)) * BUSHEL / ACRE,
        crop_height=float(rng.uniform(0.76, 1.07)) * (1 - lodging / 2),
        moisture=float(rng.uniform(0.09, 0.16)),
        lodging=lodging,
        lowest_grain=float(rng.uniform(0.104, 0.188)),
        mog_ratio=float(rng.uniform(0.8, 1.2)),
        ground_roughness=256e-6 * 16 ** float(rng.random()),
        slope=float(rng.uniform(0, 0.12)),
        grain_price=float(rng.uniform(8, 15)) / BUSHEL,
    )


def at_steps(settings, controls, steps):
    values = {c.name: c.at(np.rint(k)) for c, k in zip(controls, steps, strict=True)}
    return replace(settings, **values)


def least_by_evolution(field, machine, settings, controls, coefficients):
    """Least safe cost that differential evolution finds on the same grid."""

    def cost(steps):
        tried = at_steps(settings, controls, steps)
        return search.safe_cost(run(field, machine, tried, coefficients))

    return min(
        differential_evolution(
            cost,
            [(0, control.size - 1) for control in controls],
            integrality=[True] * len(controls),
            vectorized=True,
            updating="deferred",
            popsize=20,
            maxiter=250,
            tol=1e-10,
            polish=False,
            rng=start,
        ).fun
        for start in range(2)
    )


def check_against_evolution(numbers, field, machine, settings, controls, soybean):
    for number in numbers:
        here = some_field(field, number)
        found = search.best(here, machine, settings, controls, soybean.values)
        least = least_by_evolution(here, machine, settings, controls, soybean.values)
        assert found.cost <= least * 1.001, number


def test_evolution_finds_nothing_better_on_five_fields(
    field, machine, settings, controls, soybean
):
    check_against_evolution(range(5), field, machine, settings, controls, soybean)


@pytest.mark.long
def test_evolution_finds_nothing_better_on_thirty_fields(
    field, machine, settings, controls, soybean
):
    check_against_evolution(range(5, 35), field, machine, settings, controls, soybean)


def test_two_controls_match_every_point_of_their_grid(
    field, machine, settings, controls, soybean
):
    pair = controls[:2]
    grid = np.array(list(product(range(pair[0].size), range(pair[1].size)))).T
    costs = search.safe_cost(
        run(field, machine, at_steps(settings, pair, grid), soybean.values)
    )
    found = search.best(field, machine, settings, pair, soybean.values)
    assert found.cost == pytest.approx(costs.min(), rel=1e-12)


def test_one_long_control_matches_every_point_of_its_line(
    field, machine, settings, controls, soybean
):
    long = replace(controls[0], step=controls[0].step / 20)
    line = np.arange(long.size)[None]
    costs = search.safe_cost(
        run(field, machine, at_steps(settings, [long], line), soybean.values)
    )
    found = search.best(field, machine, settings, [long], soybean.values)
    assert found.cost == pytest.approx(costs.min(), rel=1e-12)


def test_a_safe_corner_that_a_thin_sample_misses_is_found(
    field, machine, settings, controls, soybean
):
    """Two speeds of 61 and two reel heights of 65: a thousandth of the grid."""
    named = {control.name: control for control in controls}
    speed, height = named["ground_speed"], named["reel_height"]
    between = replace(settings, ground_speed=speed.low + 1.5 * speed.step)
    load = run(field, machine, between, soybean.values).engine_load
    highest = height.at(np.array(height.size - 1))
    tight = replace(
        machine,
        engine_power=machine.engine_power * load,
        bar_rise=float(
            highest
            - 1.5 * height.step
            - machine.reel_tip_radius
            - machine.least_finger_gap
        ),
    )
    found = search.best(field, tight, settings, controls, soybean.values).settings
    assert found.ground_speed < speed.low + 1.5 * speed.step
    assert found.reel_height > highest - 1.5 * height.step


def test_best_is_safe_on_the_grid_and_keeps_the_rest(
    field, machine, settings, controls, soybean
):
    lodged = replace(field, lodging=1.0, crop_height=0.4)
    found = search.best(lodged, machine, settings, controls, soybean.values)
    r = run(lodged, machine, found.settings, soybean.values)
    assert not any(r.violations.values())
    assert r.cost == pytest.approx(found.cost)
    for control in controls:
        steps = (getattr(found.settings, control.name) - control.low) / control.step
        assert steps == pytest.approx(round(steps), abs=1e-6)
        assert -1e-9 <= steps <= control.size - 1 + 1e-9
    for name in ("float_force", "belt_speed", "tine_pitch"):
        assert getattr(found.settings, name) == getattr(settings, name)


def test_no_move_of_two_steps_in_two_controls_is_better(
    field, machine, settings, controls, soybean
):
    found = search.best(field, machine, settings, controls, soybean.values)
    at = np.array(
        [round((getattr(found.settings, c.name) - c.low) / c.step) for c in controls]
    )
    last = np.array([c.size - 1 for c in controls])
    near = [
        np.clip(at + np.eye(5, dtype=int)[i] * a + np.eye(5, dtype=int)[j] * b, 0, last)
        for i, j in product(range(5), repeat=2)
        for a, b in product((-2, -1, 0, 1, 2), repeat=2)
    ]
    tried = at_steps(settings, controls, np.array(near).T)
    costs = search.safe_cost(run(field, machine, tried, soybean.values))
    assert costs.min() >= found.cost * (1 - 1e-12)


def test_visited_points_are_unique_and_hold_the_best(
    field, machine, settings, controls, soybean
):
    found = search.best(field, machine, settings, controls, soybean.values)
    assert found.visited.shape == (len(found.visited_cost), len(controls))
    assert len(np.unique(found.visited.round(9), axis=0)) == len(found.visited)
    assert found.visited_cost.min() == found.cost
    names = [control.name for control in controls]
    some = dict(zip(names, found.visited[:50].T, strict=True))
    again = search.safe_cost(
        run(field, machine, replace(settings, **some), soybean.values)
    )
    assert again == pytest.approx(found.visited_cost[:50])


def test_same_search_same_result(field, machine, settings, controls, soybean):
    one, two = (
        search.best(field, machine, settings, controls, soybean.values)
        for _ in range(2)
    )
    assert one.settings == two.settings
    assert isinstance(one.settings, Settings)


def test_a_field_without_a_safe_setting_is_refused(
    field, machine, settings, controls, soybean
):
    weak = replace(machine, engine_power=1.0)
    with pytest.raises(OutOfRange):
        search.best(field, weak, settings, controls, soybean.values)


def test_a_control_counts_both_its_ends():
    # 1.0 to 7.0 by 0.1 has 61 positions.
    control = Control("ground_speed", 1.0, 7.0, 0.1)
    assert control.size == 61
    assert control.at(np.array([0, 60])) == pytest.approx([1.0, 7.0])
