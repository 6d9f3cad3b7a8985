"""What a bar on two hinges leaves of a random walk: worked by hand, drawn, and laws."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from academy.engine.hinged_bar import hung_share, laid_share, sections_alike
from academy.errors import OutOfRange

WINGS = st.floats(0.0, 0.5)
MORE = settings(max_examples=60, deadline=None)


def test_one_piece_leaves_a_fifteenth_and_two_halves_a_twenty_fourth():
    # Even half of the walk about the middle, on {1, y}: a walk over a half about its
    # best line leaves (1/2)²/15; odd half on {y}: (1/2)² (1/2 − 2/5) = (1/2)²/10.
    # Together over the width: (1/4)(1/15 + 1/10) = 1/24.
    assert laid_share(0.0) == pytest.approx(1 / 15)
    assert laid_share(0.5) == pytest.approx(1 / 24)


def test_thirds_that_hold_together_leave_more_than_thirds_set_free():
    # Three bars of a third, each at rest by itself: (1/3)/15 = 1/45. Held together
    # and hung at their joints: (1/3)/6 = 1/18. By their weight they lie between.
    assert hung_share(1 / 3) == pytest.approx(1 / 18)
    assert 1 / 45 < laid_share(1 / 3) < 1 / 18
    assert 1 < sections_alike("hinged", "whole", "ground", 1 / 3) < 3


@pytest.mark.parametrize("wing", [0.2, 1 / 3, 0.42])
def test_drawn_walks_leave_what_the_closed_form_says(wing):
    # Nothing of the engine: walks of many small steps, four hats, numpy's own lstsq.
    steps, walks = 300, 4000
    dice = np.random.Generator(np.random.PCG64(9))
    walk = np.cumsum(dice.standard_normal((steps, walks)), axis=0) / np.sqrt(steps)
    places = (np.arange(steps) + 0.5) / steps
    at = [0.0, wing, 1.0 - wing, 1.0]
    hats = np.stack([np.interp(places, at, one) for one in np.eye(4)], axis=1)
    rest = walk - hats @ np.linalg.lstsq(hats, walk, rcond=None)[0]
    # 4000 walks of some ten free ways each: 1 % is three standard errors
    assert np.mean(rest**2) == pytest.approx(laid_share(wing), rel=0.012)


@MORE
@given(WINGS)
def test_lying_leaves_less_than_hanging_and_hinges_less_than_none(wing):
    assert 0 < laid_share(wing) <= 1 / 15 + 1e-9
    assert laid_share(wing) < hung_share(wing) <= 1 / 6 + 1e-12


@MORE
@given(WINGS, st.sampled_from(("whole", "ends")))
def test_hinges_never_make_it_worse(wing, sensed):
    hinged = sections_alike("hinged", sensed, "sensing", wing)
    assert hinged >= sections_alike("rigid", sensed, "sensing", wing) - 1e-9


@pytest.mark.parametrize("carried", ["ground", "wheels", "sensing"])
@pytest.mark.parametrize("build", ["rigid", "flexible"])
def test_a_bar_in_one_piece_that_sees_all_its_ground_counts_as_one(build, carried):
    assert sections_alike(build, "whole", carried, 0.3) == 1.0


def test_sensors_at_the_ends_see_less_of_a_stiff_bar():
    # a sixth against a fifteenth, hung between its ends; a quarter, level at its middle
    assert sections_alike("rigid", "ends", "sensing", 0.3) == pytest.approx(0.4)
    assert sections_alike("rigid", "centre", "sensing", 0.3) == pytest.approx(4 / 15)
    # on wheels it is not the sensors that lay the bar, nor where it lies by itself
    assert sections_alike("rigid", "ends", "wheels", 0.3) == 1.0
    assert sections_alike("flexible", "ends", "ground", 0.3) == 1.0
    assert sections_alike("rigid", "ends", "ground", 0.3) == pytest.approx(0.4)


@pytest.mark.parametrize("wing", [-0.1, 0.6, float("nan")])
@pytest.mark.parametrize("share", [laid_share, hung_share])
def test_impossible_wings_are_refused(share, wing):
    with pytest.raises(OutOfRange):
        share(wing)
