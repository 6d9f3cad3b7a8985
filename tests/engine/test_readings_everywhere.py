"""Limits and laws of a header's readings over all that a field and a cab allow.

Fields lie between the bounds of the crop's own file (a lodged crop stands lower),
settings between those of the header's controls as it is carried, and coefficients
anywhere within their ranges. No figure is expected here, only what must hold always.
"""

from dataclasses import fields, replace
from functools import cache
from typing import NamedTuple

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from academy.catalog import coefficients, combines, crops, grounds, headers
from academy.engine import ensemble
from academy.engine.coefficients import Coefficients
from academy.engine.conditions import Field, Machine, Settings
from academy.engine.header import LOSS_PIECES, run
from academy.engine.readings import Readings

CROPS, HEADERS = crops.known(), headers.known()
CARRIED = ("ground", "wheels", "sensing")
SHARES = (*LOSS_PIECES, "total_loss", "header_loss", "bunched", "digging")
SIGNED = {  # what may lie below zero, and what it says there
    "sweep_speed",  # the tips push the crop on
    "entry_axle_height",  # bats would have to enter below the knife
    "axle_error",  # the reel stands too low
    "finger_gap",  # the tines reach the bar
    "carry_tendency",  # the tines let go too soon
    "ground_force",  # the bar leaves the ground
}
FLOOR = 1e-9  # of rounding, also of what is divided by the little that is left
DRAWS = 64
EXAMPLES = settings(max_examples=60, deadline=None)
PART = st.floats(0.0, 1.0)


class Case(NamedTuple):
    """All that a run takes."""

    field: Field
    machine: Machine
    settings: Settings
    coefficients: Coefficients

    def run(self) -> Readings:
        return run(*self)

    def on_field(self, **changed: float) -> Readings:
        return run(replace(self.field, **changed), *self[1:])

    def with_machine(self, **changed: float) -> Readings:
        return run(self.field, replace(self.machine, **changed), *self[2:])

    def set_to(self, **changed: float) -> Readings:
        return run(*self[:2], replace(self.settings, **changed), self.coefficients)


def _between(low: float, high: float, part: float) -> float:
    return min(max(low + part * (high - low), low), high)


@cache
def _ends(crop_key: str) -> dict[str, tuple[float, float]]:
    """Bounds of every condition of a crop, in SI."""
    crop = crops.load(crop_key)
    ends = {}
    for one in fields(Field):
        if one.name == "grain_price":
            low, _, high = crop.grain.price.si(crop.bushel)
        else:
            low, _, high = getattr(crop.conditions, one.name).si(crop.bushel)
        ends[one.name] = low, high
    lodged = crop.conditions.lodged_height.si()
    rough = [ground.roughness.si() for ground in grounds.load().values()]
    ends["crop_height"] = lodged[0], ends["crop_height"][1]
    ends["ground_roughness"] = min(r[0] for r in rough), max(r[2] for r in rough)
    return ends


@cache
def _coefficients(crop_key: str) -> tuple[Coefficients, ...]:
    """Those of the content first, then some drawn within their ranges."""
    known = coefficients.load(crop_key)
    drawn = ensemble.draw(known.low, known.values, known.high, size=DRAWS, seed=7)
    return known.values, *(ensemble.one(drawn, place) for place in range(DRAWS))


@cache
def _ranges(header_key: str, how: str) -> dict[str, tuple[float, float]]:
    """Bounds of every setting of a header as it is carried, in SI."""
    ends = {}
    for one in fields(Settings):
        allowed = headers.range_of(headers.load(header_key), one.name, how)
        low, high, _ = allowed.si()
        ends[one.name] = low, high
    return ends


