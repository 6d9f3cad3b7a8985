"""A reel out of step: straight between its arms, lowest at its lowest arm."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from academy.catalog import parts
from academy.engine import across
from academy.engine.header import run
from academy.engine.reel_sections import (
    ReelSectionsState,
    arm_offset,
    arm_step,
    finger_gap,
    lowest_arm,
    mean_offset,
    reel_sections_effect,
    rephased,
)
from academy.errors import OutOfRange

INCH = 0.0254
PART = parts.load("reel_sections")
FEW = settings(max_examples=60, deadline=None)
ARMS = st.floats(-0.2, 0.2)
PARTS = st.integers(1, 4).map(float)
FINE = across.places(2400)  # divides by 2 and 3, so that no strip lies across an arm
CROWD = across.places(24)


def effect(machine, chosen, state, reel_parts=3.0, places=CROWD):
    return reel_sections_effect(
        machine=machine,
        settings=chosen,
        state=state,
        c=PART.values,
        reel_parts=reel_parts,
        places=places,
    )


# --- where the axle is


def test_an_outer_part_of_three_slopes_and_the_middle_part_lies_level():
    # By hand: inner arms at ±1/6 of the width, 60 mm up. Half way from the end to the
    # arm (at −1/3) the axle is 30 mm up; between the arms 60 mm everywhere.
    at = np.array([-0.5, -1 / 3, -1 / 6, 0.0, 1 / 6, 1 / 3, 0.5])
    found = arm_offset(at, 0.0, 0.06, 0.0, 3.0)
    assert found == pytest.approx([0.0, 0.03, 0.06, 0.06, 0.06, 0.03, 0.0])


def test_a_reel_in_two_parts_peaks_at_its_one_arm():
    # By hand: one arm in the middle; a quarter of the width from it half the height.
    found = arm_offset(np.array([-0.25, 0.0, 0.25]), 0.0, -0.08, 0.0, 2.0)
    assert found == pytest.approx([-0.04, -0.08, -0.04])


@FEW
@given(ARMS, ARMS, ARMS, PARTS)
def test_the_axle_stands_at_its_arms_where_the_arms_are(left, centre, right, count):
    ends = arm_offset(np.array([-0.5, 0.5]), left, centre, right, count)
    assert ends == pytest.approx([left, right])
    inner = np.arange(1, int(count)) / count - 0.5
    assert count == 1.0 or arm_offset(
        inner, left, centre, right, count
    ) == pytest.approx(centre)


@FEW
@given(ARMS, ARMS, ARMS, PARTS)
def test_seen_from_the_other_side_left_is_right(left, centre, right, count):
    here = arm_offset(CROWD, left, centre, right, count)
    there = arm_offset(CROWD, right, centre, left, count)
    assert there[::-1] == pytest.approx(here, abs=1e-12)


@FEW
@given(ARMS, PARTS)
def test_ends_apart_by_as_much_up_as_down_tilt_the_reel_about_its_middle(end, count):
    tilted = arm_offset(CROWD, end, 0.0, -end, count)
    assert tilted == pytest.approx(-tilted[::-1], abs=1e-12)
    assert mean_offset(end, 0.0, -end, count) == 0.0


@FEW
@given(ARMS, ARMS, PARTS)
def test_a_reel_in_step_is_moved_whole(arm, other, count):
    assert arm_offset(CROWD, arm, arm, arm, count) == pytest.approx(arm, abs=1e-12)
    assert arm_step(arm, arm, arm, count) == 0.0
    # in one part whatever stands for a centre arm moves nothing
    one = arm_offset(CROWD, arm, other, arm, 1.0)
    assert one == pytest.approx(arm, abs=1e-12)


@FEW
@given(ARMS, ARMS, ARMS, PARTS)
def test_the_mean_is_the_mean_of_all_places(left, centre, right, count):
    found = arm_offset(FINE, left, centre, right, count)
    assert mean_offset(left, centre, right, count) == pytest.approx(
        found.mean(), abs=2e-9
    )


@FEW
@given(ARMS, ARMS, ARMS, PARTS)
def test_no_place_is_lower_than_the_lowest_arm(left, centre, right, count):
    found = arm_offset(FINE, left, centre, right, count)
    low, step = (f(left, centre, right, count) for f in (lowest_arm, arm_step))
    assert low - 1e-12 <= found.min() <= low + 2 * step / FINE.size * count + 1e-12
    assert found.max() <= low + step + 1e-12


# --- the gap to the bar


def test_two_inches_are_asked_for_between_tines_and_raised_bar(machine, settings):
    # Iowa State (Hanna): fingers no nearer than 2 in to the bar in its raised position.
    # By hand: with 21 in of radius and 6.5 in of rise that is an axle 29.5 in up.
    assert machine.least_finger_gap == pytest.approx(2 * INCH)
    near, far = ((21 + 6.5 + 2 + more) * INCH for more in (-0.01, 0.01))
    low, high = (
        effect(machine, replace(settings, reel_height=axle), PART.in_order)
        for axle in (near, far)
    )
    assert low.violations["fingers_too_near"]
    assert not high.violations["fingers_too_near"]
    assert (low.too_near, high.too_near) == (1.0, 0.0)


def test_a_low_centre_arm_takes_the_gap_from_the_middle_only(machine, settings):
    # By hand: axle 31.5 in up leaves 4 in everywhere; the inner arms 3 in low leave 1
    # in the middle third and pass 2 at two thirds of the way in from each end: under
    # it lie the middle third and a third of each outer one, 5/9 of the width.
    low = replace(PART.in_order, centre_arm=-3 * INCH)
    found = effect(
        machine, replace(settings, reel_height=31.5 * INCH), low, places=FINE
    )
    assert found.least_finger_gap == pytest.approx(INCH)
    assert found.too_near == pytest.approx(5 / 9, abs=1e-3)
    assert found.violations["fingers_too_near"]
    assert not run_alone(machine, replace(settings, reel_height=31.5 * INCH))


def run_alone(machine, chosen):
    gap = finger_gap(chosen.reel_height, machine.reel_tip_radius, machine.bar_rise)
    return gap < machine.least_finger_gap


def test_the_gap_is_the_one_of_the_run(field, machine, settings, soybean):
    found = effect(machine, settings, PART.in_order)
    read = run(field, machine, settings, soybean.values)
    assert found.finger_gap == pytest.approx(float(read.finger_gap))


@FEW
@given(ARMS, ARMS, ARMS, st.floats(0.0, 0.2))
def test_the_higher_the_bar_can_come_the_smaller_the_gap(left, centre, right, rise):
    arms = ReelSectionsState(left_arm=left, centre_arm=centre, right_arm=right)
    low = lowest_arm(arms.left_arm, arms.centre_arm, arms.right_arm, 3.0)
    flat = finger_gap(1.2 + low, 0.5, 0.0)
    assert finger_gap(1.2 + low, 0.5, rise) == pytest.approx(flat - rise)


# --- the effect


def test_a_reel_in_step_changes_nothing(machine, settings):
    found = effect(machine, settings, PART.in_order)
    assert found.reel_height_add.tolist() == [0.0] * CROWD.size
    assert found.step == 0.0
    assert not found.out_of_step
    assert not found.violations["fingers_too_near"]


def test_putting_the_sections_back_in_step_ends_it(machine, settings):
    uneven = ReelSectionsState(left_arm=0.05, centre_arm=-0.1, right_arm=0.0)
    assert effect(machine, settings, uneven).out_of_step
    again = effect(machine, settings, rephased(uneven))
    assert again.reel_height_add.tolist() == [0.0] * CROWD.size


def test_many_settings_keep_their_places_last(machine, settings):
    several = replace(settings, reel_height=np.array([1.0, 1.2]))
    found = effect(machine, several, replace(PART.in_order, left_arm=0.05))
    assert found.reel_height_add.shape == (CROWD.size,)
    assert found.finger_gap.shape == (2, CROWD.size)
    assert found.least_finger_gap.shape == (2,)


def test_a_low_part_shatters_and_a_high_part_drops(field, machine, settings, soybean):
    # Laws of the run: below its entry height a reel beats more, above it carries less.
    at_entry = replace(
        settings,
        reel_height=float(
            run(field, machine, settings, soybean.values).entry_axle_height
        ),
    )
    tilted = replace(PART.in_order, left_arm=-0.15, right_arm=0.15)
    found = effect(machine, at_entry, tilted, reel_parts=1.0)
    height = at_entry.reel_height + found.reel_height_add
    read = run(field, machine, replace(at_entry, reel_height=height), soybean.values)
    assert read.shatter[0] > read.shatter[-1]
    level = run(field, machine, at_entry, soybean.values)
    assert read.loose_stalk[-1] > level.loose_stalk
    assert read.header_loss.mean() > level.header_loss


# --- refusals


@pytest.mark.parametrize(
    ("place", "count"), [(0.6, 3.0), (-0.51, 3.0), (0.0, 0.0), (float("nan"), 3.0)]
)
def test_a_place_beyond_the_ends_or_no_reel_is_refused(place, count):
    with pytest.raises(OutOfRange):
        arm_offset(place, 0.0, 0.0, 0.0, count)


def test_an_arm_that_is_nowhere_is_refused():
    with pytest.raises(OutOfRange):
        lowest_arm(float("nan"), 0.0, 0.0, 3.0)
    with pytest.raises(OutOfRange):
        across.places(0)
