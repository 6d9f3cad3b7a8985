"""The drawn ground has the spectrum, the heights and the gaps that the laws demand."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy import signal

from academy.catalog import grounds
from academy.engine import ground, ground_profile
from academy.engine.ground_profile import Mesh, Waves
from academy.errors import OutOfRange

N0, CLASS_D = 0.1, 1024e-6
WAVES = Waves(
    ground_roughness=CLASS_D,
    reference_wavenumber=N0,
    low_wavenumber=0.05,
    high_wavenumber=2.4,
)
MESH = ground_profile.mesh_of(200.0, 12.0, 0.2, WAVES)
WHOLE = replace(MESH, stations=MESH.columns)  # the closed surface, ends and all


def closed(seed=1, waves=WAVES, mesh=WHOLE):
    return ground_profile.surface(waves, mesh, seed)


def along(heights, mesh=WHOLE):
    """Mean one-sided periodogram of all lines along the way, and its wavenumbers."""
    power = (np.abs(np.fft.rfft(heights, axis=0)) ** 2).mean(axis=1)
    return np.fft.rfftfreq(mesh.rows, mesh.along), power * 2 * mesh.along / mesh.rows


def across(heights, mesh=WHOLE):
    """The same of all lines across."""
    power = (np.abs(np.fft.rfft(heights, axis=1)) ** 2).mean(axis=0)
    n = np.fft.rfftfreq(mesh.columns, mesh.across)
    return n, power * 2 * mesh.across / mesh.columns


@pytest.mark.parametrize(
    ("wavenumber", "times"), [(0.1, 1.0), (0.2, 0.25), (1.0, 0.01)]
)
def test_density_falls_with_the_square_by_hand(wavenumber, times):
    found = ground_profile.density(wavenumber, CLASS_D, N0)
    assert found == pytest.approx(CLASS_D * times)


def test_line_density_is_the_plane_density_summed_over_askew_waves():
    # two-sided plane density A/k³ over the ring 0.05..2.4, both signs of the line's n
    for n in (0.03, 0.2, 1.0, 2.0):
        m = np.linspace(-2.4, 2.4, 2_000_001)
        k = np.hypot(n, m)
        plane = np.where((k >= 0.05) & (k <= 2.4), CLASS_D * N0**2 / 4 / k**3, 0.0)
        found = ground_profile.cut_density(n, CLASS_D, N0, 0.05, 2.4)
        assert found == pytest.approx(2 * np.trapezoid(plane, m), rel=1e-4)


def test_a_line_far_inside_the_band_shows_the_standards_density():
    found = ground_profile.cut_density(0.2, CLASS_D, N0, 1e-4, 1e4)
    assert found == pytest.approx(ground_profile.density(0.2, CLASS_D, N0), rel=1e-6)


@pytest.mark.parametrize("line", [along, across])
def test_periodogram_of_every_line_is_the_cut_density(line):
    # A closed surface has no leakage: only the grid of waves stands between the two.
    n, power = line(closed())
    inside = (n > 0.12) & (n < 1.8)
    wanted = ground_profile.cut_density(n[inside], CLASS_D, N0, 0.05, 2.4)
    np.testing.assert_allclose(power[inside], wanted, rtol=0.03)


def test_welch_recovers_slope_and_roughness():
    # Welch's method knows nothing of how the ground was made. Long segments, a window
    # without much leakage, lines 2 m apart; fitted where the cut is that of the law.
    heights = np.concatenate([closed(seed)[:, ::10] for seed in range(4)], axis=1)
    n, power = signal.welch(
        heights, 1 / MESH.along, "hann", nperseg=500, axis=0, detrend="linear"
    )
    fitted = (n >= 0.15) & (n <= 0.8)
    slope, level = np.polyfit(np.log(n[fitted]), np.log(power.mean(1)[fitted]), 1)
    # the cut alone makes it 0.03 steeper: between the ends of the fitted range the
    # density falls by √[(1 − (0.8/2.4)²)/(1 − (0.15/2.4)²)] more; ln(0.8/0.15) = 1.67
    assert slope == pytest.approx(-2.03, abs=0.06)
    assert math.exp(level + slope * math.log(N0)) == pytest.approx(CLASS_D, rel=0.15)


@pytest.mark.parametrize("key", ["smooth", "ordinary", "rough"])
def test_heights_within_a_band_are_the_closed_form(key):
    rough = grounds.load()[key].roughness.si()[1]
    waves = replace(WAVES, ground_roughness=rough)
    n, power = along(closed(waves=waves))
    low, high, step = 0.1, 0.6, 1 / 200
    inside = (n > low) & (n <= high)  # bins as wide as a step, from middle to middle
    rms = math.sqrt(power[inside].sum() * step)
    wanted = ground.roughness_height(rough, low + step / 2, high + step / 2, N0)
    # at 0.6 the cut takes 3.2 % of the density, less before: under 1 % of the root
    assert rms == pytest.approx(wanted, rel=0.015)


def test_ordinary_ground_is_as_high_as_a_measured_paddy_field():
    # Paddy field by rod and level, Hue University Journal of Science (Agriculture and
    # Rural Development): 645.06e-6 m³ at 0.1 per metre, slope 1.2399, waves of 0.05 to
    # 3.5 per metre. ∫ G (n/n₀)^−w dn over them:
    w, rough = 1.2399, 645.06e-6
    area = rough * N0**w * (0.05 ** (1 - w) - 3.5 ** (1 - w)) / (w - 1)
    assert math.sqrt(area) == pytest.approx(0.0142, abs=5e-5)
    wide = replace(WAVES, low_wavenumber=0.01, high_wavenumber=4.9)
    mesh = Mesh(2000, 1000, 1000, 0.1, 0.1)
    n, power = along(closed(waves=wide, mesh=mesh), mesh)
    # bins of 1/200 per metre from 0.05 to the 2 per metre that class D is told for
    inside = (n > 0.0499) & (n < 2.0)
    assert math.sqrt(power[inside].sum() / 200) == pytest.approx(0.0142, rel=0.05)


def test_rms_of_the_whole_surface_is_that_of_the_ring():
    # ∫ 2πk A/k³ dk = (π G n₀²/2)(1/k₁ − 1/k₂): fixed heights, so to the mesh alone
    wanted = math.pi * CLASS_D * N0**2 / 2 * (1 / 0.05 - 1 / 2.4)
    assert closed().var() == pytest.approx(wanted, rel=0.1)
    fine = Mesh(4000, 1000, 1000, 0.2, 0.2)
    assert closed(mesh=fine).var() == pytest.approx(wanted, rel=0.01)


@pytest.mark.parametrize(("rows", "columns"), [(45, 27), (48, 28), (45, 28), (48, 27)])
def test_every_ground_of_a_band_is_equally_rough(rows, columns):
    # Parseval: phases move no height, on even and on odd meshes
    mesh = Mesh(rows, columns, columns, 0.2, 0.2)
    found = [closed(seed, mesh=mesh).var() for seed in range(5)]
    assert found == pytest.approx([found[0]] * 5, rel=1e-12)


def test_four_times_the_roughness_is_twice_as_high():
    twice = closed(waves=replace(WAVES, ground_roughness=4 * CLASS_D))
    np.testing.assert_allclose(twice, 2 * closed(), rtol=1e-12)


def test_a_seed_is_one_ground_for_ever():
    np.testing.assert_array_equal(closed(7), closed(7))
    apart = np.corrcoef(closed(7).ravel(), closed(8).ravel())[0, 1]
    assert abs(apart) < 0.5  # a few long waves carry most of the height


def test_the_bar_lies_on_the_first_columns_of_the_closed_surface():
    np.testing.assert_array_equal(
        ground_profile.surface(WAVES, MESH, 3), closed(3)[:, : MESH.stations]
    )
    assert (MESH.width, MESH.travel) == pytest.approx((12.0, 200.0))


def test_ground_is_the_same_everywhere_on_average():
    # Stationary: over many grounds neither place nor side is rougher than another.
    short = ground_profile.mesh_of(40.0, 6.0, 0.2, WAVES)
    squares = [ground_profile.surface(WAVES, short, seed) ** 2 for seed in range(400)]
    mean = np.mean(squares, axis=0)
    corners = mean[:: short.rows // 4, :: short.stations // 3]
    # a mean square of 400 draws strays by √(2/400) = 7 %; three of those
    np.testing.assert_allclose(corners, mean.mean(), rtol=0.21)


def test_ends_of_a_surface_meet_without_a_step():
    heights = closed()
    inner = np.abs(np.diff(heights, axis=0)).max()
    assert np.abs(heights[0] - heights[-1]).max() <= inner * 1.01


@pytest.mark.parametrize("turned", [False, True])
def test_gap_under_a_rod_on_its_ends_is_the_random_walks(turned):
    # √(2π² G n₀² W/4), of waves without end. Those over 20 m hardly bend a rod of 6 m;
    # what is shorter than 0.42 m adds 1.5 C/2.4 to 2π² C 6/4, 2 %.
    heights = [closed(seed).T if turned else closed(seed) for seed in range(6)]
    step = MESH.along if turned else MESH.across
    reach = round(3.0 / step)
    gaps = [
        h[:, reach : -reach - 1] - (h[:, : -2 * reach - 1] + h[:, 2 * reach : -1]) / 2
        for h in heights
    ]
    rms = math.sqrt(np.mean([np.mean(g**2) for g in gaps]))
    assert rms == pytest.approx(ground.rigid_bar_gap(CLASS_D, 6.0, N0), rel=0.05)


# --- crumbs, ridges and breaks


def test_crumbs_hold_what_the_plane_holds_beyond_its_shortest_waves():
    # ∫ 2πk A/k³ dk from k₂ on: (π G n₀²/2)/k₂; 60 000 draws stray by 0.6 %
    made = ground_profile.crumbs(WAVES, MESH, 1)
    wanted = math.pi * CLASS_D * N0**2 / 2 / 2.4
    assert made.var() == pytest.approx(wanted, rel=0.02)
    assert made.mean() == pytest.approx(0.0, abs=4 * math.sqrt(wanted / made.size))


def test_a_clod_tells_nothing_of_the_next_nor_of_the_ground():
    made = ground_profile.crumbs(WAVES, MESH, 1)
    below = ground_profile.surface(WAVES, MESH, 1)
    for other in (np.roll(made, 1, 0), np.roll(made, 1, 1), below):
        # four times 1/√120 000
        assert abs(np.corrcoef(made.ravel(), other.ravel())[0, 1]) < 0.012
    np.testing.assert_array_equal(made, ground_profile.crumbs(WAVES, MESH, 1))


def test_ridges_are_one_line_in_the_spectrum():
    # 0.75 m apart, crossed at 20°: 200 sin 20°/0.75 = 91.2, so 91 waves in 200 m
    heights = ground_profile.ridges(MESH, 0.03, 0.75, math.radians(20))
    power = np.abs(np.fft.rfft(heights, axis=0)) ** 2
    n = np.fft.rfftfreq(MESH.rows, MESH.along)
    line = power.mean(axis=1)
    assert n[line.argmax()] == pytest.approx(91 / 200)
    assert line.max() / line.sum() == pytest.approx(1.0)
    assert heights.var() == pytest.approx(0.03**2 / 2, rel=0.01)


def test_driving_along_the_rows_the_ridges_stand_still():
    heights = ground_profile.ridges(MESH, 0.03, 0.75, 0.0)
    np.testing.assert_array_equal(heights, np.tile(heights[0], (MESH.rows, 1)))
    np.testing.assert_allclose(
        heights[0], 0.03 * np.cos(2 * np.pi * MESH.places / 0.75), atol=1e-15
    )


def test_a_break_lifts_the_ends_as_the_closed_form_says():
    change = math.atan(0.05)
    heights = ground_profile.slope_break(MESH, change, 50.0, 120.0)
    assert np.all(heights[MESH.way < 50.0] == 0.0)
    assert np.all(heights[MESH.way >= 120.0] == 0.0)
    # stations stand half a step from the ends
    lift = ground.end_lift(MESH.width - MESH.across, change)
    assert heights[MESH.rows // 2, -1] == pytest.approx(lift)
    assert heights[MESH.rows // 2, 0] == pytest.approx(-lift)


@pytest.mark.parametrize(
    ("wrong", "key"),
    [
        (lambda: ground_profile.density(0.0, CLASS_D, N0), "must_be_positive"),
        (
            lambda: ground_profile.cut_density(3.0, CLASS_D, N0, 0.05, 2.0),
            "must_be_at_least",
        ),
        (lambda: ground_profile.mesh_of(0.0, 12.0, 0.2, WAVES), "must_be_positive"),
        (lambda: ground_profile.mesh_of(9.0, 12.0, 0.3, WAVES), "step_too_long"),
        (
            lambda: closed(waves=replace(WAVES, ground_roughness=-1.0)),
            "must_not_be_negative",
        ),
        (lambda: closed(waves=replace(WAVES, low_wavenumber=3.0)), "must_be_at_least"),
        (lambda: ground_profile.ridges(MESH, 0.03, 0.0, 0.0), "must_be_positive"),
        (lambda: ground_profile.slope_break(MESH, 0.1, 9.0, 5.0), "must_be_at_least"),
    ],
)
def test_impossible_grounds_are_refused(wrong, key):
    with pytest.raises(OutOfRange, match=key):
        wrong()
