"""Wings: at work they change nothing, hanging they drag, stiff they bridge."""

from dataclasses import replace
from itertools import product
from typing import get_args

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from academy.catalog import ground_following, parts, wings
from academy.engine import across
from academy.engine.header import run
from academy.engine.wing_weight import heavy, pushing_tendency, section_force
from academy.engine.wings import (
    RIGHT_STATE,
    Task,
    Wing,
    hanging_change,
    pairs_of,
    violations_of,
    wing_reach,
    wings_effect,
)
from academy.errors import OutOfRange

PART = parts.load("wings")
CROWD = across.places(24)
SHARE = ground_following.load().si("wing_share")
FEW = settings(max_examples=60, deadline=None)
WEIGHTS = st.floats(0.25, 4.0)
FORCES = st.floats(0.0, 2000.0)


def effect(chosen, kind="oil", state=PART.in_order, **changed):
    return wings_effect(
        settings=chosen,
        state=replace(state, **changed),
        c=PART.values,
        holds=wings.load().designs[kind].holds,
        wing_share=SHARE,
        places=CROWD,
    )


# --- in order


@pytest.mark.parametrize("kind", ["springs", "oil", "hinged"])
def test_working_wings_of_even_weight_change_nothing(settings, kind):
    found = effect(settings, kind)
    assert found.cut_height_add.tolist() == [0.0] * CROWD.size
    assert found.travel_factor.tolist() == [1.0] * CROWD.size
    assert found.float_factor.tolist() == [1.0] * CROWD.size
    assert found.ground_force.tolist() == [settings.float_force] * CROWD.size
    assert not found.section_heavy.any()
    assert not any(found.violations.values())


# --- the wrong state while cutting


def test_a_hanging_wing_drops_from_its_hinge_to_its_end():
    # By hand: wings of a quarter, hinge at 1/4 of the width from the middle. Half way
    # out (3/8) half the drop, at the end all of it, in the centre none.
    at = np.array([-0.5, -0.375, 0.0, 0.25, 0.375])
    reach = wing_reach(at, 0.25)
    assert reach == pytest.approx([1.0, 0.5, 0.0, 0.0, 0.5])
    assert hanging_change(reach, 0.04, 0.1) == pytest.approx(
        [-0.04, -0.02, 0, 0, -0.02]
    )


@FEW
@given(st.floats(0, 1), st.floats(0, 0.2), st.floats(0, 0.3))
def test_the_ground_stops_a_wing_that_drops(reach, drop, cut_height):
    change = hanging_change(reach, drop, cut_height)
    assert -cut_height <= change <= 0.0
    assert change >= -drop


