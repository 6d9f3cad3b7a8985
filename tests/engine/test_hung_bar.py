"""The bar as it hangs: freedom, shoes, angle, tilt and the response of the control."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from academy.catalog import coefficients, combines, headers, whole
from academy.engine import hung_bar, whole_header
from academy.engine.hung_bar import control_factor, tilt_left
from academy.engine.whole_state import WholeReadings
from academy.errors import OutOfRange
from academy.scenarios import conditions

STIFF = {"freedom": "locked"}


def ran(
    key: str = "flex40", carried: str = "ground", ground: str = "rough", **bar: Any
) -> WholeReadings:
    facts = {
        "crop": "soybean",
        "header": key,
        "combine": combines.known()[0],
        "ground": ground,
        "carried": carried,
    }
    one = headers.load(key)
    state = whole.in_order("soybean", one)
    return whole_header.run(
        conditions.field_of(facts),
        conditions.machine_of(facts),
        conditions.as_found(facts),
        coefficients.load("soybean").values,
        whole.build("soybean", one),
        replace(state, bar=replace(state.bar, **bar)),
        whole.beliefs(),
    )


def spread(**bar: Any) -> float:
    return float(ran(**bar).readings.cut_height_spread)


@given(st.floats(-1.0, 1.0), st.floats(0.0, 1.0))
def test_a_bar_takes_up_of_a_tilt_what_it_can_float(rise: float, reach: float) -> None:
    left = tilt_left(rise, reach)
    assert tilt_left(rise, 0.0) == pytest.approx(rise)
    assert left == -tilt_left(-rise, reach)
    assert abs(left) == pytest.approx(max(abs(rise) - reach, 0.0))


def test_the_control_by_hand() -> None:
    # 0.5 1/s and 0.15 s: the index is 4 · 0.5 · 0.15 = 0.3, at twice the response 0.6;
    # 2 · (1 − 0.6)/(1 − 0.3) = 1.143. At four times it hunts, 0.2 is left of it:
    # 4 · 0.2/0.7 = 1.143
    assert control_factor(0.5, 0.15, 2.0, 0.2) == pytest.approx(8 / 7)
    assert control_factor(0.5, 0.15, 4.0, 0.2) == pytest.approx(8 / 7)
    assert control_factor(0.5, 0.15, 1.0, 0.2) == 1.0


@given(st.floats(0.05, 0.95))
def test_a_slower_control_is_never_as_good(response: float) -> None:
    assert control_factor(0.5, 0.15, response, 0.2) < 1.0


def test_half_and_locked_follow_less_and_half_lies_lighter() -> None:
    free, half, locked = (spread(freedom=f) for f in ("free", "half", "locked"))
    assert free <= half < locked
    weights = [ran(freedom=f).bar.float_factor for f in ("free", "half", "locked")]
    assert weights[0] == weights[2] == 1.0 > weights[1] > 0.0


@pytest.mark.parametrize("key", headers.known())
def test_shoes_down_cut_higher_and_a_steeper_header_cuts_lower(key: str) -> None:
    usual, raised, steep = (
        ran(key, ground="smooth", **bar).readings
        for bar in ({}, {"shoes_down": 0.02}, {"header_angle": np.radians(3.0)})
    )
    assert steep.true_cut_height < usual.true_cut_height < raised.true_cut_height
    assert steep.stubble < usual.stubble < raised.stubble
    assert steep.digging > usual.digging >= raised.digging


def test_shoes_and_angle_by_hand() -> None:
    # 2 cm down; 3 degrees over a lead of 0.2 m take off 0.2 tan 3° = 10.48 mm
    lead = whole.build("soybean", headers.load("flex40")).bar.knife_lead
    assert lead == pytest.approx(0.2)
    done = ran(shoes_down=0.02, header_angle=np.radians(3.0))
    assert done.bar.height_add == pytest.approx(0.02 - 0.01048, abs=1e-5)


def test_a_tilt_cuts_one_end_high_and_costs_most_where_nothing_floats() -> None:
    tilt = np.radians(2.0)
    floating, stiff = (ran(tilt=tilt, **bar) for bar in ({}, STIFF))
    assert stiff.readings.stubble > floating.readings.stubble
    height = np.ravel(stiff.strips.cut.true_cut_height)
    assert height[-1] > height[len(height) // 2] > height[0]
    turned = np.ravel(ran(tilt=-tilt, **STIFF).strips.cut.true_cut_height)
    assert turned[::-1] == pytest.approx(height)


def test_within_what_it_floats_a_tilt_costs_nothing() -> None:
    # 0.5° over half of 12.2 m lifts an end 53 mm; the bar floats 89 mm up and down
    plain, tilted = ran(), ran(tilt=np.radians(0.5))
    assert tilted.readings.cost == pytest.approx(float(plain.readings.cost), rel=1e-12)


def test_off_the_ground_a_tilt_is_not_taken_up() -> None:
    done = ran(carried="sensing", tilt=np.radians(0.5))
    assert np.max(done.bar.tilt_add) > 0.04


def test_a_slow_control_follows_less_a_hunting_one_is_a_broken_limit() -> None:
    usual, slow, quick = (
        ran(carried="sensing", control_response=r) for r in (1.0, 0.3, 3.9)
    )
    assert slow.readings.cut_height_spread > usual.readings.cut_height_spread
    assert not usual.readings.violations["control_hunts"]
    assert quick.bar.hunting_index > 1.0  # 4 · 0.5 · 3.9 · 0.15 = 1.17
    assert quick.readings.violations["control_hunts"]


def test_on_gauge_wheels_no_control_hunts_and_none_is_missed() -> None:
    usual, quick = (ran(carried="wheels", control_response=r) for r in (1.0, 3.9))
    assert not quick.readings.violations["control_hunts"]
    assert quick.readings.cost == usual.readings.cost


def test_what_cannot_be_is_refused() -> None:
    for bar in ({"control_response": 0.0}, {"tilt": np.nan}, {"shoes_down": -1.0}):
        with pytest.raises(OutOfRange):
            ran(**bar)
    with pytest.raises(OutOfRange):
        hung_bar.tilt_left(0.1, -0.1)
