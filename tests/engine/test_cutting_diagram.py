"""The cutting-pattern diagram: a table, limits, symmetry, bounds of the deflection."""

from dataclasses import replace

import numpy as np
import pytest

from academy.catalog import coefficients, knives
from academy.engine.cutting_diagram import Knife, diagram, edge_path
from academy.engine.cutting_pattern import bunched_share
from academy.errors import OutOfRange

MM = 1e-3
FINE = (400, 800)
STANDARD, HALF, ALTERNATING = (
    knives.all_kinds()[key] for key in ("standard", "half-pitch", "alternating")
)

# Advance per stroke [mm]; shares bunched, cut once, recut. Worked out stem by stem
# outside this program: pitch and stroke 76.2, tip 16, edge 52, ledger 22 mm.
TABLE = [
    (26, 0.000, 0.302, 0.698),
    (39, 0.011, 0.654, 0.335),
    (52, 0.051, 0.832, 0.117),
    (65, 0.125, 0.838, 0.037),
    (78, 0.199, 0.793, 0.008),
    (104, 0.321, 0.679, 0.000),
    (156, 0.450, 0.550, 0.000),
]
# The same worked out for 38.1 mm sections on ever half a stroke of harmonic motion.
HALF_STROKES = [(60, 0.007), (80, 0.068), (100, 0.153), (120, 0.232)]


@pytest.mark.parametrize(("advance", "bunched", "once", "recut"), TABLE)
def test_shares_of_standard_sections(advance, bunched, once, recut):
    made = diagram(STANDARD, advance * MM, *FINE)
    # half the last digit, and as much for the table's own grid
    assert made.bunched == pytest.approx(bunched, abs=0.0015)
    assert made.once == pytest.approx(once, abs=0.0015)
    assert made.recut == pytest.approx(recut, abs=0.0015)


@pytest.mark.parametrize(("advance", "bunched"), HALF_STROKES)
def test_half_pitch_on_a_whole_stroke_differs_from_two_half_strokes(advance, bunched):
    # The table takes each pass of a gap for a harmonic stroke of 38.1 mm on half the
    # advance. A real 76.2 mm stroke passes two gaps without stopping between them, fast
    # in the middle and slow at its ends: more stems bunch while the advance is small.
    halved = replace(HALF, stroke=HALF.pitch)
    apart = diagram(halved, advance * MM / 2, *FINE)
    assert apart.bunched == pytest.approx(bunched, abs=0.0015)
    whole = diagram(HALF, advance * MM, *FINE)
    assert abs(whole.bunched - apart.bunched) < 0.045
    assert whole.bunched < diagram(STANDARD, advance * MM, *FINE).bunched


def test_every_stem_is_bunched_or_cut_once_or_recut():
    for advance in np.geomspace(0.3, 6.0, 7) * STANDARD.edge:
        made = diagram(STANDARD, advance)
        assert made.bunched + made.once + made.recut == pytest.approx(1.0)


def test_a_slow_machine_bunches_nothing_and_cuts_again_everywhere():
    made = diagram(STANDARD, STANDARD.edge / 20)
    assert (made.bunched, made.once, made.recut) == (0.0, 0.0, 1.0)
    assert made.forward.max() == 0.0


def reached_by_a_knife_standing_still(knife: Knife) -> float:
    """Share of a gap between a section's front and heel, the knife anywhere in its way.

    At very long advance an edge passes a row in no time: it reaches what lies between
    its front and its heel there.
    """
    phases = (np.arange(200_000) + 0.5) / 200_000
    reached = np.zeros_like(phases)
    for section in range(knife.sections):
        axis = knife.stroke / 2 * (1 - np.cos(np.pi * phases)) - section * knife.pitch
        left = np.maximum(axis + knife.tip / 2, knife.ledger / 2)
        right = np.minimum(axis + knife.pitch / 2, knife.pitch - knife.ledger / 2)
        reached += np.maximum(right - left, 0.0)
    return float(reached.mean()) / (knife.pitch - knife.ledger)


