"""Numbers that are asked, against print and against sums done by hand."""

from itertools import product

import pytest

from academy import units
from academy.catalog.families import known
from academy.scenarios.draw import grids
from academy.scenarios.facts import bushel
from academy.scenarios.number import COMPUTABLES

CORNERS = [
    key
    for key, family in known().items()
    if all(part.computable for part in family.parts)
]


def value_of(name: str, label: str, **facts: list) -> float:
    """A computable of a 40 ft header, 42 in reel, in soybean, in ``label``."""
    named = {key.replace("__", "."): value for key, value in facts.items()}
    whole = {"crop": "soybean", "header": "flex40", **named}
    return units.from_si(COMPUTABLES[name].value(whole), label, bushel(whole))


def test_reel_of_42_inches_turns_36_a_minute_at_3_mph():
    # Iowa State University Extension: 42-inch reel, 3 mph, index 1.5 -> 36 rpm
    rate = value_of(
        "reel_speed",
        "rpm",
        given__reel_index=[1.5, "1"],
        given__reel_diameter=[42, "in"],
        as_found__ground_speed=[3.0, "mph"],
    )
    assert rate == pytest.approx(36, abs=0.5)


def test_reel_speed_by_hand():
    # 3 mph = 264 ft/min; a 42 in reel goes round in 3.5 pi ft; 1.5 times 264 over that
    rate = value_of(
        "reel_speed",
        "rpm",
        given__reel_index=[1.5, "1"],
        given__reel_diameter=[42, "in"],
        as_found__ground_speed=[3.0, "mph"],
    )
    assert rate == pytest.approx(1.5 * 264 / (3.5 * 3.14159265))


@pytest.mark.parametrize(("count", "area", "loss"), [(40, 10, 1.0), (160, 10, 4.0)])
def test_four_beans_in_a_square_foot_are_a_bushel_an_acre(count, area, loss):
    # University of Missouri Extension G1280, Nebraska Extension: 4 per square foot
    lost = value_of(
        "loss_from_count",
        "bu/ac",
        given__count=[count, "1"],
        given__frame_area=[area, "ft^2"],
    )
    assert lost == pytest.approx(loss, rel=1e-9)


def test_one_bushel_an_acre_in_kilograms_a_hectare_by_hand():
    # 60 lb of 0.45359237 kg over 0.40468564224 ha
    facts = {"given__count": [40, "1"], "given__frame_area": [10, "ft^2"]}
    lost = value_of("loss_from_count", "kg/ha", **facts)
    assert lost == pytest.approx(60 * 0.45359237 / 0.40468564224)


def test_a_bushel_an_acre_is_worth_the_price_of_a_bushel():
    facts = {"given__count": [60, "1"], "given__frame_area": [10, "ft^2"]}
    lost = value_of("money_of_loss", "$/ac", grain_price=[12.0, "$/bu"], **facts)
    assert lost == pytest.approx(1.5 * 12.0)  # 60/10/4 = 1.5 bu/ac


def test_40_feet_at_6_mph_and_70_percent_cut_20_acres_an_hour():
    # Iowa State University PM 696: 40 ft, 6 mph, 70 % -> 20.4 ac/h
    facts = {
        "as_found__ground_speed": [6.0, "mph"],
        "given__field_efficiency": [70, "%"],
    }
    assert value_of("field_capacity", "ac/h", **facts) == pytest.approx(20.4, abs=0.05)


def test_hours_of_a_field_by_hand():
    # 40 ft * 6 mph * 0.70 / 8.25 = 20.364 ac/h; 160 ac take 160 * 8.25 / 168 h
    facts = {
        "as_found__ground_speed": [6.0, "mph"],
        "given__field_efficiency": [70, "%"],
        "given__field_area": [160, "ac"],
    }
    assert value_of("work_time", "h", **facts) == pytest.approx(160 * 8.25 / 168)


def test_a_belt_at_600_feet_a_minute_draws_in_ten_feet_a_second():
    # 600 ft/min = 10 ft/s; Iowa State Extension (d001079) prints 7.5 ft in the 0.75 s
    # of a quick hand at 10 ft/s
    facts = {
        "as_found__belt_speed": [600, "ft/min"],
        "given__reaction_time": [0.75, "s"],
    }
    assert value_of("drawn_in", "ft", **facts) == pytest.approx(7.5)


def test_six_inches_in_four_feet_are_a_slope_of_an_eighth():
    facts = {"given__rise": [6, "in"], "given__level_run": [4, "ft"]}
    assert value_of("slope", "slope %", **facts) == pytest.approx(12.5)


def test_free_height_by_hand():
    facts = {"given__line_height": [22.5, "ft"], "given__load_height": [13.0, "ft"]}
    assert value_of("free_height", "ft", **facts) == pytest.approx(9.5)


def test_beans_at_9_percent_give_away_what_the_market_does_not_see():
    # 1 - 0.87/0.91 = 4.396 % of 50 bu/ac at 10 $/bu, by hand
    facts = {
        "moisture": [9.0, "%"],
        "given__market_moisture": [13.0, "%"],
        "given__market_yield": [50, "bu/ac"],
        "grain_price": [10.0, "$/bu"],
    }
    worth = value_of("dry_grain", "$/ac", **facts)
    assert worth == pytest.approx(500 * (1 - 87 / 91))


@pytest.mark.parametrize("key", CORNERS)
def test_no_family_can_ask_for_a_number_that_is_zero(key):
    family = known()[key]
    ends = {name: (grid.low, grid.high) for name, grid in grids(family).items()}
    for header, *values in product(family.headers, *ends.values()):
        facts = {"crop": family.crop, "header": header}
        for name, value in zip(ends, values, strict=True):
            facts[name] = [value, grids(family)[name].unit]
        for part in family.parts:
            assert COMPUTABLES[part.computable].value(facts) > 0


@pytest.mark.parametrize("name", sorted(COMPUTABLES))
def test_a_computable_is_of_a_kind_the_cab_can_show(name):
    assert COMPUTABLES[name].kind in units.KINDS