@st.composite
def cases(draw, crop_keys=CROPS, carried=CARRIED) -> Case:
    """A legal field, machine and setting, with coefficients within their ranges."""
    crop, key = draw(st.sampled_from(crop_keys)), draw(st.sampled_from(HEADERS))
    how = draw(st.sampled_from(carried))
    field, turned = (
        {name: _between(*at, draw(PART, label=name)) for name, at in ends.items()}
        for ends in (_ends(crop), _ranges(key, how))
    )
    return Case(
        Field(**field),
        headers.machine(headers.load(key), combines.load("middle"), how),
        Settings(**turned),
        draw(st.sampled_from(_coefficients(crop))),
    )


def not_less(more, less) -> bool:
    """No fall beyond what rounding makes of it."""
    return float(more) >= float(less) - FLOOR * max(abs(float(more)), 1.0)


# --- limits


@EXAMPLES
@given(cases())
def test_every_reading_is_a_number_within_what_can_be(case):
    found = case.run()
    for one in fields(Readings):
        if one.name == "violations":
            continue
        value = float(getattr(found, one.name))
        assert np.isfinite(value), one.name
        assert value >= 0.0 or one.name in SIGNED, one.name
    for name in SHARES:
        assert float(getattr(found, name)) <= 1.0 + FLOOR, name


@EXAMPLES
@given(cases())
def test_the_pieces_make_the_whole_exactly(case):
    found = case.run()
    pieces = [float(getattr(found, name)) for name in LOSS_PIECES]
    assert sum(pieces[:-1]) == pytest.approx(float(found.header_loss), abs=1e-15)
    assert float(found.header_loss) + pieces[-1] == float(found.total_loss)
    parts = ("machine_cost", "loss_cost", "stoppage_cost", "soil_cost")
    spent = sum(float(getattr(found, name)) for name in parts)
    assert float(found.cost) == pytest.approx(spent, rel=1e-12)


@EXAMPLES
@given(cases())
def test_lost_grain_is_worth_its_share_of_the_crop(case):
    found = case.run()
    worth = float(case.field.crop_yield * case.field.grain_price)
    assert float(found.loss_cost) == pytest.approx(
        worth * float(found.total_loss), rel=1e-12
    )


@EXAMPLES
@given(cases())
def test_every_hard_limit_is_answered_yes_or_no(case):
    for name, broken in case.run().violations.items():
        assert bool(broken) in (True, False), name


@EXAMPLES
@given(cases(), st.integers(2, 5))
def test_many_at_once_are_each_alone(case, count):
    span = np.linspace(0.8, 1.2, count)
    many = case.set_to(ground_speed=case.settings.ground_speed * span)
    for place in range(count):
        one = case.set_to(ground_speed=float(case.settings.ground_speed * span[place]))
        for name in ("total_loss", "cost", "mat_depth", "true_cut_height"):
            alone = float(getattr(one, name))
            among = np.broadcast_to(getattr(many, name), (count,))[place]
            assert alone == pytest.approx(float(among), rel=1e-12)


# --- laws: one thing changes, all else stays

MORE = st.floats(1.01, 1.5)


@EXAMPLES
@given(cases(), st.floats(0.005, 0.05))
def test_a_drier_crop_shatters_more(case, points):
    drier = case.on_field(moisture=case.field.moisture - points)
    assert not_less(drier.shatter, case.run().shatter)


@EXAMPLES
@given(cases(), MORE)
def test_rougher_ground_spreads_the_cut_more(case, times):
    rougher = case.on_field(ground_roughness=case.field.ground_roughness * times)
    assert float(rougher.cut_height_spread) > float(case.run().cut_height_spread)


@EXAMPLES
@given(cases(carried=("ground",)), MORE)
def test_a_longer_travel_spreads_it_no_more(case, times):
    longer = case.with_machine(bar_travel=case.machine.bar_travel * times)
    assert not_less(case.run().cut_height_spread, longer.cut_height_spread)


@EXAMPLES
@given(cases(carried=("ground", "sensing")), MORE)
def test_a_quicker_height_control_spreads_it_less(case, times):
    quicker = case.with_machine(
        control_bandwidth=case.machine.control_bandwidth * times
    )
    assert not_less(case.run().cut_height_spread, quicker.cut_height_spread)


