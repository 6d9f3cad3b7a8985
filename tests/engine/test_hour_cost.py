"""An hour of a machine put together, and costs by area, hour and field."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from academy.engine import economics, hour_cost, ownership, pace, stubble
from academy.errors import OutOfRange

EXAMPLES = settings(max_examples=25)
LATE = pace.Season(
    timeliness=0.01,
    area=100.0,
    working_share=0.5,
    workday_share=0.5,
    schedule_divisor=2.0,
)


@given(st.floats(0.0, 3000.0), st.floats(50.0, 600.0), st.integers(1, 15))
@EXAMPLES
def test_the_years_of_repairs_add_up_to_the_accumulated(before, yearly, years):
    terms = (1000.0, 0.04, 2.1)
    a_year = hour_cost.yearly_repairs(1e5, before, yearly, float(years), *terms)
    after = ownership.repair_cost(1e5, before + years * yearly, *terms)
    start = ownership.repair_cost(1e5, before, *terms)
    assert years * a_year == pytest.approx(after - start, rel=1e-9)


def test_a_machines_life_of_repairs_is_as_printed():
    # ASABE D497 table 3: 40 % of list at 3000 h; 300 h a year for ten years
    a_year = hour_cost.yearly_repairs(1.0, 0.0, 300.0, 10.0, 1000.0, 0.04, 2.1)
    assert 10 * a_year == pytest.approx(0.40, abs=0.01)


@given(st.floats(0.0, 10.0), st.floats(0.1, 10.0), st.floats(0.1, 1e4))
@EXAMPLES
def test_cost_by_hour_and_by_field_agree(cost, rate, area):
    # a field takes area/rate hours, each at cost times rate
    by_hour = economics.cost_rate(cost, rate)
    assert economics.field_cost(cost, area) == pytest.approx(by_hour * area / rate)


@given(st.floats(10.0, 50.0), st.floats(1.0, 5.0))
@EXAMPLES
def test_a_season_twice_as_fast_is_half_as_late(rate, faster):
    slow = pace.season_cost(LATE, 0.5, 0.4, rate)
    fast = pace.season_cost(LATE, 0.5, 0.4, rate * faster)
    assert fast * faster == pytest.approx(slow)


def test_fuel_labour_and_overhead_are_in_proportion():
    assert hour_cost.fuel_cost_rate(2.0, 3.0, 0.0) == 6.0
    assert hour_cost.labour_cost_rate(20.0, 1.0) == 20.0
    assert hour_cost.yearly_overhead(100.0, 100.0, 0.02) == pytest.approx(2.0)
    assert hour_cost.spread_over_use(100.0, 200.0) == 0.5


@given(st.floats(1.0, 100.0), st.floats(1.0, 100.0), st.floats(0.0, 1.0))
@EXAMPLES
def test_a_denser_stand_never_pods_lower(one, other, power):
    thin, dense = sorted((one, other))
    low = stubble.lowest_pod_height(0.13, thin, 30.0, power)
    assert low <= stubble.lowest_pod_height(0.13, dense, 30.0, power) * (1 + 1e-12)
    assert stubble.lowest_pod_height(0.13, 30.0, 30.0, power) == 0.13


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: hour_cost.yearly_repairs(1.0, -1.0, 1.0, 1.0, 1.0, 0.1, 2.0),
        lambda: hour_cost.yearly_repairs(1.0, 0.0, 1.0, 0.0, 1.0, 0.1, 2.0),
        lambda: hour_cost.yearly_overhead(-1.0, 0.0, 0.1),
        lambda: hour_cost.fuel_cost_rate(1.0, -1.0, 0.1),
        lambda: hour_cost.labour_cost_rate(20.0, 0.9),
        lambda: hour_cost.spread_over_use(1.0, 0.0),
        lambda: economics.field_cost(-1.0, 1.0),
        lambda: stubble.lowest_pod_height(0.1, 0.0, 30.0, 0.3),
        lambda: pace.season_cost(LATE, 0.5, 0.4, 0.0),
    ],
)
def test_what_cannot_be_is_refused(wrong):
    with pytest.raises(OutOfRange):
        wrong()