@pytest.mark.parametrize("knife", [STANDARD, HALF])
def test_very_long_advance_leaves_what_a_standing_knife_does_not_reach(knife):
    limit = 1 - reached_by_a_knife_standing_still(knife)
    made = diagram(knife, 4000 * knife.edge, *FINE)
    assert made.bunched == pytest.approx(limit, abs=0.002)


@pytest.mark.parametrize("knife", [STANDARD, HALF])
def test_the_stroke_back_mirrors_the_stroke_out(knife):
    made = diagram(knife, 1.3 * knife.edge)
    for fate in (made.passes, made.sideways, made.forward):
        out, back = np.split(fate, 2)
        np.testing.assert_allclose(back, out[:, ::-1], atol=1e-12)


@pytest.mark.parametrize("knife", [STANDARD, HALF])
def test_bunching_grows_with_the_advance_and_recutting_falls(knife):
    made = [diagram(knife, r * knife.edge, *FINE) for r in np.arange(0.5, 4.1, 0.25)]
    assert np.all(np.diff([each.bunched for each in made]) >= 0)
    assert np.all(np.diff([each.recut for each in made]) <= 0)


@pytest.mark.parametrize(("knife", "farthest"), [(STANDARD, 54.2), (HALF, 24.1)])
def test_a_stem_bends_sideways_at_most_a_pitch_less_a_ledger(knife, farthest):
    # 76.2 − 22 = 54.2 mm and 38.1 − 14 = 24.1 mm; forward at most one advance
    for ratio in (0.6, 1.0, 1.5, 3.0):
        advance = ratio * knife.edge
        made = diagram(knife, advance)
        assert made.sideways.min() > 0.0
        assert made.sideways.max() < farthest * MM
        assert made.forward.min() == 0.0
        assert made.forward.max() < advance
        assert made.sideways.mean() < farthest * MM / 2 + 1e-12
        assert made.forward.mean() < advance / 2


def test_bunched_stems_bend_farther_forward_than_others():
    made = diagram(STANDARD, 1.5 * STANDARD.edge)
    bunched = made.passes == 0
    assert made.forward[bunched].mean() > 5 * made.forward[~bunched].mean()
    assert np.all(made.forward[bunched] > 0)


def test_mean_square_of_deflection_lies_in_the_range_that_content_gives_it():
    entry = coefficients.load("soybean").entries["deflection_share"]
    for ratio in (0.5, 1.0, 1.5, 2.0, 3.0):
        advance = ratio * STANDARD.edge
        made = diagram(STANDARD, advance)
        aside = STANDARD.stroke - STANDARD.ledger
        greatest = (1 - made.bunched) * aside**2 + made.bunched * advance**2
        share = np.mean(made.sideways**2 + made.forward**2) / greatest
        assert entry.low <= share <= entry.high


# --- long and short sections in turn, and register


def test_each_gap_of_a_one_pitch_stroke_is_cut_by_its_own_section():
    # A section goes to the next guard and back over the same gap: long and short ones
    # each cut their own gaps, as two uniform knives would.
    long, short = ALTERNATING.edges
    made = diagram(ALTERNATING, 1.4 * long)
    apart = [
        diagram(replace(ALTERNATING, edges=(e,)), 1.4 * long) for e in (long, short)
    ]
    for name in ("passes", "sideways", "forward"):
        both = np.concatenate([getattr(each, name) for each in apart], axis=1)
        np.testing.assert_allclose(getattr(made, name), both)


def test_alternating_sections_bunch_more_than_all_long_and_less_than_all_short():
    long, short = (replace(ALTERNATING, edges=(e,)) for e in ALTERNATING.edges)
    for ratio in (1.0, 1.5, 2.5):
        advance = ratio * ALTERNATING.edge
        between = diagram(ALTERNATING, advance).bunched
        assert (
            diagram(long, advance).bunched < between < diagram(short, advance).bunched
        )


def test_edges_in_turn_that_are_alike_are_a_uniform_knife():
    twice = replace(HALF, edges=HALF.edges * 2)
    made, same = diagram(twice, 0.08), diagram(HALF, 0.08)
    assert twice.uniform
    np.testing.assert_array_equal(made.passes, np.tile(same.passes, 2))


