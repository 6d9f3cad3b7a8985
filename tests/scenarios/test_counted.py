"""Counts at three places: what the engine loses comes back out of the counts."""

import pytest

from academy.catalog import coefficients, families
from academy.engine import header
from academy.scenarios import conditions, counted
from academy.scenarios.draw import draw

FAMILIES = ("find-the-leak-soybean", "find-the-leak-wheat")


def test_the_split_by_hand():
    # 60 lb bushel on an acre: 6.7251 g/m2, and 4 beans on a square foot make it, so a
    # bean weighs 156.2 mg. On 10 ft2 (0.929 m2): 40 beans are 1 bu/ac = 67.25 kg/ha.
    # 40 before, 120 where the header passed, 400 behind a 5 ft heap of a 35 ft cut:
    # header (120 - 40)/40 = 2 bu/ac; behind (400 - 120)/40/(35/5) = 1 bu/ac.
    facts = {
        "crop": "soybean",
        "combine": "middle",
        "header": "flex35",
        counted.AREA: [10.0, "ft^2"],
        counted.BEFORE: [40.0, "1"],
        counted.HEADER: [120.0, "1"],
        counted.BEHIND: [400.0, "1"],
        counted.DISCHARGE: [5.0, "ft"],
    }
    bushel_per_acre = 60 * 0.45359237 / 4046.8564224
    before, at_header, behind = counted.losses(facts)
    assert before == pytest.approx(1 * bushel_per_acre)
    assert at_header == pytest.approx(2 * bushel_per_acre)
    assert behind == pytest.approx(1 * bushel_per_acre)


@pytest.mark.parametrize("key", FAMILIES)
@pytest.mark.parametrize("seed", range(8))
def test_the_counts_hold_what_the_engine_loses(key, seed):
    facts = draw(key, families.load(key), seed)
    field, machine = conditions.field_of(facts), conditions.machine_of(facts)
    values = coefficients.load(facts["crop"]).values
    lost = header.run(field, machine, conditions.as_found(facts), values)
    _, at_header, behind = counted.losses(facts)
    one = counted.kernel_mass(facts) / counted.si(facts, counted.AREA)
    # Whole kernels: half a kernel off at most, one more behind for its two counts.
    grown = field.crop_yield
    assert at_header == pytest.approx(grown * lost.header_loss, abs=0.51 * one)
    assert behind == pytest.approx(grown * lost.processing, abs=0.51 * one)


@pytest.mark.parametrize("key", FAMILIES)
def test_the_tank_holds_what_was_not_lost(key):
    facts = draw(key, families.load(key), 3)
    field, machine = conditions.field_of(facts), conditions.machine_of(facts)
    values = coefficients.load(facts["crop"]).values
    lost = header.run(field, machine, conditions.as_found(facts), values)
    tank = counted.si(facts, counted.HARVESTED)
    half_a_step = 0.25 * 60 * 0.45359237 / 4046.8564224
    kept = field.crop_yield * (1 - lost.total_loss)
    assert tank == pytest.approx(kept, abs=1.001 * half_a_step)
