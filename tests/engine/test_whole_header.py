"""A whole header in any state: in order it is the plain run; faults cost what is due.

Laws by the trade: each is named by its test. Nothing here is a measured size.
"""

from dataclasses import fields, replace
from functools import cache
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from academy.catalog import coefficients, combines, crops, headers, parts, whole
from academy.catalog.whole import PARTS
from academy.engine import header, whole_header
from academy.engine.readings import LOSS_PIECES, Readings
from academy.engine.whole_state import State, WholeReadings
from academy.scenarios import conditions

PAIRS = [(c, h) for c in crops.known() for h in headers.known()]
CARRIED = {crop: crops.load(crop).off_ground for crop in crops.known()}
SIGNED = {"axle_error", "finger_gap", "carry_tendency", "ground_force"}
SIGNED |= {"sweep_speed", "entry_axle_height"}


@cache
def plain(crop: str, key: str) -> tuple[Any, ...]:
    """What ``header.run`` takes for an ordinary field."""
    facts = {
        "crop": crop,
        "header": key,
        "combine": combines.known()[0],
        "ground": "ordinary",
        "carried": "wheels" if CARRIED[crop] else "ground",
    }
    return (
        conditions.field_of(facts),
        conditions.machine_of(facts),
        conditions.as_found(facts),
        coefficients.load(crop).values,
    )


def ran(crop: str, key: str, **part: dict[str, Any]) -> WholeReadings:
    """A header in order but for what is named: part -> state."""
    one = headers.load(key)
    state = whole.in_order(crop, one)
    changed = {n: replace(getattr(state, n), **to) for n, to in part.items()}
    return whole_header.run(
        *plain(crop, key),
        whole.build(crop, one),
        replace(state, **changed),
        whole.beliefs(),
    )


def cost(crop: str, key: str, **part: dict[str, Any]) -> float:
    return float(ran(crop, key, **part).readings.cost)


@pytest.mark.parametrize(("crop", "key"), PAIRS)
def test_in_good_order_it_is_the_plain_run(crop: str, key: str) -> None:
    whole_run, alone = ran(crop, key).readings, header.run(*plain(crop, key))
    for field in fields(Readings):
        if field.name != "violations":
            found, known = (float(getattr(r, field.name)) for r in (whole_run, alone))
            assert found == pytest.approx(known, rel=1e-12, abs=1e-15), field.name
    assert not any(np.any(flag) for flag in whole_run.violations.values())


@st.composite
def states(draw: Any) -> tuple[str, str, State]:
    """Any crop, header and legal state of every part."""
    crop, key = draw(st.sampled_from(PAIRS))
    drawn = {}
    for name in PARTS:
        part = parts.load(name)
        figures = {
            each: draw(st.floats(*figure.si()[::2]), label=each)
            for each, figure in part.state.items()
        }
        kinds = {
            each: draw(st.sampled_from(sorted(choice.kinds)), label=each)
            for each, choice in part.choices.items()
        }
        drawn[name] = type(part.in_order)(**figures, **kinds)
    return crop, key, State(**drawn)


@given(states())
@settings(max_examples=60, deadline=None)
def test_every_state_gives_readings_within_their_limits(
    drawn: tuple[str, str, State],
) -> None:
    crop, key, state = drawn
    build = whole.build(crop, headers.load(key))
    done = whole_header.run(*plain(crop, key), build, state, whole.beliefs())
    read = done.readings
    for field in fields(Readings):
        if field.name != "violations":
            value = float(getattr(read, field.name))
            assert np.isfinite(value), field.name
            assert value >= 0 or field.name in SIGNED, field.name
    pieces = [float(getattr(read, name)) for name in LOSS_PIECES]
    assert sum(pieces) == pytest.approx(float(read.total_loss), abs=1e-12)
    assert float(read.total_loss) <= 1.0
    money = (read.machine_cost, read.loss_cost, read.stoppage_cost, read.soil_cost)
    assert sum(float(m) for m in money) == pytest.approx(float(read.cost), rel=1e-9)


