"""What belts, drum and clutch do to a run: nothing in order, the right way else."""

from dataclasses import fields, replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from academy.catalog import coefficients, crops, headers, mouths, parts, stands
from academy.engine import draper, drum, header, stand
from academy.engine.flow import FlowEffect, flow_effect
from academy.errors import OutOfRange
from academy.scenarios import conditions

FLOW, STEMS = parts.load("flow"), parts.load("stand")
TIGHT = ("left_front_tension", "left_rear_tension")
NUMBERS = [name for name in FlowEffect._fields if name != "flags"]


def made(
    crop: str = "soybean",
    built: str = "flex40",
    stood: dict[str, Any] | None = None,
    grown: dict[str, Any] | None = None,
    put: dict[str, Any] | None = None,
    **state: Any,
) -> FlowEffect:
    """The effect for a crop on a header, with what is changed of each."""
    facts = {"crop": crop, "header": built, "combine": "middle", "ground": "smooth"}
    stems = replace(stands.stand_of(crop), **(stood or {}))
    return flow_effect(
        field=replace(conditions.field_of(facts), **(grown or {})),
        machine=conditions.machine_of(facts),
        settings=replace(conditions.as_found(facts), **(put or {})),
        stand=stems,
        toughness=stand.toughness(stems, STEMS.values),
        state=replace(FLOW.in_order, **state),
        mouth=mouths.mouth(headers.load(built)),
        coefficients=coefficients.load(crop).values,
        c=FLOW.values,
    )


def as_run(crop: str, built: str, **put: Any) -> header.Readings:
    facts = {"crop": crop, "header": built, "combine": "middle", "ground": "smooth"}
    return header.run(
        conditions.field_of(facts),
        conditions.machine_of(facts),
        replace(conditions.as_found(facts), **put),
        coefficients.load(crop).values,
    )


# --- in order: nothing


@pytest.mark.parametrize("built", headers.known())
@pytest.mark.parametrize("crop", crops.known())
def test_in_order_every_factor_is_one_and_every_extra_share_nothing(
    crop: str, built: str
) -> None:
    speeds = np.array([1.5, 2.6, 4.0])
    effect = made(crop, built, put={"belt_speed": speeds})
    run = as_run(crop, built, belt_speed=speeds)
    assert (effect.slugging_index == run.slugging_index).all()
    assert (effect.mat_depth == run.mat_depth).all()
    assert (effect.left_speed == speeds).all()
    for factor in (effect.slugging_factor, effect.stoppage_factor):
        assert np.max(factor) == np.min(factor) == 1.0
    for share in ("crossing_loss", "belt_leak", "extra_power", "left_slip", "fling"):
        assert np.max(getattr(effect, share)) == 0.0
    for share in ("carry_over", "bunching", "overtight", "imbalance", "left_walk"):
        assert np.max(np.abs(getattr(effect, share))) == 0.0
    raised = {name for name, flag in effect.flags.items() if np.any(flag)}
    assert raised == (
        {"plug_up", "clutch_slips"} if np.any(run.violations["plug_up"]) else set()
    )


def test_left_and_right_are_alike() -> None:
    state = {"left_front_tension": 0.3, "left_seal_gap": 0.01, "left_crop": 0.6}
    other = {name.replace("left", "right"): value for name, value in state.items()}
    one, two = made(**state), made(**other)
    assert one.left_depth == two.right_depth
    assert one.left_walk == two.right_walk
    assert one.imbalance == -two.imbalance
    for name in ("slugging_index", "belt_leak", "power", "stoppage_factor"):
        assert getattr(one, name) == pytest.approx(getattr(two, name))


# --- side belts


