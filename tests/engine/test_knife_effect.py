"""The state of the knife in the whole header: neutral in order, right in direction."""

from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from academy.catalog import combines, crops, headers, knives, parts
from academy.engine.conditions import Settings
from academy.engine.knife_effect import knife_effect
from academy.engine.stand import toughness
from academy.errors import OutOfRange

PART, STAND = parts.load("knife"), parts.load("stand")
IN_ORDER, C, STILL = PART.in_order, PART.values, STAND.in_order
MACHINES = [
    headers.machine(headers.load(header), combines.load(combine))
    for header in headers.known()
    for combine in combines.known()
]
AT_WORK = Settings(
    ground_speed=1.8,
    reel_rate=4.0,
    reel_height=1.0,
    reel_lead=0.2,
    cut_height=0.05,
    float_force=800.0,
    belt_speed=2.0,
    tine_pitch=0.0,
)
ADDED = ("bunched_add", "stubble_add", "uncut", "power_add")
FACTORS = ("knife_factor", "shatter_factor")


def effect(
    state=IN_ORDER,
    at=AT_WORK,
    stand=STILL,
    machine=MACHINES[0],
    c=C,
    built="standard",
):
    return knife_effect(
        machine=machine,
        settings=at,
        stand=stand,
        toughness=toughness(stand, STAND.values),
        state=state,
        kinds=knives.all_kinds(),
        built=built,
        c=c,
    )


@pytest.mark.parametrize("machine", MACHINES)
@pytest.mark.parametrize("speed", [0.3, 1.8, 3.5])
def test_a_knife_in_order_changes_nothing(machine, speed):
    at = replace(AT_WORK, ground_speed=speed)
    # tough and thin stems across the rows are no fault of the knife
    stand = replace(STILL, stem_moisture=0.6, stem_thickness=0.003, row_angle=1.2)
    made = effect(at=at, stand=stand, machine=machine)
    assert [getattr(made, name) for name in ADDED] == [0.0] * len(ADDED)
    assert [getattr(made, name) for name in FACTORS] == [1.0] * len(FACTORS)
    assert not any(np.any(flag) for flag in made.violations.values())
    assert not any(np.any(flag) for flag in made.signs.values())
    assert made.hold_down_excess == 0.0


@pytest.mark.parametrize("kind", sorted(knives.all_kinds()))
def test_whatever_kind_a_header_was_built_with_in_order_it_changes_nothing(kind):
    made = effect(replace(IN_ORDER, kind=kind), built=kind)
    assert [getattr(made, name) for name in ADDED] == [0.0] * len(ADDED)
    assert [getattr(made, name) for name in FACTORS] == [1.0] * len(FACTORS)


def test_half_pitch_spares_bunching_and_stubble_and_long_and_short_cost_some():
    half, turn = (
        effect(replace(IN_ORDER, kind=kind)) for kind in ("half-pitch", "alternating")
    )
    assert half.bunched_add < 0.0 < turn.bunched_add
    assert half.stubble_add < 0.0 < turn.stubble_add


def test_over_old_stalks_long_and_short_sections_drag_less():
    # common practice: they let old stalks go deeper before the cut and gather less
    over = replace(STILL, residue=0.4)
    plain, turn = (
        effect(replace(IN_ORDER, kind=kind), stand=over)
        for kind in ("standard", "alternating")
    )
    assert 0.0 < turn.drag < plain.drag
    assert 1.0 < turn.knife_factor < plain.knife_factor


def test_a_dull_knife_pulls_shatters_and_takes_more_power_but_not_much_more():
    dull = effect(replace(IN_ORDER, wear=1.0))
    assert dull.pulled > 0.0
    assert dull.shatter_factor > 1.0
    assert dull.ragged > effect().ragged
    # sharpness is not the main term of the power
    assert 0.0 < dull.power_add < 0.2 * effect().power_mean


def test_a_slipping_drive_bunches_more_and_pulls():
    slow = effect(replace(IN_ORDER, stroke_share=0.7))
    assert slow.bunched_add > 0.0
    assert slow.pulled > 0.0
    assert slow.signs["knife_slow"]


def test_too_wide_leaves_stems_and_takes_power_too_tight_heats():
    wide = effect(replace(IN_ORDER, hold_down_clearance=0.003))
    tight = effect(replace(IN_ORDER, hold_down_clearance=0.0))
    assert wide.uncut > 0.0
    assert wide.power_add > 0.0
    assert wide.signs["hold_down_wide"]
    assert wide.hold_down_excess == 0.0
    assert tight.uncut == 0.0
    assert tight.power_add > 0.0
    assert tight.hold_down_excess > C.clearly_hotter
    assert tight.signs["hold_down_tight"]


def test_out_of_register_shows_and_either_side_is_alike():
    right, left = (effect(replace(IN_ORDER, register=r)) for r in (0.009, -0.009))
    assert right.bunched_add == left.bunched_add
    assert right.signs["out_of_register"]
    assert right.bunched_add > 0.0
    within = effect(replace(IN_ORDER, register=0.001))
    assert not within.signs["out_of_register"]