@pytest.mark.parametrize("knife", [STANDARD, HALF, ALTERNATING])
def test_out_of_register_right_and_left_mirror_each_other(knife):
    out = 0.6 * knife.most_register
    right, left = (diagram(replace(knife, register=r), 0.07) for r in (out, -out))
    # a few stems of 28 800 stand right on a border
    assert right.bunched == pytest.approx(left.bunched, abs=3e-4)
    assert right.recut == pytest.approx(left.recut, abs=3e-4)


def test_out_of_register_the_two_strokes_no_longer_mirror_each_other():
    made = diagram(replace(STANDARD, register=0.01), 1.3 * STANDARD.edge)
    out, back = np.split(made.passes, 2)
    assert abs((out == 0).mean() - (back == 0).mean()) > 0.02


# --- the compact form is a fit to the diagram


def residuals(ratios, knife=STANDARD, coefficient=0.651):
    """Diagram less compact form at advances of so many edges."""
    return np.array(
        [
            diagram(knife, r * knife.edge, *FINE).bunched
            - bunched_share(r * knife.edge, knife.edge, coefficient)
            for r in ratios
        ]
    )


def test_compact_form_keeps_to_its_stated_error():
    coefficient = coefficients.load("soybean").entries["bunched_coefficient"].value
    far = residuals(np.linspace(1.15, 3.0, 20), coefficient=coefficient)
    assert np.abs(far).max() < 0.020
    assert np.abs(residuals(np.linspace(3.0, 4.0, 5))).max() < 0.027


def test_compact_form_errs_most_at_one_edge_where_it_says_none():
    near = residuals(np.linspace(0.5, 4.0, 36))
    assert near.max() == pytest.approx(residuals([1.0])[0], abs=1e-9)
    assert near.max() == pytest.approx(0.051, abs=0.0015)  # the table's own row


# --- paths and refusals


def test_an_edge_ends_at_the_next_guard_one_advance_on():
    path = edge_path(STANDARD, 0.06, 0, 0, np.array([0.0, 0.5, 1.0]))
    # axis 0, 38.1, 76.2 mm; half a tip is 8, half a section 38.1 mm
    assert path.front_x / MM == pytest.approx([8.0, 46.1, 84.2])
    assert path.heel_x / MM == pytest.approx([38.1, 76.2, 114.3])
    assert path.heel_y / MM == pytest.approx([0.0, 30.0, 60.0])
    assert path.front_y / MM == pytest.approx([52.0, 82.0, 112.0])


def test_the_way_back_is_mirrored_in_the_gap():
    phases = np.linspace(0, 1, 9)
    out, back = (edge_path(HALF, 0.05, stroke, 1, phases) for stroke in (0, 1))
    np.testing.assert_allclose(back.heel_x, HALF.pitch - out.heel_x)
    np.testing.assert_allclose(back.front_y, out.front_y + 0.05)


@pytest.mark.parametrize(
    ("wrong", "key"),
    [
        ({"pitch": 0.0}, "must_be_positive"),
        ({"edges": (float("nan"),)}, "must_be_positive"),
        ({"edges": ()}, "must_be_positive"),
        ({"edges": (0.05, 0.0)}, "must_be_positive"),
        ({"register": 0.02}, "must_be_at_least"),  # (16 + 22)/2 = 19 mm at most
        ({"register": -0.02}, "must_be_at_least"),
        ({"tip": 0.08}, "must_be_at_least"),
        ({"ledger": 0.08}, "must_be_at_least"),
        ({"stroke": 0.1}, "must_be_whole_pitches"),
        ({"stroke": 0.03}, "must_be_whole_pitches"),
    ],
)
def test_impossible_knives_are_refused(wrong, key):
    with pytest.raises(OutOfRange, match=key):
        replace(STANDARD, **wrong)


@pytest.mark.parametrize("advance", [0.0, -0.05, float("inf"), 1e-5])
def test_a_knife_that_does_not_advance_draws_nothing(advance):
    with pytest.raises(OutOfRange):
        diagram(STANDARD, advance)