def test_a_loose_belt_slips_slows_deepens_its_mat_and_stalls() -> None:
    """Common practice: a belt that slips or stands is loose, wet or overloaded."""
    tension = np.linspace(1.2, 0.0, 49)
    effect = made(**dict.fromkeys(TIGHT, tension))
    assert (np.diff(effect.left_slip) >= 0).all()
    assert (np.diff(effect.left_depth) >= 0).all()
    assert (np.diff(effect.slugging_index) >= 0).all()
    assert effect.flags["belt_stalls"][-1]
    assert effect.flags["plug_up"][-1]
    assert np.ptp(effect.right_depth) == 0.0


def test_slip_begins_just_where_tension_falls_below_the_capstan_limit() -> None:
    """The least tension of `draper.slack_tension`, at the drag the belt has."""
    c = FLOW.values
    facts = {"crop": "soybean", "header": "flex40", "combine": "middle"}
    run = as_run("soybean", "flex40")
    m, s = conditions.machine_of(facts), conditions.as_found(facts)
    mouth = mouths.mouth(headers.load("flex40"))
    length = m.side_width - mouth.opening / 2
    # by hand: the mat is a wedge, half as deep on average as where it leaves the belt
    edge = run.mat_depth * length / m.side_width
    rho = coefficients.load("soybean").values.mat_density
    crop = edge / 2 * length * m.belt_depth * rho
    flow = edge * m.belt_depth * s.belt_speed * rho
    weight = (crop + c.belt_mass * length * m.belt_depth) * mouth.gravity
    drag = c.bed_friction * weight + c.belt_scraping + flow * s.belt_speed
    least = draper.slack_tension(drag, c.roller_friction, c.roller_wrap)
    around = np.array([0.999, 1.001]) * least / c.mark_tension
    slip = made(**dict.fromkeys(TIGHT, around)).left_slip
    assert slip[0] > 0.0
    assert slip[1] == 0.0


def test_wet_or_caked_rollers_and_seized_ones_make_it_slip() -> None:
    weak = dict.fromkeys(TIGHT, 0.5)
    fouled = made(**weak, roller_fouling=np.linspace(0, 1, 9))
    seized = made(**weak, left_roller_drag=np.linspace(0, 1500, 9))
    for effect in (fouled, seized):
        assert (np.diff(effect.left_slip) >= 0).all()
        assert effect.left_slip[-1] > effect.left_slip[0]
    assert (np.diff(seized.extra_power) > 0).all()


def test_a_new_belt_wants_its_tension_looked_after_and_an_old_one_does_not() -> None:
    hours = np.linspace(0.0, 60.0, 7) * 3600
    new = made(belt_age=0.0, since_tension=hours)
    assert (np.diff(new.left_tension) < 0).all()
    assert new.flags["belt_off_marks"][-1]
    old = made(since_tension=hours)
    assert np.min(old.left_tension) > 0.99


def test_over_tight_is_told_and_costs_power_within_the_marks_nothing() -> None:
    c = FLOW.values
    within = np.linspace(c.mark_low, c.mark_high, 5)
    assert np.max(made(**dict.fromkeys(TIGHT, within)).extra_power) == 0.0
    tight = made(**dict.fromkeys(TIGHT, np.linspace(1.3, 2.0, 5)))
    assert (np.diff(tight.overtight) > 0).all()
    assert (np.diff(tight.extra_power) > 0).all()
    assert tight.flags["belt_off_marks"].all()


def test_a_belt_off_its_track_towards_the_rear_drops_grain_at_the_bar() -> None:
    rear = made(left_front_tension=1.9, left_rear_tension=0.1)
    assert rear.left_walk > 0
    assert rear.belt_leak > 0
    assert rear.flags["belt_edge_rubs"]
    front = made(left_front_tension=0.1, left_rear_tension=1.9)
    assert front.belt_leak == 0
    assert front.extra_power > 0


def test_a_worn_seal_leaks_more_the_wider_it_stands() -> None:
    leak = made(left_seal_gap=np.linspace(0.002, 0.04, 12)).belt_leak
    assert (np.diff(leak) >= 0).all()
    # one side of two, and never more than what a wide gap lets through
    assert 0 < leak[-1] < FLOW.values.seal_leak / 2


