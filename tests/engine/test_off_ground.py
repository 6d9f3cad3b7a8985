"""A header carried off the ground: gauge wheels, sensing, heads, straw left."""

from dataclasses import replace

import numpy as np
import pytest

from academy.catalog import coefficients, combines, crops, headers
from academy.engine import ground, header, processing
from academy.errors import OutOfRange

INCH, MPH = 0.0254, 0.44704


@pytest.fixture(scope="module")
def wheat():
    """Coefficients of wheat."""
    return coefficients.load("wheat").values


@pytest.fixture(scope="module")
def wheat_field(field):
    """Standing wheat of 34 in, late heads at 18 in, on ordinary ground."""
    ratio = crops.load("wheat").conditions.mog_ratio.si()[1]
    return replace(
        field, crop_height=34 * INCH, lowest_grain=18 * INCH, mog_ratio=ratio
    )


@pytest.fixture(scope="module")
def cereal(settings):
    """The ordinary settings with the knife 9 in over the ground."""
    return replace(settings, cut_height=9 * INCH)


def carried(way, key="flex40"):
    return headers.machine(headers.load(key), combines.load("middle"), way)


def test_wheels_by_hand():
    # n0 sqrt(G L) = 0.1 sqrt(1024e-6 * 4) = 0.1 * 0.064 = 6.4 mm
    assert ground.wheel_residual(1024e-6, 4.0, 0.1) == pytest.approx(0.0064)


def test_wheels_follow_like_a_control_that_answers_once_per_wheel_base():
    # the same low-pass filter: f = v/L, at any speed
    for speed in (0.5, 1.5, 3.0):
        by_control = ground.tracking_residual(1024e-6, speed, speed / 3.5, 0.1)
        assert ground.wheel_residual(1024e-6, 3.5, 0.1) == pytest.approx(by_control)


def test_wheels_need_a_base():
    with pytest.raises(OutOfRange):
        ground.wheel_residual(1024e-6, 0.0, 0.1)


def test_straw_by_hand_and_at_its_ends():
    # 1.2 (1 − 0.75 × 0.3/0.9) = 1.2 × 0.75 = 0.9
    assert processing.straw_taken(1.2, 0.3, 0.9, 0.75) == pytest.approx(0.9)
    assert processing.straw_taken(1.2, 0.0, 0.9, 0.75) == 1.2
    assert processing.straw_taken(1.2, 2.0, 0.9, 0.75) == pytest.approx(0.3)


@pytest.mark.parametrize("wrong", [(-1, 0.3, 0.9, 0.5), (1, 0.3, 0, 0.5)])
def test_straw_refuses_what_cannot_be(wrong):
    with pytest.raises(OutOfRange):
        processing.straw_taken(*wrong)


def test_gauge_wheels_hold_the_cut_alike_at_any_speed(wheat_field, cereal, wheat):
    speeds = replace(cereal, ground_speed=np.array([2.0, 4.0, 6.0]) * MPH)
    on_wheels = header.run(wheat_field, carried("wheels"), speeds, wheat)
    sensing = header.run(wheat_field, carried("sensing"), speeds, wheat)
    spread = np.broadcast_to(on_wheels.cut_height_spread, (3,))
    assert np.ptp(spread) == 0
    assert np.all(np.diff(sensing.cut_height_spread) > 0)


def test_off_the_ground_the_bar_does_not_flex(wheat_field, cereal, wheat):
    off = header.run(wheat_field, carried("sensing"), cereal, wheat)
    on = header.run(wheat_field, carried("ground"), cereal, wheat)
    assert off.cut_height_spread > on.cut_height_spread


@pytest.mark.parametrize(
    ("key", "way", "barred"),
    [
        ("flex35", "sensing", True),  # this header cannot sense off the ground
        ("flex35", "wheels", False),
        ("flex40", "sensing", False),
        ("flex35", "ground", False),
    ],
)
def test_only_a_blind_header_without_wheels_is_barred_off_the_ground(
    key, way, barred, wheat_field, cereal, wheat
):
    readings = header.run(wheat_field, carried(way, key), cereal, wheat)
    assert bool(readings.violations["cannot_sense"]) is barred


def test_a_higher_cut_takes_less_straw_and_leaves_more_heads(
    wheat_field, cereal, wheat
):
    heights = replace(cereal, cut_height=np.arange(4, 24) * INCH)
    readings = header.run(wheat_field, carried("wheels"), heights, wheat)
    assert np.all(np.diff(readings.mog_feedrate) < 0)
    assert np.all(np.diff(readings.processing) < 0)
    assert np.all(np.diff(readings.stubble) > 0)


def test_late_heads_are_left_first(wheat_field, cereal, wheat):
    # Two standard deviations over the late heads and far under the main ones, all
    # the late share stays and nothing else.
    cut = 18 * INCH - wheat.low_offset + 3 * 0.1
    field = replace(wheat_field, crop_height=3.0)
    high = replace(cereal, cut_height=cut, reel_height=2.5)
    left = header.run(field, carried("wheels"), high, wheat)
    shares = left.stubble / (1 - left.divider - left.shatter - left.lodged)
    assert shares == pytest.approx(wheat.late_share, rel=0.01)


def test_soybean_knows_nothing_of_heads_or_straw_left(
    field, machine, settings, soybean
):
    # The new relations leave a crop with pods alone.
    assert soybean.values.head_share == soybean.values.late_share == 0
    taken = header.run(field, machine, settings, soybean.values).mog_feedrate
    assert taken == pytest.approx(
        settings.ground_speed * machine.width * field.crop_yield * field.mog_ratio
    )


def test_well_set_wheat_stays_within_the_acceptable_loss(wheat_field, cereal, wheat):
    # Small grains: 3 % in all is acceptable [hofman-small-grains]; below 1 % is hard.
    settings = replace(
        cereal, ground_speed=3.5 * MPH, reel_rate=4.2, reel_height=36 * INCH
    )
    total = header.run(wheat_field, carried("wheels"), settings, wheat).total_loss
    assert 0.005 < total < 0.03