@pytest.mark.parametrize(("crop", "key"), PAIRS)
def test_each_strip_loses_what_the_whole_loses_on_average(crop: str, key: str) -> None:
    done = ran(crop, key, reel_sections={"left_arm": 0.1, "right_arm": -0.05})
    for name, share in done.strips.pieces.items():
        mean = float(np.mean(share))
        assert mean == pytest.approx(float(getattr(done.readings, name)), rel=1e-12)


DAY = 86400.0
WORSE = [
    ("knife", {"wear": 0.5}, {"wear": 1.0}),
    ("knife", {"hold_down_clearance": 0.001}, {"hold_down_clearance": 0.004}),
    ("knife", {"vertical_play": 0.001}, {"vertical_play": 0.004}),
    ("hour", {"delay": 5 * DAY}, {"delay": 20 * DAY}),
    ("hour", {"wet_dry_cycles": 2.0}, {"wet_dry_cycles": 6.0}),
    ("wings", {"left_weight": 2.0}, {"left_weight": 3.5}),
    ("stand", {"green_stems": 0.4}, {"green_stems": 0.8}),
    ("threshing", {"side_share": 0.3}, {"side_share": 1.0}),
    ("flow", {"left_seal_gap": 0.015}, {"left_seal_gap": 0.03}),
    (
        "flow",
        {"left_front_tension": 0.15, "left_rear_tension": 0.15},
        {"left_front_tension": 0.1, "left_rear_tension": 0.1},
    ),
]


@pytest.mark.parametrize(("part", "mild", "bad"), WORSE)
@pytest.mark.parametrize("key", headers.known())
def test_the_worse_a_part_the_more_it_costs(
    key: str, part: str, mild: dict[str, float], bad: dict[str, float]
) -> None:
    fine = cost("soybean", key)
    some, much = (cost("soybean", key, **{part: to}) for to in (mild, bad))
    assert fine < some < much


@pytest.mark.parametrize("arm", ["left_arm", "centre_arm", "right_arm"])
@pytest.mark.parametrize("key", headers.known())
def test_an_arm_off_either_way_costs_more_on_average(key: str, arm: str) -> None:
    # one way may mend a reel that is set too high or too low, both ways cannot
    up, down = (cost("soybean", key, reel_sections={arm: d}) for d in (0.1, -0.1))
    if arm == "centre_arm" and headers.load(key).parts.reel_parts == 1:
        assert up == down == cost("soybean", key)
    else:
        assert (up + down) / 2.0 > cost("soybean", key)


