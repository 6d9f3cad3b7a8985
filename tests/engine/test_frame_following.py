"""The frame's answer: corner, lag and hunting against closed forms."""

import math

import numpy as np
import pytest

from academy.engine import frame_following, ground
from academy.engine.frame_following import Answer, controlled, followed, gain, wheeled
from academy.errors import OutOfRange

CLASS_D, N0 = 1024e-6, 0.1


def residual(answer, corner_waves=4000, bins=400_000):
    """Mean square of what an answer leaves of waves C/n², by plain summation; C = 1."""
    n = (np.arange(bins) + 0.5) * answer.corner * corner_waves / bins
    left = np.abs(1.0 - gain(answer, n)) ** 2 / n**2
    return float(left.sum() * (n[1] - n[0]))


def test_a_perfect_control_leaves_the_closed_form():
    answer = Answer(0.4, response="ideal")
    # ∫ from the corner on of 1/n² is one over the corner
    assert residual(answer) == pytest.approx(1 / 0.4, rel=2e-3)
    left = ground.tracking_residual(CLASS_D, 2.0, 0.8, N0)
    assert N0 * math.sqrt(CLASS_D / 0.4) == pytest.approx(left)


def test_a_lag_leaves_a_quarter_more():
    # √(π/2) = 1.2533
    lag = frame_following.lag_residual(CLASS_D, 2.0, 0.8, N0)
    assert lag / ground.tracking_residual(CLASS_D, 2.0, 0.8, N0) == pytest.approx(
        1.2533, abs=5e-5
    )
    assert residual(Answer(0.4)) == pytest.approx(math.pi / 2 / 0.4, rel=2e-3)


def test_a_lag_at_its_corner_makes_half_the_power_an_eighth_of_a_wave_late():
    made = complex(gain(Answer(0.5), np.array([0.5]))[0])
    assert abs(made) ** 2 == pytest.approx(0.5)
    assert math.degrees(np.angle(made)) == pytest.approx(-45.0)


def test_wheels_leave_what_is_shorter_than_their_base():
    assert wheeled(4.0) == Answer(0.25)
    left = residual(Answer(0.25, response="ideal"))
    wanted = ground.wheel_residual(CLASS_D, 4.0, N0)
    assert N0 * math.sqrt(CLASS_D * left) == pytest.approx(wanted, rel=2e-3)


def test_a_faster_machine_meets_its_corner_at_longer_waves():
    slow, fast = controlled(0.5, 0.1, 1.0), controlled(0.5, 0.1, 2.0)
    assert (slow.corner, fast.corner) == (0.5, 0.25)
    assert (slow.dead_travel, fast.dead_travel) == (0.1, 0.2)


# --- hunting


def test_hunting_begins_where_the_loop_swings_for_ever():
    # Kτ = π/2 with K = 2πf: at half a hertz τ is half a second
    assert frame_following.hunting_index(0.5, 0.5) == pytest.approx(1.0)
    # there the loop's wave is f itself, and the frame's answer has no end
    near = Answer(1.0, 0.25 * (1 - 1e-6))
    assert abs(gain(near, np.array([1.0]))[0]) > 1e4


def test_dead_time_makes_the_frame_overshoot_more_and_more():
    n = np.linspace(0.01, 3.0, 3000)
    peaks = [
        np.abs(gain(controlled(0.5, tau, 1.0), n)).max()
        for tau in (0.0, 0.2, 0.3, 0.45)
    ]
    assert peaks[0] <= 1.0
    assert np.all(np.diff(peaks) > 0)
    assert peaks[-1] > 5


def test_a_hunting_control_is_refused():
    with pytest.raises(OutOfRange, match="height_control_hunts"):
        controlled(1.0, 0.25, 2.0)


# --- what is made of a whole way


def test_a_wave_comes_out_lower_and_later():
    way = np.arange(1000) * 0.1
    seen = np.cos(2 * np.pi * 0.5 * way)
    made = followed(Answer(0.5), seen, 0.1)
    # at the corner 1/√2 as high and an eighth of 2 m, 0.25 m, late
    wanted = np.cos(2 * np.pi * 0.5 * (way - 0.25)) / math.sqrt(2)
    np.testing.assert_allclose(made, wanted, atol=1e-9)


def test_level_ground_and_slow_swells_are_followed():
    seen = np.stack([np.full(200, 0.3), np.full(200, -0.02)], axis=1)
    np.testing.assert_allclose(followed(Answer(0.3, 0.4), seen, 0.1), seen, atol=1e-12)


def test_height_and_tilt_are_followed_apart():
    dice = np.random.Generator(np.random.PCG64(5))
    seen = dice.random((300, 2))
    both = followed(Answer(0.5, 0.1), seen, 0.1)
    for column in range(2):
        alone = followed(Answer(0.5, 0.1), seen[:, column], 0.1)
        np.testing.assert_allclose(both[:, column], alone, atol=1e-12)


def test_tyres_tilt_by_hand():
    # 3 cm over 3 m: 0.57 degrees
    tilt = frame_following.tyre_tilt(0.03, 3.0)
    assert math.degrees(tilt) == pytest.approx(0.573, abs=5e-4)
    assert frame_following.tyre_tilt(-0.03, 3.0) == -tilt


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: frame_following.hunting_index(0.0, 0.1),
        lambda: frame_following.hunting_index(0.5, -0.1),
        lambda: frame_following.tyre_tilt(0.03, 0.0),
        lambda: frame_following.lag_residual(CLASS_D, 1.0, 0.0, N0),
        lambda: controlled(0.5, 0.1, 0.0),
        lambda: wheeled(0.0),
    ],
)
def test_impossible_inputs_are_refused(wrong):
    with pytest.raises(OutOfRange):
        wrong()
