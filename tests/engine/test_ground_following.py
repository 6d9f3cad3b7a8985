"""The bar over drawn ground: its closed forms as limits, and the laws it obeys."""

import math
from dataclasses import astuple, replace

import numpy as np
import pytest

from academy.engine import bar, followed_bar, ground, ground_profile
from academy.engine.frame_following import Answer, controlled, wheeled
from academy.engine.ground_following import Bar, Carriage, Soil, follow
from academy.engine.ground_profile import Mesh, Waves
from academy.errors import OutOfRange

MM, N0, CLASS_D = 1e-3, 0.1, 1024e-6
PERFECT = Answer(1e6, response="ideal")
WAVES = Waves(
    ground_roughness=CLASS_D,
    reference_wavenumber=N0,
    low_wavenumber=0.05,
    high_wavenumber=2.4,
)
MESH = ground_profile.mesh_of(100.0, 12.0, 0.2, WAVES)
BAR = Bar(
    build="flexible",
    freedom="free",
    travel=0.15,
    bar_wavenumber=1.0,
    wing_share=0.3,
    bar_mass=30.0,
    float_force=(200.0, 200.0, 200.0),
    half_free_weight=0.25,
)
CARRIAGE = Carriage(
    carried="ground",
    answer=controlled(0.5, 0.1, 1.5),
    sensed="whole",
    levelled=True,
    tilt=0.0,
    track=3.0,
    reach=4.0,
    cut_height=0.045,
)
SOIL = Soil(digging_height=0.025, soil_load=200.0, soil_sink=0.002)
FIXED = replace(BAR, travel=0.0)


def drawn(seed=1, waves=WAVES, mesh=MESH):
    return ground_profile.surface(waves, mesh, seed)


def run(z=None, bar=BAR, carriage=CARRIAGE, speed=1.5, mesh=MESH, soil=SOIL):
    z = drawn(mesh=mesh) if z is None else z
    return follow(z, mesh, bar, carriage, soil, speed)


def rms(values):
    return math.sqrt(np.mean(np.square(values)))


# --- level ground


@pytest.mark.parametrize("freedom", ["free", "half"])
def test_on_level_ground_the_bar_lies_with_its_float_force(freedom):
    made = run(np.zeros((MESH.rows, MESH.stations)), replace(BAR, freedom=freedom))
    # half-free by hand: 200 × (1 − 0.25) = 150 N/m; 200 N/m sinks 2 mm
    force = {"free": 200.0, "half": 150.0}[freedom]
    np.testing.assert_allclose(made.force, force)
    np.testing.assert_allclose(made.height, 0.045 - force / 200 * 0.002)
    assert made.of().off_ground == made.of().pushing == 0.0


def test_locked_over_level_ground_the_frame_carries_everything():
    made = run(np.zeros((MESH.rows, MESH.stations)), replace(BAR, freedom="locked"))
    assert astuple(made.of()) == pytest.approx((0.045, 0.0, 0.0, 1.0, 0.0))


def test_a_locked_knife_set_into_the_ground_pushes_as_hard_as_it_is_deep():
    low = replace(CARRIAGE, cut_height=0.022)
    made = run(np.zeros((MESH.rows, MESH.stations)), FIXED, low)
    # 3 mm under the 25 mm at which guards touch; 200 N/m for 2 mm, so 300 N/m
    np.testing.assert_allclose(made.force, 300.0)
    assert made.of().pushing == 1.0


# --- closed forms are its limits


def test_a_narrow_frame_leaves_what_is_quicker_than_its_control():
    # n₀ √(G v/f), of waves without end. The surface ends at 2.4 per metre, and lines on
    # it see askew waves as longer ones: that is what the cut density adds up to.
    mesh = ground_profile.mesh_of(400.0, 0.4, 0.2, WAVES)
    ideal = replace(
        CARRIAGE, carried="sensing", answer=Answer(0.5 / 2.0, response="ideal")
    )
    left = [
        run(drawn(seed, mesh=mesh), FIXED, ideal, 2.0, mesh).height - 0.045
        for seed in range(8)
    ]
    n = np.linspace(0.25, 2.4, 20_001)
    power = ground_profile.cut_density(n, CLASS_D, N0, 0.05, 2.4)
    banded = math.sqrt(np.trapezoid(power, n))
    assert rms(left) == pytest.approx(banded, rel=0.03)
    closed = ground.tracking_residual(CLASS_D, 2.0, 0.5, N0)
    assert banded < closed
    assert banded == pytest.approx(closed, rel=0.1)


