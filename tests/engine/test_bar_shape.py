"""Shapes of a bar across: lines kept, hinges, and the bending of a long beam."""

import numpy as np
import pytest
from scipy.interpolate import CubicSpline
from scipy.optimize import minimize

from academy.engine.bar_shape import hinge_place, sensor, shape, wave_taken
from academy.engine.ground_profile import Mesh
from academy.errors import OutOfRange

MESH = Mesh(10, 120, 60, 0.1, 0.2)
BUILDS = ("rigid", "hinged", "flexible")
Y = MESH.places


def made(build, mesh=MESH, wing=0.3, waves=1.0):
    return shape(mesh, build, wing, waves)


@pytest.mark.parametrize("build", BUILDS)
def test_every_bar_lies_flat_on_even_sloping_ground(build):
    plain = 0.2 - 0.03 * Y
    np.testing.assert_allclose(made(build) @ plain, plain, atol=1e-9)


@pytest.mark.parametrize("build", BUILDS)
def test_a_bar_presses_evenly_on_both_sides_of_the_ground(build):
    # What is left over has no force and no moment: free ends, nothing pulls them.
    left = Y**3 / 100 - made(build) @ (Y**3 / 100)
    assert left.sum() == pytest.approx(0.0, abs=1e-8)
    assert left @ Y == pytest.approx(0.0, abs=1e-7)


@pytest.mark.parametrize("build", BUILDS)
def test_a_mirrored_ground_makes_a_mirrored_bar(build):
    np.testing.assert_allclose(made(build)[::-1, ::-1], made(build), atol=1e-9)


def test_a_hinged_bar_takes_a_ground_that_breaks_at_its_hinges():
    hinge = hinge_place(MESH.width, 0.3)
    assert hinge == pytest.approx(2.4)  # (0.5 − 0.3) × 12
    broken = 0.05 * np.maximum(Y - hinge, 0) + 0.02 * np.maximum(-hinge - Y, 0)
    np.testing.assert_allclose(made("hinged") @ broken, broken, atol=1e-9)
    assert np.abs(made("rigid") @ broken - broken).max() > 0.02


def test_a_very_stiff_beam_is_rigid_and_a_very_soft_one_the_ground():
    # as far as the arithmetic lets it: the beam's stiffness is 1e4 times a rod's then
    np.testing.assert_allclose(made("flexible", waves=0.005), made("rigid"), atol=2e-3)
    np.testing.assert_allclose(made("flexible", waves=50.0), np.eye(60), atol=1e-3)


@pytest.mark.parametrize("waves", [0.25, 0.5, 1.0])
def test_middle_of_a_long_beam_takes_the_share_of_the_closed_form(waves):
    long = Mesh(2, 800, 400, 0.1, 0.1)
    ground = np.cos(2 * np.pi * waves * long.places)
    bar = made("flexible", long) @ ground
    inner = slice(150, 250)
    share = wave_taken(waves, 1.0)
    np.testing.assert_allclose(bar[inner], share * ground[inner], atol=5e-4)


def test_share_of_a_wave_by_hand():
    # 1/(1 + 2⁻⁴) = 16/17
    assert wave_taken(0.5, 1.0) == pytest.approx(16 / 17)
    assert wave_taken(1.0, 1.0) == 0.5
    assert wave_taken(0.0, 1.0) == 1.0


def test_the_beam_is_the_shape_of_least_energy():
    # Brute force: a minimiser that knows only what bending and pressing cost.
    small = Mesh(2, 40, 20, 0.1, 0.3)
    ground = np.random.Generator(np.random.PCG64(2)).random(20) * 0.05

    fine = np.linspace(small.places[0], small.places[-1], 4001)

    def energy(bar):
        bent = CubicSpline(small.places, bar, bc_type="natural")(fine, 2)
        bending = np.trapezoid(bent**2, fine) / (2 * np.pi) ** 4
        return 1e4 * (0.3 * np.sum((bar - ground) ** 2) + bending)

    found = minimize(energy, ground, method="BFGS", options={"gtol": 1e-9})
    np.testing.assert_allclose(made("flexible", small) @ ground, found.x, atol=1e-5)


def test_sensors_see_a_line_as_it_is():
    plain = 0.2 - 0.03 * Y
    for sensed in ("whole", "ends"):
        np.testing.assert_allclose(sensor(MESH, sensed) @ plain, [0.2, -0.03])


def test_sensors_at_the_ends_do_not_see_the_middle():
    bump = np.where(np.abs(Y) < 1, 0.1, 0.0)
    assert np.all(sensor(MESH, "ends") @ bump == 0.0)
    assert (sensor(MESH, "whole") @ bump)[0] == pytest.approx(0.1 * 10 / 60)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: wave_taken(-0.1, 1.0),
        lambda: wave_taken(0.1, 0.0),
        lambda: hinge_place(0.0, 0.3),
        lambda: hinge_place(12.0, 0.6),
        lambda: shape(MESH, "flexible", 0.3, 0.0),
    ],
)
def test_impossible_bars_are_refused(wrong):
    with pytest.raises(OutOfRange):
        wrong()