@EXAMPLES
@given(cases(carried=("ground", "sensing")), MORE)
def test_a_faster_machine_spreads_the_cut_no_less(case, times):
    faster = case.set_to(ground_speed=case.settings.ground_speed * times)
    assert not_less(faster.cut_height_spread, case.run().cut_height_spread)


@EXAMPLES
@given(cases(carried=("wheels",)), MORE)
def test_on_gauge_wheels_speed_does_not_matter_for_it(case, times):
    faster = case.set_to(ground_speed=case.settings.ground_speed * times)
    slow, fast = case.run().cut_height_spread, faster.cut_height_spread
    assert float(fast) == pytest.approx(float(slow), rel=1e-12)


@EXAMPLES
@given(cases(), MORE)
def test_a_faster_machine_goes_further_in_a_stroke_and_bunches_no_less(case, times):
    slow = case.run()
    fast = case.set_to(ground_speed=case.settings.ground_speed * times)
    assert float(fast.advance_per_stroke) == pytest.approx(
        times * float(slow.advance_per_stroke)
    )
    assert not_less(fast.bunched, slow.bunched)


@EXAMPLES
@given(cases(), MORE)
def test_a_faster_machine_gets_more_done_for_less_an_acre(case, times):
    slow = case.run()
    fast = case.set_to(ground_speed=case.settings.ground_speed * times)
    assert float(fast.area_rate) > float(slow.area_rate)
    assert float(fast.machine_cost) < float(slow.machine_cost)
    assert float(fast.mog_feedrate) > float(slow.mog_feedrate)
    assert float(fast.engine_load) > float(slow.engine_load)


@EXAMPLES
@given(cases(), MORE)
def test_a_narrower_header_loses_more_at_its_ends(case, times):
    narrower = case.with_machine(width=case.machine.width / times)
    assert float(narrower.divider) == pytest.approx(times * float(case.run().divider))


def _of_the_rest(piece: float, before: float) -> float:
    """A piece as a share of what the stages before it left; some must be left."""
    assume(before < 1.0 - 1e-6)
    return float(piece) / (1.0 - float(before))


def _behind_share(found: Readings) -> float:
    """Share of what came in that leaves behind the machine."""
    return _of_the_rest(found.processing, found.header_loss)


@EXAMPLES
@given(cases(), MORE)
def test_more_straw_loses_more_behind_the_machine(case, times):
    more = case.on_field(mog_ratio=case.field.mog_ratio * times)
    assert not_less(_behind_share(more), _behind_share(case.run()))


@EXAMPLES
@given(cases(crop_keys=("wheat",)), st.floats(0.005, 0.05))
def test_a_higher_cut_takes_in_less_straw_in_wheat(case, raised):
    higher = case.set_to(cut_height=case.settings.cut_height + raised)
    low = case.run()
    assert not_less(low.mog_feedrate, higher.mog_feedrate)
    if case.settings.cut_height + raised < case.field.crop_height:
        assert float(higher.mog_feedrate) < float(low.mog_feedrate)


def _on_stubble(found: Readings) -> float:
    """Share of what reaches the knife that stays on the stubble."""
    return _of_the_rest(found.stubble, found.divider + found.shatter + found.lodged)


@EXAMPLES
@given(cases(), st.floats(0.005, 0.05))
def test_a_higher_cut_leaves_more_on_the_stubble_and_digs_less(case, raised):
    low, high = case.run(), case.set_to(cut_height=case.settings.cut_height + raised)
    assert float(high.true_cut_height) > float(low.true_cut_height)
    assert not_less(_on_stubble(high), _on_stubble(low))
    assert not_less(low.digging, high.digging)


@EXAMPLES
@given(cases(), st.floats(0.01, 0.1))
def test_grain_that_hangs_lower_stays_behind_more(case, lower):
    hanging = case.on_field(lowest_grain=case.field.lowest_grain - lower)
    assert not_less(_on_stubble(hanging), _on_stubble(case.run()))


