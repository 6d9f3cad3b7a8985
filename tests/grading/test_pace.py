"""The pace that costs least: on known curves, on real set-ups, and with lateness."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import settings as tried
from hypothesis import strategies as st

from academy.engine import pace, search
from academy.engine.pace import Season
from academy.errors import OutOfRange
from academy.grading.pace import at_pace, paced
from academy.service.bench_choice import plain_facts, usual
from academy.service.problems import problem_of

MPH = 0.44704
LATE = Season(
    timeliness=0.008 / 86400,
    area=6e6,
    working_share=0.4,
    workday_share=0.6,
    schedule_divisor=2.0,
)


@pytest.fixture(params=["soybean", "wheat", "canola"])
def problem(request):
    """An ordinary field of a crop with its speed to choose."""
    return problem_of(plain_facts(usual({"crop": request.param})), ("ground_speed",))


# --- the least along a curve


@given(st.floats(1.2, 4.8), st.floats(0.1, 5.0), st.floats(-3.0, 3.0))
@tried(max_examples=25)
def test_the_least_of_a_parabola_is_found_between_the_points(middle, bend, floor):
    values = np.linspace(1.0, 5.0, 33)
    costs = floor + bend * (values - middle) ** 2
    assert pace.least_at(values, costs) == pytest.approx(middle, abs=1e-6)


def test_the_worked_example_of_canola_is_found():
    # Western Producer 2016: 40 ft, $300/h, $10/bu; 1 bu/ac lost at 3 mph and 3 at 4.
    # L = 0.03704 exp(1.0986 v) goes through both; by hand d/dv of
    # 300 x 8.25/(40 v) + 10 L is 0 at 2.74 mph, where the cost is $30.10/ac
    speeds = np.linspace(1.0, 6.0, 97)
    costs = 300 * 8.25 / (40 * speeds) + 10 * 0.03704 * np.exp(1.0986 * speeds)
    best = pace.least_at(speeds, costs)
    assert best == pytest.approx(2.74, abs=0.005)
    assert np.interp(best, speeds, costs) == pytest.approx(30.10, abs=0.02)


def test_at_an_end_or_beside_a_broken_limit_it_is_the_value_itself():
    values = np.arange(5.0)
    rows = np.array(
        [
            [0.0, 1.0, 2.0, 3.0, 4.0],
            [4.0, 3.0, 2.0, 1.0, 0.0],
            [5.0, 4.0, 3.0, np.inf, np.inf],
            [np.inf] * 5,
        ]
    )
    found = pace.least_at(values, rows)
    assert found[:3].tolist() == [0.0, 4.0, 2.0]
    assert np.isnan(found[3])


def test_values_out_of_order_are_refused():
    for wrong in ([1.0, 1.0, 2.0], [3.0, 2.0, 1.0], [1.0, 2.0], [1.0, 2.0, 4.0]):
        with pytest.raises(OutOfRange):
            pace.least_at(np.array(wrong), np.zeros(len(wrong)))


# --- real set-ups


def test_the_best_speed_costs_no_more_than_any_step_of_the_control(problem):
    found = paced(problem, problem.as_found)
    control = problem.controls[0]
    speeds = control.at(np.arange(control.size))
    tried_at = at_pace(problem.as_found, speeds)
    cost = search.safe_cost(problem.run(tried_at, problem.values))
    at_best = at_pace(problem.as_found, np.array([found.best]))
    best = float(np.ravel(search.safe_cost(problem.run(at_best, problem.values)))[0])
    assert best <= float(np.min(cost)) * (1 + 1e-4)


def test_the_range_lies_about_the_best_and_inside_what_is_drawn(problem):
    found = paced(problem, problem.as_found)
    assert found.best_low <= found.best_high
    assert found.speeds[0] <= found.best_low
    assert found.best_high <= found.speeds[-1]
    assert (found.low <= found.high).all()
    assert not np.interp(found.best, found.speeds, found.barred.astype(float)) > 0.99


def test_without_doubt_the_range_is_the_best_itself(problem):
    sure = replace(problem, low=problem.values, high=problem.values)
    found = paced(sure, sure.as_found)
    assert found.best_low == pytest.approx(found.best)
    assert found.best_high == pytest.approx(found.best)
    assert found.low == pytest.approx(found.cost)


def test_dearer_hours_and_a_late_season_never_slow_it_down(problem):
    plain = paced(problem, problem.as_found)
    dear = replace(
        problem,
        machine=replace(problem.machine, hour_cost=2 * problem.machine.hour_cost),
    )
    assert paced(dear, dear.as_found).best >= plain.best - 1e-9
    late = paced(problem, problem.as_found, LATE)
    assert late.best >= plain.best - 1e-9
    assert late.best_cost > plain.best_cost


def test_dearer_grain_never_hurries_it(problem):
    plain = paced(problem, problem.as_found)
    price = 2 * problem.field.grain_price
    dear = replace(problem, field=replace(problem.field, grain_price=price))
    assert paced(dear, dear.as_found).best <= plain.best + 1e-9


def test_the_reel_keeps_its_index(problem):
    moved = at_pace(problem.as_found, np.array([1.0, 2.0]))
    index = moved.reel_rate / moved.ground_speed
    here = problem.as_found.reel_rate / problem.as_found.ground_speed
    assert index == pytest.approx(here)


def test_where_no_speed_is_safe_it_says_so(problem):
    weak = replace(problem, machine=replace(problem.machine, engine_power=1e3))
    with pytest.raises(OutOfRange):
        paced(weak, weak.as_found)