def test_square_across_the_rows_the_whole_bar_meets_a_row_at_once():
    # Farm Journal (2013): knives and belts break on headlands, where the whole knife
    # meets a row at once; cross at an angle or on a curve.
    along, angled, square = (
        effect(stand=replace(STILL, row_angle=np.radians(angle)))
        for angle in (0.0, 70.0, 90.0)
    )
    assert along.power_mean == pytest.approx(square.power_mean)
    assert square.power_peak > 1.1 * angled.power_peak
    assert angled.power_peak == pytest.approx(along.power_peak, rel=0.02)
    # along the rows every row falls on the same few gaps: 15 in of rows on a 3 in gap
    assert along.gap_peak == pytest.approx(5.0)
    assert angled.gap_peak < along.gap_peak * 1.2


def test_a_bearing_past_the_printed_limit_stops_the_machine():
    # 300 °F = 422.04 K
    assert effect(replace(IN_ORDER, bearing_temperature=422.1)).violations[
        "bearing_stop"
    ]
    hot = effect(replace(IN_ORDER, bearing_temperature=400.0))
    assert not hot.violations["bearing_stop"]
    assert hot.signs["bearing_hot"]


def test_places_across_the_width_are_taken_at_once():
    wear, gaps = np.linspace(0, 1, 5), np.linspace(0, 0.004, 5)
    register = np.linspace(-0.01, 0.01, 5)
    many = effect(
        replace(IN_ORDER, wear=wear, hold_down_clearance=gaps, register=register)
    )
    for place in range(5):
        one = effect(
            replace(
                IN_ORDER,
                wear=float(wear[place]),
                hold_down_clearance=float(gaps[place]),
                register=float(register[place]),
            )
        )
        for name in (*ADDED, *FACTORS, "ragged", "power_peak", "hold_down_excess"):
            value = np.broadcast_to(getattr(many, name), 5)[place]
            assert value == pytest.approx(getattr(one, name)), name


def drawn(part, record):
    """Any state between the ends that content gives."""
    ends = {name: entry.si() for name, entry in part.state.items()}
    numbers = {name: st.floats(low, high) for name, (low, _, high) in ends.items()}
    kinds = {name: st.sampled_from(list(c.kinds)) for name, c in part.choices.items()}
    return st.builds(lambda **given: replace(record, **given), **numbers, **kinds)


@settings(max_examples=60, deadline=None)
@given(
    state=drawn(PART, IN_ORDER),
    stand=drawn(STAND, STILL),
    speed=st.floats(0.0, 5.0),
    height=st.floats(0.0, 0.5),
    bounds=st.sampled_from([PART.low, PART.values, PART.high]),
)
def test_whatever_is_found_readings_stay_inside_what_can_be(
    state, stand, speed, height, bounds
):
    at = replace(AT_WORK, ground_speed=speed, cut_height=height)
    made = effect(state, at, stand, c=bounds)
    shares = (made.bunched, made.once, made.recut, made.folded, made.pulled)
    for share in (*shares, made.ragged, made.uncut, made.drag):
        assert -1e-9 <= share <= 1.0 + 1e-9
    assert sum(shares[:3]) == pytest.approx(1.0)
    assert 0.0 <= made.bunched - made.bunched_add <= 1.0
    assert made.knife_factor >= 0.9 - 1e-9
    assert made.shatter_factor >= 1.0
    assert 0.9 - 1e-9 <= made.serration <= 1.1 + 1e-9
    assert 0.0 <= made.power_mean <= made.power_peak * (1 + 1e-9)
    assert 0.0 <= made.hold_down_excess < 1000.0
    assert made.bearing_band in range(5)
    bent = np.hypot(made.aside, made.ahead)
    assert np.hypot(height, bent) - made.stubble_add >= height - 1e-9
    assert all(np.all(np.isfinite(v)) for v in made[:-2])


def test_every_kind_that_may_be_chosen_has_its_measures():
    assert set(PART.choices["kind"].kinds) == set(knives.all_kinds())
    for key, kind in knives.load().items():
        assert PART.choices["kind"].kinds[key] == kind.name


def test_every_register_that_may_be_found_is_one_that_every_kind_bears():
    low, _, high = PART.state["register"].si()
    for knife in knives.all_kinds().values():
        assert max(-low, high) <= knife.most_register


@pytest.mark.parametrize(
    "wrong",
    [
        {"wear": 1.5},
        {"hold_down_clearance": -0.001},
        {"vertical_play": -0.001},
        {"register": 0.03},
        {"stroke_share": 0.0},
        {"run_time": -1.0},
        {"bearing_temperature": 0.0},
    ],
)
def test_a_state_that_cannot_be_is_refused(wrong):
    assert set(wrong) <= {field.name for field in fields(IN_ORDER)}
    with pytest.raises(OutOfRange):
        effect(replace(IN_ORDER, **wrong))


def test_the_stems_of_every_crop_are_cut_with_a_possible_power():
    # at most as much again as the bar itself takes, recalled as 1.2 kW per metre
    for key in crops.known():
        known = {name: each.si()[1] for name, each in crops.load(key).stand.items()}
        made = effect(stand=replace(STILL, **known))
        assert 0.5e3 < made.power_mean / MACHINES[0].width < 2.4e3