def _lying(found: Readings) -> float:
    """Share of what the reel met that lies too low for the knife."""
    return _of_the_rest(found.lodged, found.divider + found.shatter)


@EXAMPLES
@given(cases(), st.floats(0.0, 1.0))
def test_the_more_lies_the_more_is_left_lying(case, part):
    lodging = case.field.lodging + part * (1.0 - case.field.lodging)
    assert not_less(_lying(case.on_field(lodging=lodging)), _lying(case.run()))
    assert float(case.on_field(lodging=0.0).lodged) == 0.0


@EXAMPLES
@given(cases(), MORE)
def test_a_faster_reel_enters_harder_and_sweeps_faster(case, times):
    slow = case.run()
    fast = case.set_to(reel_rate=case.settings.reel_rate * times)
    assert float(fast.reel_index) == pytest.approx(times * float(slow.reel_index))
    assert not_less(fast.entry_speed, slow.entry_speed)
    assert float(fast.sweep_speed) > float(slow.sweep_speed)
    assert not_less(_lying(slow), _lying(fast))


@EXAMPLES
@given(cases(), MORE)
def test_a_faster_belt_carries_a_thinner_mat(case, times):
    slow = case.run()
    fast = case.set_to(belt_speed=case.settings.belt_speed * times)
    assert float(fast.mat_depth) == pytest.approx(float(slow.mat_depth) / times)
    assert not_less(slow.slugging_index, fast.slugging_index)
    assert not_less(slow.stoppage_cost, fast.stoppage_cost)


@EXAMPLES
@given(cases(), MORE)
def test_a_heavier_float_keeps_the_bar_down_at_higher_speed(case, times):
    light = case.run()
    heavy = case.set_to(float_force=case.settings.float_force * times)
    assert not_less(heavy.ground_force, light.ground_force)
    assert not_less(heavy.contact_loss_speed, light.contact_loss_speed)


@EXAMPLES
@given(cases(), MORE)
def test_dearer_grain_moves_money_and_no_loss(case, times):
    dear, cheap = case.on_field(grain_price=case.field.grain_price * times), case.run()
    assert float(dear.total_loss) == float(cheap.total_loss)
    assert float(dear.loss_cost) == pytest.approx(times * float(cheap.loss_cost))
    assert not_less(dear.cost, cheap.cost)


@EXAMPLES
@given(cases(), st.floats(0.0, 0.3))
def test_a_steeper_slope_never_lifts_a_limit(case, steeper):
    flat = case.run().violations
    steep = case.on_field(slope=case.field.slope + steeper).violations
    for name, broken in flat.items():
        assert bool(steep[name]) >= bool(broken), name


@EXAMPLES
@given(cases(), st.floats(0.005, 0.1))
def test_a_higher_reel_never_brings_the_fingers_nearer(case, raised):
    low = case.run()
    high = case.set_to(reel_height=case.settings.reel_height + raised)
    assert float(high.finger_gap) > float(low.finger_gap)
    assert bool(low.violations["fingers_too_near"]) >= bool(
        high.violations["fingers_too_near"]
    )


@EXAMPLES
@given(cases(), st.floats(0.005, 0.2))
def test_a_reel_farther_from_its_best_lead_leaves_more_loose_stalks(case, farther):
    c, lodging = case.coefficients, case.field.lodging
    best = c.best_lead + c.best_lead_lodged * lodging
    away = abs(case.settings.reel_lead - best)

    def loose(lead: float) -> float:
        found = case.set_to(reel_lead=lead)
        return _of_the_rest(found.loose_stalk, found.header_loss - found.loose_stalk)

    assert not_less(loose(best + away + farther), loose(best + away))
    assert loose(best - away) == pytest.approx(loose(best + away), rel=1e-9)


@EXAMPLES
@given(cases())
def test_float_and_tine_pitch_move_no_loss(case):
    moved = case.set_to(
        float_force=case.settings.float_force + 50.0,
        tine_pitch=case.settings.tine_pitch + 0.1,
    )
    assert float(moved.total_loss) == float(case.run().total_loss)
