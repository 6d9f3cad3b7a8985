"""What a set-up is told to have done: shares, curves and their band."""

from dataclasses import replace

import numpy as np
import pytest

from academy.engine import header
from academy.grading import explain


def strayed(problem):
    """Settings a little off the machine as found, within the controls."""
    moved = {
        c.name: min(getattr(problem.as_found, c.name) + 3 * c.step, c.high)
        for c in problem.controls
    }
    return replace(problem.as_found, **moved)


def cost(problem, settings) -> float:
    readings = header.run(problem.field, problem.machine, settings, problem.values)
    return float(readings.cost)


@pytest.mark.parametrize("seed", [1, 2])
def test_shares_add_up_to_the_regret(set_up, drawn, seed):
    problem = drawn(set_up, seed)
    yours = strayed(problem)
    shares = explain.shares_of_regret(problem, yours, problem.as_found)
    regret = cost(problem, yours) - cost(problem, problem.as_found)
    assert list(shares) == [c.name for c in problem.controls]
    assert sum(shares.values()) == pytest.approx(regret, abs=1e-12)


def test_a_setting_that_is_right_has_no_share(set_up, drawn):
    problem = drawn(set_up, 1)
    right = problem.controls[0].name
    yours = replace(strayed(problem), **{right: getattr(problem.as_found, right)})
    shares = explain.shares_of_regret(problem, yours, problem.as_found)
    assert shares[right] == 0


def test_a_single_wrong_setting_has_the_whole_regret(set_up, drawn):
    problem = drawn(set_up, 1)
    wrong = problem.controls[-1].name
    yours = replace(problem.as_found, **{wrong: getattr(strayed(problem), wrong)})
    shares = explain.shares_of_regret(problem, yours, problem.as_found)
    regret = cost(problem, yours) - cost(problem, problem.as_found)
    assert shares[wrong] == pytest.approx(regret, abs=1e-12)


def test_the_readings_are_those_of_one_run(set_up, drawn):
    problem = drawn(set_up, 1)
    readings = explain.readings_of(problem, problem.as_found)
    assert float(readings.cost) == cost(problem, problem.as_found)


def test_a_curve_meets_the_reading_at_its_points(set_up, drawn):
    problem = drawn(set_up, 2)
    for control in problem.controls:
        curve = explain.curve(problem, control, problem.as_found)
        for place in (0, len(curve.values) // 2, -1):
            there = {control.name: float(curve.values[place])}
            here = cost(problem, replace(problem.as_found, **there))
            assert curve.cost[place] == pytest.approx(here, rel=1e-12)


def test_a_curve_reaches_the_chosen_value_and_leaves_off_only_steep_ends(set_up, drawn):
    problem = drawn(set_up, 2)
    for control in problem.controls:
        curve = explain.curve(problem, control, problem.as_found)
        chosen = getattr(problem.as_found, control.name)
        assert control.low - 1e-9 <= curve.values[0] <= chosen + 1e-9
        assert chosen - 1e-9 <= curve.values[-1] <= control.high + 1e-9
        assert (np.diff(curve.values) > 0).all()
        for end, inner in ((control.low, 0), (control.high, -1)):
            if abs(curve.values[inner] - end) > 1e-6:
                there = cost(problem, replace(problem.as_found, **{control.name: end}))
                assert there > 3 * curve.cost.min()


def test_the_band_has_a_lower_and_an_upper_edge(set_up, drawn):
    problem = drawn(set_up, 2)
    for control in problem.controls:
        curve = explain.curve(problem, control, problem.as_found)
        shapes = {x.shape for x in (curve.cost, curve.low, curve.high, curve.barred)}
        assert shapes == {curve.values.shape}
        assert (curve.low <= curve.high).all()
        assert np.isfinite(curve.high).all()


def test_without_doubt_the_band_is_the_curve(set_up, drawn):
    problem = drawn(set_up, 2)
    sure = replace(problem, low=problem.values, high=problem.values)
    curve = explain.curve(sure, sure.controls[0], sure.as_found)
    assert curve.low == pytest.approx(curve.cost, rel=1e-12)
    assert curve.high == pytest.approx(curve.cost, rel=1e-12)


def test_a_curve_bars_exactly_what_breaks_a_limit(drawn):
    problem = drawn("standing-soybean", 1)
    control = next(c for c in problem.controls if c.name == "reel_height")
    curve = explain.curve(problem, control, problem.as_found)
    for value, barred in zip(curve.values, curve.barred, strict=True):
        settings = replace(problem.as_found, reel_height=float(value))
        readings = header.run(problem.field, problem.machine, settings, problem.values)
        assert barred == any(bool(flag) for flag in readings.violations.values())
    # the tines reach the raised bar at the low end
    assert curve.barred[0]
