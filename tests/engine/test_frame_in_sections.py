"""A frame of three sections: sensors, stops, tyres, and an over-eager control."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from academy.engine import frame_following, ground, ground_profile
from academy.engine.frame_following import Answer, hunting_index, step_left
from academy.engine.ground_following import Bar, Carriage, Soil, follow
from academy.engine.ground_profile import Waves
from academy.engine.hinged_bar import hung_share, laid_share
from academy.errors import OutOfRange

N0, CLASS_D = 0.1, 1024e-6
WAVES = Waves(
    ground_roughness=CLASS_D,
    reference_wavenumber=N0,
    low_wavenumber=0.05,
    high_wavenumber=2.4,
)
WIDTH, WING = 9.0, 1 / 3
MESH = ground_profile.mesh_of(100.0, WIDTH, 0.15, WAVES)
Y = MESH.places
BAR = Bar(
    build="hinged",
    freedom="free",
    travel=1.0,
    bar_wavenumber=1.0,
    wing_share=WING,
    bar_mass=30.0,
    float_force=(200.0, 200.0, 200.0),
    half_free_weight=0.25,
)
CARRIAGE = Carriage(
    carried="sensing",
    answer=Answer(1e6, response="ideal"),
    sensed="ends",
    levelled=True,
    tilt=0.0,
    track=3.0,
    reach=4.0,
    cut_height=0.2,
)
GROUND = replace(CARRIAGE, carried="ground", cut_height=0.05)
SOIL = Soil(digging_height=0.025, soil_load=200.0, soil_sink=0.002)
FLAT = np.zeros((MESH.rows, MESH.stations))
# what a class D walk grows by over the width: 2π² G n₀² W
GROWTH = 2 * math.pi**2 * CLASS_D * N0**2 * WIDTH
SEEDS = range(6)


def run(z, bar=BAR, carriage=CARRIAGE, speed=1.5):
    return follow(z, MESH, bar, carriage, SOIL, speed)


def left(bar=BAR, carriage=CARRIAGE):
    """Root mean square of the cut about its setting, over a few grounds."""
    cuts = [
        run(ground_profile.surface(WAVES, MESH, seed), bar, carriage).height
        for seed in SEEDS
    ]
    return math.sqrt(np.mean(np.square(np.stack(cuts) - carriage.cut_height)))


# --- shapes of the frame


def broken(left_rise, right_rise):
    hinge = (0.5 - WING) * WIDTH
    rises = left_rise * np.maximum(-hinge - Y, 0), right_rise * np.maximum(Y - hinge, 0)
    return np.tile(sum(rises) - 0.01 * Y, (MESH.rows, 1))


@pytest.mark.parametrize("sensed", ["whole", "ends"])
def test_wings_off_the_ground_take_a_ground_that_breaks_at_their_hinges(sensed):
    # ends: a hinge lies between two stations, up to half a step from its sensor
    made = run(broken(0.04, -0.03), carriage=replace(CARRIAGE, sensed=sensed))
    worst = 0.0 if sensed == "whole" else 0.04 * MESH.across
    np.testing.assert_allclose(made.height, 0.2, atol=worst + 1e-9)


def test_locked_wings_stay_in_line_with_the_centre():
    made = run(broken(0.04, 0.04), replace(BAR, freedom="locked"))
    bends = np.diff(made.bar, 2, axis=1)
    np.testing.assert_allclose(bends, 0.0, atol=1e-12)
    # line through its ends: both wings rise by 0.04 × 3 m, the centre lies 12 cm over
    assert made.height[0, MESH.stations // 2] == pytest.approx(0.32, abs=0.005)


@pytest.mark.parametrize("carriage", [CARRIAGE, GROUND])
def test_every_section_stays_straight_even_at_its_stops(carriage):
    rough = replace(WAVES, ground_roughness=16 * CLASS_D)
    short = replace(BAR, travel=0.06, float_force=(1e6,) * 3)
    firm = replace(SOIL, soil_sink=1e-9)
    z = ground_profile.surface(rough, MESH, 2)
    made = follow(z, MESH, short, carriage, firm, 1.5)
    away = made.bar - made.frame if carriage is GROUND else made.bar
    assert np.ptp(away) > 0.05
    middle = np.abs(np.diff(Y, 1).cumsum()[:-1] + Y[0])
    inside = np.abs(middle - (0.5 - WING) * WIDTH) > 2 * MESH.across
    bends = np.diff(made.bar, 2, axis=1)[:, inside]
    np.testing.assert_allclose(bends, 0.0, atol=1e-9)


def test_a_pivoting_wing_is_stopped_at_half_its_travel():
    steep, short = broken(0.2, 0.2), replace(BAR, travel=0.10)
    free = run(steep, short, replace(CARRIAGE, sensed="whole")).bar
    straight = run(steep, replace(short, freedom="locked"), CARRIAGE)
    half = run(steep, replace(short, freedom="half"), replace(CARRIAGE, sensed="whole"))
    locked = run(
        steep, replace(short, freedom="locked"), replace(CARRIAGE, sensed="whole")
    )
    assert np.abs(free - locked.bar).max() == pytest.approx(0.05, abs=0.002)
    assert np.abs(half.bar - locked.bar).max() == pytest.approx(0.025, abs=0.001)
    assert straight.of().spread > run(steep).of().spread


# --- closed forms are its limits


@pytest.mark.parametrize(
    ("build", "freedom", "sensed", "share"),
    [
        ("hinged", "free", "whole", laid_share(WING)),
        ("hinged", "free", "ends", hung_share(WING)),
        ("hinged", "locked", "whole", 1 / 15),
        ("hinged", "locked", "ends", 1 / 6),
        ("rigid", "free", "ends", 1 / 6),
    ],
)
def test_a_perfect_control_leaves_the_share_of_the_walk(build, freedom, sensed, share):
    # The surface has no waves under 0.4 m: a section of 3 m misses 10 % of its gap
    found = left(
        replace(BAR, build=build, freedom=freedom), replace(CARRIAGE, sensed=sensed)
    )
    assert found == pytest.approx(math.sqrt(GROWTH * share), rel=0.12)


def test_on_the_ground_sections_leave_their_share_whatever_the_frame_does():
    firm, heavy = replace(SOIL, soil_sink=1e-9), replace(BAR, float_force=(1e5,) * 3)
    slack = replace(GROUND, answer=Answer(0.1))
    cuts = []
    for seed in SEEDS:
        z = ground_profile.surface(WAVES, MESH, seed)
        cuts.append(follow(z, MESH, heavy, slack, firm, 1.5).height - 0.05)
    found = math.sqrt(np.mean(np.square(cuts)))
    assert found == pytest.approx(math.sqrt(GROWTH * laid_share(WING)), rel=0.12)


def test_a_sensor_in_the_middle_leaves_the_walk_outwards_from_it():
    # Ground alike on both sides holds the wheels level. It is the even half of the
    # walk: half its growth s |y|, nothing in the middle, s W/8 in the mean over W.
    middle, stiff = replace(CARRIAGE, sensed="centre"), replace(BAR, build="rigid")
    cuts = []
    for seed in SEEDS:
        z = ground_profile.surface(WAVES, MESH, seed)
        cuts.append(run((z + z[:, ::-1]) / 2, stiff, middle).height - 0.2)
    assert math.sqrt(np.mean(np.square(cuts))) == pytest.approx(
        math.sqrt(GROWTH / 8), rel=0.12
    )
    square = np.mean(np.square(cuts), axis=(0, 1))
    assert square[MESH.stations // 2] == pytest.approx(0.0, abs=1e-12)
    assert np.all(np.diff(square[MESH.stations // 2 :][::6]) > 0)


@pytest.mark.parametrize("speed", [1.0, 2.5])
def test_end_sensors_beat_a_centre_sensor_on_wings_and_lose_in_the_middle(speed):
    answer = frame_following.controlled(0.5, 0.1, speed)
    ends, centre = (
        run(
            ground_profile.surface(WAVES, MESH, 3),
            replace(BAR, build="rigid"),
            replace(CARRIAGE, sensed=sensed, answer=answer),
            speed,
        )
        for sensed in ("ends", "centre")
    )
    for wing in ("left", "right"):
        assert ends.of(wing).spread < centre.of(wing).spread
    assert ends.of("centre").spread > centre.of("centre").spread
    assert ends.of().spread < centre.of().spread


# --- unlevel headers and soft tyres


def test_a_low_tyre_by_hand():
    # 30 mm over 3 m of track: 1 %. Half of 9 m: ± 45 mm at the ends.
    tilt = frame_following.tyre_tilt(-0.03, 3.0)
    assert ground.end_lift(9.0, tilt) == pytest.approx(-0.045)


@pytest.mark.parametrize("freedom", ["free", "locked"])
def test_a_low_tyre_lets_its_end_down_off_the_ground(freedom):
    tilt = frame_following.tyre_tilt(-0.03, 3.0)
    made = run(FLAT, replace(BAR, freedom=freedom), replace(CARRIAGE, tilt=tilt))
    # the last stations stand half a step inside the ends
    lift = ground.end_lift(WIDTH - MESH.across, tilt)
    assert made.height[0, -1] - 0.2 == pytest.approx(lift)
    assert made.height[0, 0] - 0.2 == pytest.approx(-lift)
    assert made.of("right").height < made.of("centre").height < made.of("left").height


def test_on_the_ground_floating_sections_take_a_low_tyre_up():
    tilt = frame_following.tyre_tilt(-0.03, 3.0)
    made = run(FLAT, carriage=replace(GROUND, tilt=tilt))
    level = run(FLAT, carriage=GROUND)
    np.testing.assert_allclose(made.height, level.height, atol=1e-9)


# --- results across the width


def test_stations_add_up_to_the_sections():
    z = ground_profile.surface(WAVES, MESH, 4)
    made = run(z, replace(BAR, float_force=(40.0, 200.0, 90.0)), GROUND, 3.0)
    across = made.across()
    for section in ("left", "centre", "right", "all"):
        at, told = made.columns(section), made.of(section)
        assert across.height[at].mean() == pytest.approx(told.height)
        assert across.force[at].mean() == pytest.approx(told.force)
        assert across.off_ground[at].mean() == pytest.approx(told.off_ground)
        assert across.pushing[at].mean() == pytest.approx(told.pushing)
        # spread of all: within each station, and of the stations among each other
        within = np.mean(across.spread[at] ** 2) + np.var(across.height[at])
        assert within == pytest.approx(told.spread**2)


def test_a_light_wing_has_its_force_spread_and_its_contact_lost():
    z = ground_profile.surface(replace(WAVES, ground_roughness=4 * CLASS_D), MESH, 4)
    made = run(z, replace(BAR, float_force=(20.0, 300.0, 300.0)), GROUND, 3.0)
    low, high = made.force_quantiles((0.05, 0.95), "left")
    assert low == 0.0 < high
    assert made.of("left").off_ground > 0.05
    assert made.of("right").off_ground < made.of("left").off_ground
    assert np.all(np.diff(made.force_quantiles((0.1, 0.5, 0.9))) >= 0)


# --- an over-eager control


def after(index, periods, dead_time=0.3):
    """What is left of a step after so many times four dead times."""
    bandwidth = index / (4 * dead_time)
    assert hunting_index(bandwidth, dead_time) == pytest.approx(index)
    return step_left(bandwidth, dead_time, 4 * dead_time * periods)


def swing(index, first, last, dead_time=0.3):
    """Greatest of what is left between two moments, in periods of four dead times."""
    moments = np.linspace(first, last, 60)
    return max(abs(after(index, float(at), dead_time)) for at in moments)


def test_a_step_by_hand():
    # K = 2π/2 = 3.1416 per second, τ = 0.2 s. After 0.2 s all is left; after 0.3 s
    # 1 − 3.1416 × 0.3 + ... the sum runs over kτ ≤ t: 1 − K (0.3 − 0.2) = 0.68584
    assert step_left(0.5, 0.2, 0.2) == 1.0
    assert step_left(0.5, 0.2, 0.3) == pytest.approx(0.68584, abs=1e-5)
    # after 0.5 s one more: 1 − K 0.3 + (K 0.1)²/2 = 1 − 0.94248 + 0.04935
    assert step_left(0.5, 0.2, 0.5) == pytest.approx(0.10687, abs=1e-5)


def test_a_calm_control_settles_without_going_too_far():
    # Kτ ≤ 1/e: index 4fτ ≤ 4/(2πe) = 0.2342
    assert min(after(0.23, float(at)) for at in np.linspace(0, 5, 200)) >= 0.0
    assert min(after(0.4, float(at)) for at in np.linspace(0, 5, 200)) < 0.0


def test_dead_time_and_an_eager_response_make_it_swing_more_and_more():
    # calm: dies away; at index 1 it swings for ever; beyond, more and more
    assert swing(0.5, 4, 5) < 0.05 * swing(0.5, 0, 1)
    assert swing(1.0, 4, 5) == pytest.approx(swing(1.0, 3, 4), rel=0.02)
    assert swing(1.2, 4, 5) > 1.5 * swing(1.2, 3, 4)


@settings(max_examples=40, deadline=None)
@given(st.floats(0.05, 0.9), st.floats(0.02, 0.5))
def test_every_control_that_is_not_refused_settles(index, dead_time):
    late = swing(index, 6, 7, dead_time)
    assert late < max(swing(index, 1, 2, dead_time), 1e-9)


def test_without_dead_time_a_step_dies_as_a_lag_does():
    assert step_left(0.5, 0.0, 0.4) == pytest.approx(math.exp(-math.pi * 0.4))
    assert step_left(0.5, 0.0134, 0.4) == pytest.approx(
        step_left(0.5, 0.0, 0.4), rel=0.05
    )


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: step_left(0.0, 0.1, 0.1),
        lambda: step_left(0.5, -0.1, 0.1),
        lambda: step_left(0.5, 0.1, -0.1),
        lambda: step_left(0.5, 0.1, 3.1),
    ],
)
def test_impossible_steps_are_refused(wrong):
    with pytest.raises(OutOfRange):
        wrong()