def test_a_reel_high_in_the_centre_loses_most_there() -> None:
    done = ran("soybean", "flex40", reel_sections={"centre_arm": 0.25})
    lost = done.strips.pieces["loose_stalk"]
    middle, end = float(lost[..., len(lost) // 2]), float(lost[..., 0])
    assert middle > end
    assert lost == pytest.approx(lost[::-1])  # both sides alike


@pytest.mark.parametrize("key", headers.known())
def test_a_hair_out_of_step_is_as_good_as_in_step(key: str) -> None:
    # in step all strips are alike and run as one; apart they run one by one
    hair = {"left_arm": 1e-9, "right_arm": -1e-9}
    apart, alike = ran("soybean", key, reel_sections=hair), ran("soybean", key)
    assert np.ptp(apart.reel_sections.reel_height_add) > 0.0
    for field in fields(Readings):
        if field.name != "violations":
            found, known = (
                getattr(each.readings, field.name) for each in (apart, alike)
            )
            assert float(found) == pytest.approx(float(known), rel=1e-6, abs=1e-8)
    for name, share in apart.strips.pieces.items():
        assert share == pytest.approx(alike.strips.pieces[name], rel=1e-6)


@pytest.mark.parametrize("key", headers.known())
def test_stiff_wings_follow_less(key: str) -> None:
    stiff = {"left_wing": "service", "right_wing": "service"}
    done, fine = ran("soybean", key, wings=stiff), ran("soybean", key)
    assert np.any(done.readings.violations["wings_not_working"])
    assert done.readings.cut_height_spread > fine.readings.cut_height_spread
    centre = len(done.strips.place) // 2
    at = done.strips.cut.cut_height_spread[..., centre]
    assert at == pytest.approx(float(fine.readings.cut_height_spread))


def test_one_hanging_wing_cuts_low_on_its_own_side_only() -> None:
    done = ran("soybean", "flex40", wings={"left_wing": "travelling"})
    fine = ran("soybean", "flex40")
    left, right = done.strips.cut.digging[..., [0, -1]]
    plain_left, plain_right = fine.strips.cut.digging[..., [0, -1]]
    assert left > plain_left
    assert right == plain_right


def test_wings_of_several_sizes_are_each_of_them() -> None:
    one = headers.load("hinged30")
    state = whole.in_order("soybean", one)
    state = replace(state, wings=replace(state.wings, left_wing="travelling"))
    build = whole.build("soybean", one)

    def costs(wing_share: Any) -> Any:
        sized = replace(build, wing_share=wing_share)
        given = *plain("soybean", "hinged30"), sized, state, whole.beliefs()
        return whole_header.run(*given).readings.cost

    sizes = np.array([0.25, 0.33, 0.42])
    assert costs(sizes) == pytest.approx([float(costs(size)) for size in sizes])


def test_crop_from_one_side_alone_crosses_and_a_deflector_holds_it() -> None:
    half = {"right_crop": 0.0}
    fast = {"belt_speed": 4.0}
    field, machine, at, c = plain("soybean", "flex40")
    one = headers.load("flex40")
    shared = whole.build("soybean", one), whole.beliefs()

    def crossing(**flow: Any) -> float:
        state = whole.in_order("soybean", one)
        state = replace(state, flow=replace(state.flow, **flow))
        done = whole_header.run(
            field, machine, replace(at, **fast), c, shared[0], state, shared[1]
        )
        return float(done.readings.crossing_over)

    assert crossing() == 0.0
    assert crossing(**half) > crossing(**half, deflector="on") > 0.0


def test_wrong_dividers_cost_and_suited_ones_do_not() -> None:
    tangled = {"tangling": 1.0}
    suited = cost("field-pea", "flex40", stand=tangled)
    short = cost("field-pea", "flex40", stand=tangled, ends={"dividers": "short"})
    long = cost("field-pea", "flex40", stand=tangled, ends={"dividers": "long"})
    assert suited == pytest.approx(min(short, long))
    assert short > long


def test_a_batch_of_settings_and_draws_is_each_of_them() -> None:
    field, machine, at, c = plain("soybean", "hinged30")
    one = headers.load("hinged30")
    state = whole.in_order("soybean", one)
    state = replace(
        state,
        reel_sections=replace(state.reel_sections, left_arm=0.1),
        wings=replace(state.wings, right_wing="travelling"),
        knife=replace(state.knife, wear=0.6),
    )
    speeds = np.array([1.0, 1.5, 2.0])
    known = coefficients.load("soybean")
    c = replace(known.values, riding=np.array([[0.5], [1.5]]))
    build, believed = whole.build("soybean", one), whole.beliefs()
    batch = whole_header.run(
        field, machine, replace(at, ground_speed=speeds), c, build, state, believed
    ).readings
    assert np.shape(batch.cost) == (2, 3)
    for row, riding in enumerate((0.5, 1.5)):
        for column, speed in enumerate(speeds):
            alone = whole_header.run(
                field,
                machine,
                replace(at, ground_speed=float(speed)),
                replace(known.values, riding=riding),
                build,
                state,
                believed,
            ).readings
            assert batch.cost[row, column] == pytest.approx(float(alone.cost))
            assert batch.total_loss[row, column] == pytest.approx(
                float(alone.total_loss)
            )