# --- centre and crossing over


def test_both_mats_meet_on_the_centre_belt_with_nothing_lost() -> None:
    effect = made(left_crop=0.4)
    mouth, c = mouths.mouth(headers.load("flex40")), FLOW.values
    out = (effect.left_centre + effect.right_centre) * mouth.opening / 2
    facts = {"crop": "soybean", "header": "flex40", "combine": "middle"}
    m, s = conditions.machine_of(facts), conditions.as_found(facts)
    into = (effect.left_depth + effect.right_depth) * m.belt_depth * s.belt_speed
    assert out * c.centre_belt_speed == pytest.approx(into)
    assert effect.imbalance == pytest.approx((0.4 - 1) / (0.4 + 1))


def test_crossing_over_grows_with_belt_speed_and_with_a_one_sided_flow() -> None:
    """Common practice: one-sided flow on a fast belt lands on the opposite one."""
    speeds = {"belt_speed": np.linspace(1.5, 4.0, 26)}
    alone = made(put=speeds, left_crop=0.0)
    assert (np.diff(alone.crossing_over) >= 0).all()
    assert alone.crossing_over[0] == 0.0
    assert alone.crossing_over[-1] > 0.3
    assert (np.diff(alone.stoppage_factor) >= 0).all()
    fast = {"belt_speed": 4.0}
    shares = made(put=fast, left_crop=np.linspace(1.0, 0.0, 11))
    assert shares.crossing_over[0] == 0.0
    assert (np.diff(shares.crossing_over) >= 0).all()
    lost = shares.crossing_loss[-1] / shares.crossing_over[-1]
    assert lost == pytest.approx(FLOW.values.crossing_loss)


def test_a_centre_deflector_holds_back_its_share() -> None:
    state = {"put": {"belt_speed": 4.0}, "left_crop": 0.1}
    bare, held = made(**state), made(**state, deflector="on")
    left = 1.0 - FLOW.values.deflector_hold
    assert held.crossing_over == pytest.approx(left * bare.crossing_over)
    assert held.stoppage_factor < bare.stoppage_factor


def test_a_header_without_crop_has_an_empty_mouth() -> None:
    empty = made(left_crop=0.0, right_crop=0.0)
    assert empty.slugging_index == empty.crossing_over == empty.mat_depth == 0.0
    assert empty.belt_leak == 0.0


# --- feed drum


def test_slow_first_and_faster_only_when_more_mass_comes() -> None:
    slow, fast = (
        float(rate) for rate in np.array(mouths.load()["stepped"].rates())[[0, -1]]
    )
    ordinary = made(drum_rate=np.array([slow, fast]))
    assert np.ptp(ordinary.slugging_index) == 0.0  # nothing to gain
    assert ordinary.fling[1] > ordinary.fling[0] == 0.0
    heavy = {"grown": {"crop_yield": 0.9}, "put": {"ground_speed": 2.5}}
    crowded = made(**heavy, drum_rate=np.array([slow, fast]))
    assert crowded.slugging_index[1] < crowded.slugging_index[0]
    assert crowded.fling.max() == 0.0


def test_every_header_can_turn_its_drum_slower_and_faster() -> None:
    stepped, continuous = (mouths.load()[k].rates() for k in ("stepped", "continuous"))
    assert len(stepped) < len(continuous)
    for rates in (stepped, continuous):
        assert list(rates) == sorted(set(rates))
        assert rates[0] == FLOW.in_order.drum_rate


def test_tough_long_crop_bunches_before_fingers_that_draw_back_early() -> None:
    """Common practice: hold long, tough crop later in the turn; the middle leads."""
    damp = {"stem_moisture": 0.6, "green_stems": 0.5}
    timing = np.linspace(-1.0, 1.0, 21)
    tough = made("canola", stood=damp, finger_timing=timing)
    assert (np.diff(tough.bunching) <= 0).all()
    assert tough.bunching[0] > 0.0
    assert tough.slugging_index[0] > tough.slugging_index[-1]
    brittle = made("barley", stood={"stem_moisture": 0.08}, finger_timing=timing)
    assert (np.diff(brittle.carry_over) >= 0).all()
    assert brittle.carry_over[-1] > 0.0 == brittle.carry_over[10]