def test_oil_let_go_drags_the_wing_and_leaves_the_centre_alone(settings):
    found = effect(settings, left_wing="travelling", right_wing="travelling")
    centre = np.abs(CROWD) < 0.5 - SHARE
    assert (found.cut_height_add[centre] == 0.0).all()
    assert (found.cut_height_add[~centre] < 0.0).all()
    assert found.cut_height_add == pytest.approx(found.cut_height_add[::-1])
    assert (np.diff(found.cut_height_add[: CROWD.size // 2]) >= 0.0).all()
    assert (found.ground_force[~centre] > settings.float_force).all()
    assert (found.pushing[~centre] > found.pushing[centre].max()).all()
    assert found.section_heavy.tolist() == [True, False, True]
    assert found.violations["wings_not_working"]


@pytest.mark.parametrize("kind", ["springs", "oil", "hinged"])
def test_a_wing_in_service_is_stiff_on_every_design(settings, kind):
    found = effect(settings, kind, right_wing="service")
    wing = CROWD > 0.5 - SHARE
    assert (found.travel_factor[wing] == 0.0).all()
    assert (found.travel_factor[~wing] == 1.0).all()
    assert (found.cut_height_add == 0.0).all()
    assert found.violations["wings_not_working"]
    assert found.violations["wings_differ"]


def test_the_same_state_holds_another_design_otherwise(settings):
    away = {"left_wing": "travelling", "right_wing": "travelling"}
    oil, springs = (effect(settings, kind, **away) for kind in ("oil", "springs"))
    assert oil.float_factor.max() > 1.0
    assert springs.float_factor.max() == 1.0
    assert (springs.travel_factor[[0, -1]] == 0.0).all()


def test_stiff_wings_leave_more_and_hanging_ones_dig_more(
    field, machine, settings, soybean
):
    # Laws of the run: a bar without travel cuts less evenly and so higher; a lower
    # knife digs more. Applied place by place, as the effect asks.
    def places_of(found):
        low = replace(settings, cut_height=settings.cut_height + found.cut_height_add)
        bent = replace(machine, bar_travel=machine.bar_travel * found.travel_factor)
        return run(field, bent, low, soybean.values)

    usual = places_of(effect(settings))
    stiff = places_of(effect(settings, left_wing="service", right_wing="service"))
    assert stiff.cut_height_spread[0] > usual.cut_height_spread[0]
    assert stiff.stubble[0] > usual.stubble[0]
    assert stiff.stubble[CROWD.size // 2] == usual.stubble[CROWD.size // 2]
    hung = places_of(effect(settings, left_wing="travelling", right_wing="travelling"))
    assert hung.digging[0] > hung.digging[CROWD.size // 2]


# --- task and state


@pytest.mark.parametrize(
    ("task", "wing"), list(product(get_args(Task), get_args(Wing)))
)
def test_each_wrong_pair_breaks_the_rule_of_its_task_and_no_other(task, wing):
    props = "set" if task == "servicing" else "stowed"
    state = replace(
        PART.in_order, task=task, left_wing=wing, right_wing=wing, wing_props=props
    )
    rule = {
        "cutting": "wings_not_working",
        "travelling": "wings_may_rise",
        "servicing": "wing_may_drop",
    }[task]
    broken = {name for name, flag in violations_of(state).items() if flag}
    assert broken == (set() if RIGHT_STATE[task] == wing else {rule})
    assert pairs_of(state) == (f"{task}-{wing}",) * 2


def test_the_service_state_is_no_prop():
    # Practice of working beneath: a mechanical prop, not oil, carries what is raised.
    state = replace(
        PART.in_order, task="servicing", left_wing="service", right_wing="service"
    )
    assert violations_of(state)["wing_may_drop"]
    assert not violations_of(replace(state, wing_props="set"))["wing_may_drop"]


def test_props_left_under_the_wings_break_a_rule_of_their_own():
    assert violations_of(replace(PART.in_order, wing_props="set"))["wing_props_left"]


# --- weight


def test_a_heavy_wing_pushes_soil_at_its_own_place(settings):
    # Practice: soil pushed at one spot along the header tells of a wing or frame that
    # is too heavy there.
    found = effect(settings, left_weight=2.5)
    assert found.section_heavy.tolist() == [True, False, False]
    assert (
        found.section_pushing[0] > found.section_pushing[1] == found.section_pushing[2]
    )
    assert found.ground_force[0] == pytest.approx(2.5 * settings.float_force)
    assert found.ground_force[-1] == settings.float_force


@FEW
@given(FORCES, WEIGHTS, WEIGHTS, WEIGHTS)
def test_what_one_side_has_the_other_can_have(force, left, centre, right):
    here = section_force(force, left, centre, right)
    there = section_force(force, right, centre, left)
    assert here.tolist() == there[::-1].tolist()
    assert not heavy(section_force(force, left, left, left), 1.1).any()


@FEW
@given(FORCES, FORCES)
def test_more_weight_pushes_more_and_none_pushes_none(one, other):
    c = PART.values
    less, more = (pushing_tendency(f, c.pushing_force) for f in sorted((one, other)))
    assert 0.0 <= less <= more < 1.0
    assert pushing_tendency(0.0, c.pushing_force) == 0.0


@FEW
@given(
    st.sampled_from(get_args(Task)),
    st.sampled_from(get_args(Wing)),
    st.sampled_from(get_args(Wing)),
    st.sampled_from(["springs", "oil", "hinged"]),
    WEIGHTS,
)
def test_all_that_is_read_stays_where_it_can_be(
    settings, task, left, right, kind, weight
):
    found = effect(
        settings, kind, task=task, left_wing=left, right_wing=right, left_weight=weight
    )
    assert (settings.cut_height + found.cut_height_add >= 0.0).all()
    assert ((found.travel_factor >= 0.0) & (found.travel_factor <= 1.0)).all()
    assert (found.float_factor > 0.0).all()
    assert ((found.pushing >= 0.0) & (found.pushing < 1.0)).all()
    assert found.section_force.shape == found.section_heavy.shape == (3,)


def test_many_settings_keep_their_places_last(settings):
    several = replace(settings, float_force=np.array([100.0, 300.0]))
    found = effect(several, left_weight=2.0)
    assert found.ground_force.shape == (2, CROWD.size)
    assert found.section_force.tolist() == [[200, 100, 100], [600, 300, 300]]
    assert found.section_heavy.tolist() == [[True, False, False]] * 2


# --- refusals


def test_wings_that_leave_no_centre_are_refused():
    with pytest.raises(OutOfRange):
        wing_reach(0.0, 0.6)


def test_less_than_no_weight_is_refused(settings):
    with pytest.raises(OutOfRange):
        effect(settings, left_weight=-1.0)
