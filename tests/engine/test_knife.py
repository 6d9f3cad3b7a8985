"""Knife speeds, advance and stubble against tables worked out by hand."""

import math

import numpy as np
import pytest

from academy.engine import knife
from academy.errors import OutOfRange

STROKE, MINUTE, MPH, MM = 0.0762, 60.0, 0.44704, 1e-3

# strokes a minute; mean and peak knife speed [m/s]; advance [mm] at 2 and 5 mph
TABLE = [
    (900, "1.143", "1.795", "59.6", "149.0"),
    (1000, "1.270", "1.995", "53.6", "134.1"),
    (1100, "1.397", "2.194", "48.8", "121.9"),
    (1200, "1.524", "2.394", "44.7", "111.8"),
    (1300, "1.651", "2.593", "41.3", "103.2"),
]


@pytest.mark.parametrize(("strokes", "mean", "peak", "slow", "fast"), TABLE)
def test_table_of_a_three_inch_stroke(strokes, mean, peak, slow, fast, printed):
    rate = strokes / MINUTE
    assert knife.mean_knife_speed(STROKE, rate) == printed(mean)
    assert knife.peak_knife_speed(STROKE, rate) == printed(peak)
    assert knife.advance_per_stroke(2 * MPH, rate) / MM == printed(slow)
    assert knife.advance_per_stroke(5 * MPH, rate) / MM == printed(fast)


def test_peak_is_the_fastest_instant_of_a_harmonic_stroke():
    # position (S/2) cos(π n t): speed peaks at π n S/2
    assert knife.peak_knife_speed(2.0, 3.0) == pytest.approx(math.pi * 3.0)


@pytest.mark.parametrize(
    ("deflection", "length"),
    [(20, "54"), (38, "63"), (54, "74"), (76, "91"), (100, "112")],
)
def test_stubble_of_bent_stems_at_50_mm(deflection, length, printed):
    # hand table of √(50² + q²)
    assert knife.stubble_length(50 * MM, deflection * MM) / MM == printed(length)


def test_an_upright_stem_leaves_the_cut_height():
    assert knife.stubble_length(0.07, 0.0) == pytest.approx(0.07)


def test_bending_matters_more_at_low_cuts():
    heights = np.array([0.03, 0.06, 0.12, 0.24])
    extra = knife.stubble_length(heights, 0.05) - heights
    assert np.all(np.diff(extra) < 0)


def test_advance_doubles_with_speed_and_halves_with_strokes():
    base = knife.advance_per_stroke(1.5, 18.0)
    assert knife.advance_per_stroke(3.0, 18.0) == pytest.approx(2 * base)
    assert knife.advance_per_stroke(1.5, 36.0) == pytest.approx(base / 2)


def test_no_bunching_no_loss_at_the_knife():
    assert knife.knife_share(0.0, 0.03) == 0
    assert knife.knife_share(1.0, 0.03) == 0.03


@pytest.mark.parametrize(
    ("formula", "inputs"),
    [
        (knife.mean_knife_speed, (0.0, 18.0)),
        (knife.advance_per_stroke, (-1.0, 18.0)),
        (knife.advance_per_stroke, (1.0, 0.0)),
        (knife.stubble_length, (0.05, -0.01)),
        (knife.knife_share, (1.2, 0.03)),
    ],
)
def test_impossible_knives_are_refused(formula, inputs):
    with pytest.raises(OutOfRange):
        formula(*inputs)
