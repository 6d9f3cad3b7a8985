"""The fast path's spread of the cut height beside the bar over drawn ground.

``header.run`` joins closed forms in quadrature. The followed bar shows how far off that
is, and that it is off in one direction, in the right order, and by a factor that hardly
depends on field or machine. A form that is not off stands here as well, held to its
error, for the day on which grades may move.
"""

import itertools
from dataclasses import replace

import numpy as np
import pytest

from academy.catalog import coefficients, grounds
from academy.engine import bar, ground, header
from academy.scenarios import conditions
from academy.scenarios.following import over_ground

FACTS = {"crop": "soybean", "header": "flex35", "combine": "middle"}
C = coefficients.load("soybean").values
HANGS = (("ground", 0.0), ("ground", 0.076), ("ground", 0.152))
HANGS += (("sensing", 0.152), ("wheels", 0.152))
# shares of the closed forms' squares that a bar over drawn ground leaves; the gap's is
# 4/15 for a random walk without end, and less where waves over 20 m are missing
ACROSS, LAG, SHORT = 0.21, 0.92, 1.02


def case(key, speed, width, carried, travel):
    facts = FACTS | {"ground": key, "carried": carried}
    machine = replace(conditions.machine_of(facts), width=width, bar_travel=travel)
    settings = replace(conditions.as_found(facts), ground_speed=speed)
    return conditions.field_of(facts), machine, settings


def fast(one):
    return float(header.run(*one, C).cut_height_spread)


def followed(one, seeds):
    each = [over_ground(*one, C, seed).of().spread for seed in range(1, seeds + 1)]
    return float(np.sqrt(np.mean(np.square(each))))


def fitted(one):
    """√(flexed(√(0.21 gap² + 0.92 lag²), travel)² + 1.02 short²)."""
    field, machine, settings = one
    rough, n0 = field.ground_roughness, C.reference_wavenumber
    if machine.carried == "wheels":
        lag = ground.wheel_residual(rough, machine.wheel_base, n0)
    else:
        lag = ground.tracking_residual(
            rough, settings.ground_speed, machine.control_bandwidth, n0
        )
    gap = ground.rigid_bar_gap(rough, machine.width, n0)
    frame = float(np.sqrt(ACROSS * gap**2 + LAG * lag**2))
    if machine.carried == "ground":
        frame = float(bar.flexed_gap(frame, machine.bar_travel))
    return float(np.sqrt(frame**2 + SHORT * n0**2 * rough / C.bar_wavenumber))


def compare(speeds, widths, seeds):
    """Fast, fitted and followed spread of every case of a design."""
    cases = [
        case(key, speed, width, *hang)
        for key, speed, width, hang in itertools.product(
            grounds.load(), speeds, widths, HANGS
        )
    ]
    rows = [(fast(one), fitted(one), followed(one, seeds)) for one in cases]
    fixed = [one[1].carried != "ground" or one[1].bar_travel == 0.0 for one in cases]
    return np.array(rows).T, np.array(fixed)


def hold(speeds, widths, seeds):
    (fast_spread, fit, seen), fixed = compare(speeds, widths, seeds)
    left = seen / fast_spread
    assert left.min() > 0.30  # as the docstring of header._spread states
    assert left.max() < 0.62
    np.testing.assert_allclose(left[fixed], 0.53, atol=0.06)
    # within 7 % of what is followed, where the closed forms are off by 70 to 220 %
    np.testing.assert_allclose(fit, seen, rtol=0.07)


def test_closed_forms_are_too_wide_by_what_is_stated():
    hold(speeds=(0.9, 2.7), widths=(9.0, 12.2), seeds=3)


@pytest.mark.long
def test_closed_forms_are_too_wide_over_the_whole_design():
    hold(speeds=(0.9, 1.6, 2.2, 2.7), widths=(7.6, 9.0, 10.7, 12.2), seeds=6)


@pytest.mark.parametrize(
    "pair",
    [
        (("smooth", 1.6, 10.7, "ground", 0.152), ("rough", 1.6, 10.7, "ground", 0.152)),
        (("rough", 1.6, 9.0, "sensing", 0.0), ("rough", 1.6, 12.2, "sensing", 0.0)),
        (("rough", 0.9, 9.0, "sensing", 0.0), ("rough", 2.7, 9.0, "sensing", 0.0)),
        (("rough", 1.6, 9.0, "ground", 0.152), ("rough", 1.6, 9.0, "ground", 0.05)),
        (("rough", 1.6, 9.0, "ground", 0.152), ("rough", 1.6, 9.0, "wheels", 0.152)),
    ],
)
def test_both_put_cases_in_the_same_order(pair):
    steady, uneven = (case(*one) for one in pair)
    assert fast(steady) < fast(uneven)
    assert followed(steady, 2) < followed(uneven, 2)