def test_a_drum_that_turns_too_fast_carries_crop_round() -> None:
    assert made(drum_rate=22.0).carry_over > made().carry_over


def test_weeds_and_damp_wrap_and_stop_the_work() -> None:
    weeds = made(stood={"weeds": np.linspace(0.0, 1.0, 6), "stem_moisture": 0.45})
    assert (np.diff(weeds.wrap_tendency) > 0).all()
    assert weeds.stoppage_factor[0] == 1.0  # stems shorter than one turn of the drum
    assert (np.diff(weeds.stoppage_factor) > 0).all()


def test_stems_that_cannot_go_round_once_bring_no_stoppages() -> None:
    girth = np.pi * mouths.mouth(headers.load("flex40")).drum_diameter
    heights = np.array([girth, girth + 0.4])
    stopped = made(grown={"crop_height": heights}).stoppage_factor
    assert drum.wrap_turns(heights[0], girth / np.pi) == pytest.approx(1.0)
    assert stopped[0] == 1.0 < stopped[1]


def test_the_clutch_slips_when_plugged_and_one_too_loose_slips_early() -> None:
    heavy = {"crop_yield": np.linspace(0.3, 1.6, 27)}
    right, loose, locked = (
        made(grown=heavy, clutch_setting=at).flags for at in (1.0, 0.5, 2.0)
    )
    plugged = (
        made(grown=heavy).slugging_index
        > coefficients.load("soybean").values.plug_limit
    )
    assert plugged.any()
    assert (right["clutch_slips"] == plugged).all()
    assert loose["clutch_slips"].sum() > right["clutch_slips"].sum()
    assert not right["driveline_unprotected"].any()
    assert locked["driveline_unprotected"].any()


# --- everywhere


@st.composite
def states(draw: st.DrawFn) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for field in fields(FLOW.in_order):
        entry = FLOW.state.get(field.name)
        if entry is None:
            found[field.name] = draw(st.sampled_from(("off", "on")))
        else:
            low, _, high = entry.si()
            found[field.name] = draw(st.floats(low, high))
    return found


@given(states(), st.sampled_from(crops.known()), st.floats(0.5, 3.1), st.floats(1.5, 4))
@settings(max_examples=60, deadline=None)
def test_everywhere_readings_are_finite_and_inside_their_limits(
    state: dict[str, Any], crop: str, pace: float, belt: float
) -> None:
    put = {"ground_speed": pace, "belt_speed": belt}
    effect = made(crop, put=put, **state)
    run = as_run(crop, "flex40", **put)
    for name in NUMBERS:
        assert np.isfinite(getattr(effect, name)), name
        if name not in ("imbalance", "left_walk", "right_walk"):
            assert getattr(effect, name) >= 0.0, name
    lost = effect.crossing_loss + effect.belt_leak
    assert lost <= effect.crossing_over + FLOW.values.seal_leak
    assert effect.crossing_over <= 1.0
    assert effect.slugging_factor >= 1.0
    assert effect.stoppage_factor >= 1.0
    assert 0.0 < effect.left_speed <= belt
    if max(state["left_crop"], state["right_crop"]) == 1.0:
        assert effect.slugging_index >= run.slugging_index * (1 - 1e-12)


@pytest.mark.parametrize(
    "state",
    [
        {"left_crop": 1.2},
        {"right_rear_tension": -0.1},
        {"finger_timing": 1.5},
        {"drum_rate": 0.0},
        {"left_seal_gap": float("nan")},
    ],
)
def test_a_state_that_cannot_be_is_refused(state: dict[str, Any]) -> None:
    with pytest.raises(OutOfRange):
        made(**state)