def test_a_frame_on_wheels_leaves_what_is_shorter_than_their_base():
    mesh = ground_profile.mesh_of(400.0, 0.4, 0.2, WAVES)
    ideal = replace(wheeled(4.0), response="ideal")
    wheels = replace(CARRIAGE, carried="wheels", answer=ideal, cut_height=0.2)
    left = [
        run(drawn(seed, mesh=mesh), FIXED, wheels, speed, mesh).height - 0.2
        for seed, speed in enumerate((1.0, 2.0, 3.0, 1.5))
    ]
    closed = ground.wheel_residual(CLASS_D, 4.0, N0)  # at any speed
    assert rms(left) == pytest.approx(closed, rel=0.1)


def test_middle_of_a_rigid_bar_on_its_ends_leaves_the_gap_of_the_random_walk():
    # √(2π² G n₀² W/4); waves over 20 m or under 0.4 m are missing: under 3 %
    mesh = ground_profile.mesh_of(200.0, 8.0, 0.2, WAVES)
    ends = replace(CARRIAGE, carried="sensing", answer=PERFECT, sensed="ends")
    middle = slice(mesh.stations // 2 - 1, mesh.stations // 2 + 1)
    left = [
        run(drawn(seed, mesh=mesh), FIXED, ends, 1.5, mesh).height[:, middle] - 0.045
        for seed in range(8)
    ]
    closed = ground.rigid_bar_gap(CLASS_D, 8.0 - 0.2, N0)
    assert rms(left) == pytest.approx(closed, rel=0.06)


def test_mean_gap_under_a_rigid_bar_is_a_fifteenth_of_the_walk():
    # A random walk of s per metre about its best straight line: s W/15 on average,
    # against s W/4 in the middle of a chord. √(4/15) = 0.516 of the closed form.
    mesh = ground_profile.mesh_of(200.0, 8.0, 0.2, WAVES)
    whole = replace(CARRIAGE, carried="sensing", answer=PERFECT)
    left = [
        run(drawn(seed, mesh=mesh), FIXED, whole, 1.5, mesh).height - 0.045
        for seed in range(8)
    ]
    wanted = ground.rigid_bar_gap(CLASS_D, 8.0, N0) * math.sqrt(4 / 15)
    assert rms(left) == pytest.approx(wanted, rel=0.06)


def test_what_travel_cannot_take_up_is_the_closed_form_of_a_normal_gap():
    # A bar as soft as the ground under a frame that makes a normal gap of known spread.
    soft = replace(BAR, bar_wavenumber=40.0, bar_mass=1e-3, travel=0.02)
    none = replace(SOIL, soil_sink=1e-9)
    still = replace(CARRIAGE, answer=Answer(1e-6))
    z = ground_profile.crumbs(WAVES, MESH, 4) * 3
    spread = z.std()
    made = run(z, soft, still, soil=none)
    wanted = bar.flexed_gap(spread, 0.02)
    assert rms(made.height - 0.045) == pytest.approx(wanted, rel=0.03)


def wavy(amplitude, wavenumber):
    height = amplitude * np.cos(2 * np.pi * wavenumber * MESH.way)
    return np.repeat(height[:, None], MESH.stations, axis=1)


@pytest.mark.parametrize("force", [60.0, 200.0])
def test_over_waves_contact_is_lost_where_the_closed_form_says(force):
    light = replace(BAR, float_force=(force,) * 3, travel=1.0)
    limit = ground.contact_loss_speed(force, 30.0, 0.03, 0.5)
    below, above = (
        run(wavy(0.03, 0.5), light, speed=limit * by) for by in (0.985, 1.015)
    )
    assert below.of().off_ground == 0.0
    assert above.of().off_ground > 0.01
    # finite steps see (πn step)²/3 = 0.8 % less of a bend
    least = bar.least_ground_force(force, 30.0, 0.03, 0.5, limit * 0.8)
    made = run(wavy(0.03, 0.5), light, speed=limit * 0.8)
    assert made.force.min() == pytest.approx(least, abs=0.008 * force)


def test_a_bar_in_flight_falls_by_its_float_force_over_its_mass():
    # One sharp edge: the ground drops 5 cm. F/m = 2 m/s²: 0.05 = ½ 2 t², t = 0.2236 s,
    # at 3 m/s 0.67 m; off the ground for six or seven steps of 0.1 m.
    z = np.zeros((MESH.rows, MESH.stations))
    z[200:400] = 0.05
    light = replace(BAR, float_force=(60.0,) * 3, travel=1.0)
    made = run(z, light, speed=3.0)
    off = ~made.touching[400:420, 30]
    assert off.sum() in (6, 7)
    drop = 0.05 - made.bar[400:406, 30]
    # level until then: k steps of 1/30 s fall k (k + 1)/2 times F/m dt²
    k = np.arange(1, 7)
    np.testing.assert_allclose(drop, k * (k + 1) / 2 * 2.0 / 900, atol=1e-9)


# --- laws


@pytest.mark.parametrize(("freedom", "share"), [("free", 1.0), ("half", 0.5)])
def test_the_bar_never_leaves_its_travel_even_in_flight(freedom, share):
    light = replace(BAR, freedom=freedom, float_force=(5.0,) * 3, travel=0.04)
    rough = drawn(waves=replace(WAVES, ground_roughness=8 * CLASS_D))
    made = run(rough, light, speed=4.0)
    away = made.bar - made.frame
    assert away.max() == pytest.approx(share * 0.02)
    assert away.min() == pytest.approx(-share * 0.02)


def test_the_ground_carries_the_bars_weight_however_it_bounces():
    # Momentum: over a closed way a bar that never meets a stop is carried by the ground
    # alone, so the mean force is its weight, flights and landings together.
    rough = replace(WAVES, ground_roughness=8 * CLASS_D)
    light = replace(BAR, float_force=(40.0, 60.0, 80.0), travel=2.0)
    made = run(drawn(2, rough), light, speed=3.0)
    assert made.of().off_ground > 0.2
    for section, force in zip(("left", "centre", "right"), (40, 60, 80), strict=True):
        # the way does not close to the last flight: its run-in is a tenth of it
        assert made.of(section).force == pytest.approx(force, rel=0.02)


def test_rougher_ground_spreads_the_cut_more():
    for kind in (BAR, replace(BAR, build="hinged"), FIXED):
        spreads = [
            run(drawn(waves=replace(WAVES, ground_roughness=by * CLASS_D)), kind)
            .of()
            .spread
            for by in (0.25, 1, 4, 16)
        ]
        assert np.all(np.diff(spreads) > 0)
    assert spreads == pytest.approx([spreads[1] * by for by in (0.5, 1, 2, 4)])


@pytest.mark.parametrize("build", ["rigid", "hinged", "flexible"])
def test_more_free_travel_spreads_the_cut_less(build):
    spreads = [
        run(bar=replace(BAR, build=build, travel=travel)).of().spread
        for travel in (0.0, 0.01, 0.02, 0.04, 0.08, 0.16)
    ]
    assert np.all(np.diff(spreads) < 1e-6)
    # a rigid bar on the ground gains only what its control is late
    assert spreads[-1] < {"rigid": 1.0}.get(build, 0.75) * spreads[0]


def test_a_bar_of_more_joints_follows_better():
    spreads = [
        run(bar=replace(BAR, build=build)).of().spread
        for build in ("rigid", "hinged", "flexible")
    ]
    assert np.all(np.diff(spreads) < 0)


def test_free_then_half_then_locked_follow_less_and_less():
    rough = drawn(waves=replace(WAVES, ground_roughness=4 * CLASS_D))
    made = [
        run(rough, replace(BAR, freedom=freedom, travel=0.06)).of()
        for freedom in ("free", "half", "locked")
    ]
    assert np.all(np.diff([each.spread for each in made]) > 0)
    half = run(rough, replace(BAR, travel=0.03)).of()
    assert made[1].spread == pytest.approx(half.spread, rel=0.02)
    assert made[1].force < half.force  # weight went back to the frame


@pytest.mark.parametrize("carried", ["ground", "sensing"])
def test_faster_spreads_the_cut_of_a_fixed_bar_more(carried):
    spreads = [
        run(
            bar=FIXED,
            carriage=replace(
                CARRIAGE, carried=carried, answer=controlled(0.5, 0.1, speed)
            ),
            speed=speed,
        )
        .of()
        .spread
        for speed in (0.5, 1.0, 2.0, 4.0)
    ]
    assert np.all(np.diff(spreads) > 0)


def test_a_quicker_response_helps_until_the_header_hunts():
    # Direction only: with a quarter second of dead time it hunts from 1 Hz on.
    def spread(bandwidth, dead_time):
        answer = controlled(bandwidth, dead_time, 2.0)
        held = replace(CARRIAGE, carried="sensing", answer=answer)
        return run(bar=FIXED, carriage=held, speed=2.0).of().spread

    late = [spread(bandwidth, 0.25) for bandwidth in (0.1, 0.2, 0.4, 0.8, 0.95)]
    assert late[0] > late[1] > late[2] < late[3] < late[4]
    prompt = [spread(bandwidth, 0.0) for bandwidth in (0.1, 0.2, 0.4, 0.8, 0.95)]
    assert np.all(np.diff(prompt) < 0)
    assert np.all(np.array(prompt) < late)


def test_faster_and_lighter_bars_leave_the_ground_more():
    def off(speed, force):
        light = replace(BAR, float_force=(force,) * 3, travel=1.0)
        return run(bar=light, speed=speed).of().off_ground

    assert np.all(np.diff([off(speed, 20.0) for speed in (1.0, 2.0, 3.0, 4.0)]) > 0)
    assert np.all(np.diff([off(3.0, force) for force in (10.0, 20.0, 40.0)]) < 0)


def test_a_bouncing_bar_rides_higher():
    still, fast = (
        run(bar=replace(BAR, float_force=(20.0,) * 3, travel=1.0), speed=speed)
        for speed in (0.5, 4.0)
    )
    assert fast.of().height > still.of().height + 1 * MM


@pytest.mark.parametrize("heavy", [0, 1, 2])
def test_a_heavier_section_presses_more_there_only(heavy):
    names = followed_bar.SECTIONS
    forces = [200.0] * 3
    forces[heavy] = 400.0
    even, made = run(), run(bar=replace(BAR, float_force=tuple(forces)))
    for place, name in enumerate(names):
        before, after = even.of(name), made.of(name)
        if place == heavy:
            assert after.force > before.force + 150
            assert after.pushing >= before.pushing
            # 200 N/m more sink it 2 mm more
            assert after.height == pytest.approx(before.height - 0.002, abs=1e-4)
        else:
            assert after == before


def test_a_heavy_wing_on_rough_ground_pushes_more_there_only():
    rough = drawn(waves=replace(WAVES, ground_roughness=8 * CLASS_D))
    low = replace(CARRIAGE, cut_height=0.032)
    even, made = (
        run(rough, replace(BAR, float_force=(200.0, 200.0, right)), low)
        for right in (200.0, 500.0)
    )
    assert made.of("right").pushing > even.of("right").pushing
    assert made.of("left") == even.of("left")


def test_mirrored_ground_makes_a_mirrored_cut():
    z, sided = drawn(3), replace(BAR, float_force=(100.0, 200.0, 300.0))
    made = run(z, sided)
    turned = run(z[:, ::-1], replace(BAR, float_force=(300.0, 200.0, 100.0)))
    np.testing.assert_allclose(turned.height[:, ::-1], made.height, atol=1e-9)
    np.testing.assert_allclose(turned.force[:, ::-1], made.force, atol=1e-4)


def test_ground_lifted_or_tilted_as_a_whole_changes_nothing():
    z = drawn(3)
    lifted = run(z + 0.4 - 0.02 * MESH.places)
    np.testing.assert_allclose(lifted.height, run(z).height, atol=1e-9)


def test_crumbs_move_the_knife_over_them_and_nothing_else():
    z, crumbs = drawn(), ground_profile.crumbs(WAVES, MESH, 1)
    bare = run(z)
    made = follow(z, MESH, BAR, CARRIAGE, SOIL, 1.5, crumbs)
    np.testing.assert_allclose(made.height, bare.height - crumbs, atol=1e-12)
    np.testing.assert_array_equal(made.force, bare.force)


def test_quantiles_stand_in_order_about_the_middle():
    made = run()
    low, middle, high = made.quantiles((0.05, 0.5, 0.95))
    assert low < middle < high
    share = np.mean(made.height < low)
    assert share == pytest.approx(0.05, abs=1e-3)


# --- tilt and breaks of slope


def test_a_tilted_frame_lets_one_end_down():
    tilt = math.atan(0.01)
    made = run(
        np.zeros((MESH.rows, MESH.stations)), FIXED, replace(CARRIAGE, tilt=tilt)
    )
    # stations stand half a step from the ends
    lift = ground.end_lift(12.0 - MESH.across, tilt)
    assert made.height[0, -1] - 0.045 == pytest.approx(lift)
    assert made.height[0, 0] - 0.045 == pytest.approx(-lift)
    assert made.of("left").pushing > 0 == made.of("right").pushing


def test_without_levelling_a_break_of_slope_stands_until_the_wheels_reach_it():
    change = math.atan(0.02)
    z = ground_profile.slope_break(MESH, change, 40.0, 80.0)
    made = run(z, FIXED, replace(CARRIAGE, levelled=False))
    lift = ground.end_lift(12.0 - MESH.across, change)
    over = made.height[:, -1] - 0.045
    # under the header the right rises from 40 m on, under the wheels from 44 m on
    np.testing.assert_allclose(over[410:430], -lift, atol=1e-9)
    np.testing.assert_allclose(over[450:790], 0.0, atol=1e-9)
    np.testing.assert_allclose(over[810:830], lift, atol=1e-9)


def test_levelling_takes_a_break_up_as_fast_as_it_answers():
    change = math.atan(0.02)
    z = ground_profile.slope_break(MESH, change, 40.0, 80.0)
    answer = Answer(1 / (2 * math.pi))  # a lag of one metre
    made = run(z, FIXED, replace(CARRIAGE, answer=answer))
    lift = ground.end_lift(12.0 - MESH.across, change)
    over = made.height[:, -1] - 0.045
    # after k metres e^-k of it is left
    np.testing.assert_allclose(
        over[[420, 430, 450]], -lift * np.exp([-2.0, -3.0, -5.0]), atol=0.06 * lift
    )


def test_travel_takes_up_a_break_that_lies_within_it():
    change = math.atan(0.01)  # 6 cm at the ends
    z = ground_profile.slope_break(MESH, change, 40.0, 80.0)
    held = replace(CARRIAGE, levelled=False)
    free, locked = (
        run(z, replace(BAR, freedom=freedom), held) for freedom in ("free", "locked")
    )
    assert free.of().spread < 0.1 * locked.of().spread


# --- offsets


def test_shoes_and_header_angle_by_hand():
    # 50 mm − 200 mm × tan 3° (0.0524078) = 39.5 mm
    found = bar.knife_height(0.05, math.radians(3), 0.2)
    assert found / MM == pytest.approx(39.518, abs=1e-3)
    assert bar.knife_height(0.05, 0.0, 0.2) == 0.05


def test_setting_the_knife_up_lifts_the_whole_distribution():
    up = run(carriage=replace(CARRIAGE, cut_height=0.065))
    np.testing.assert_allclose(up.height, run().height + 0.02, atol=1e-12)
    assert up.of().pushing <= run().of().pushing


@pytest.mark.parametrize(
    ("wrong", "key"),
    [
        (lambda: run(bar=replace(BAR, travel=-0.1)), "must_not_be_negative"),
        (lambda: run(bar=replace(BAR, bar_mass=0.0)), "must_be_positive"),
        (
            lambda: run(bar=replace(BAR, float_force=(1.0, -1.0, 1.0))),
            "must_not_be_negative",
        ),
        (lambda: run(bar=replace(BAR, wing_share=0.7)), "must_be_at_least"),
        (lambda: run(speed=0.0), "must_be_positive"),
        (
            lambda: run(carriage=replace(CARRIAGE, cut_height=-0.1)),
            "must_not_be_negative",
        ),
        (lambda: run(carriage=replace(CARRIAGE, tilt=math.nan)), "must_be_a_number"),
        (lambda: run(soil=replace(SOIL, soil_sink=0.0)), "must_be_positive"),
        (lambda: bar.weight_left(200.0, 1.5), "must_be_a_fraction"),
        (
            lambda: bar.knife_height(-0.1, 0.0, 0.2),
            "must_not_be_negative",
        ),
    ],
)
def test_impossible_inputs_are_refused(wrong, key):
    with pytest.raises(OutOfRange, match=key):
        wrong()


def test_a_mesh_knows_its_own_measures():
    assert Mesh(10, 12, 6, 0.1, 0.5).places == pytest.approx(
        [-1.25, -0.75, -0.25, 0.25, 0.75, 1.25]
    )
