"""The edge where numbers get and lose units."""

import threading

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from together import together

from academy import units
from academy.engine import capacity, reel, reel_path
from academy.errors import NotUnderstood, OutOfRange, WrongUnit

WHEAT_BUSHEL = 60 * 0.45359237  # 60 lb; the pound is 0.45359237 kg by definition
FIELD = ("mph", "km/h", "m/s")


def _bushel(label: str) -> float | None:
    return WHEAT_BUSHEL if units.counts_bushels(label) else None


# By definition: inch 25.4 mm, foot 0.3048 m, mile 5280 ft, acre 43 560 ft² (feet of
# 0.3048 m, the international acre), pound 0.45359237 kg, pound-force 4.4482216152605 N.
@pytest.mark.parametrize(
    ("value", "label", "si"),
    [
        (1.0, "in", 0.0254),
        (1.0, "ft", 0.3048),
        (1.0, "mph", 5280 * 0.3048 / 3600),
        (3.6, "km/h", 1.0),
        (1.0, "ac", 43560 * 0.3048**2),
        (1.0, "ac/h", 43560 * 0.3048**2 / 3600),
        (1.0, "lb", 0.45359237),
        (1.0, "lb/ft", 4.4482216152605 / 0.3048),
        (1.0, "rpm", 2 * np.pi / 60),
        (60.0, "1/min", 1.0),
        (25.0, "%", 0.25),
        (1.0, "kg/ha", 1e-4),
        (1.0, "t/ha", 0.1),
        (1.0, "bu/ac", WHEAT_BUSHEL / (43560 * 0.3048**2)),
        (6.0, "$/bu", 6 / WHEAT_BUSHEL),
        (360.0, "$/h", 0.1),
        (1.0, "hp", 550 * 0.3048 * 4.4482216152605),  # 550 foot-pounds per second
        (32.0, "degF", 273.15),
        (212.0, "degF", 373.15),
        (20.0, "degC", 293.15),
        (100.0, "slope %", np.pi / 4),  # as much up as along: 45 degrees
    ],
)
def test_labels_mean_their_definitions(value: float, label: str, si: float) -> None:
    assert units.to_si(value, label, _bushel(label)) == pytest.approx(si, rel=1e-12)


def test_the_acre_is_not_the_survey_acre() -> None:
    # 4046.8564224 m² against 4046.8726 m²
    assert units.to_si(1.0, "ac") == pytest.approx(4046.8564224, rel=1e-12)


@pytest.mark.parametrize("label", sorted(units.LABELS))
@settings(max_examples=20)  # a label is a factor and at most a zero point
@given(value=st.floats(-1e6, 1e6))
def test_there_and_back_is_the_same_number(label: str, value: float) -> None:
    si = units.to_si(value, label, _bushel(label))
    assert units.from_si(si, label, _bushel(label)) == pytest.approx(
        value, rel=1e-9, abs=1e-6
    )


@together("label", sorted(units.LABELS))
def test_every_label_stands_in_one_family_with_its_si_unit(label: str) -> None:
    si = units.si_of(label)
    assert units.si_of(si) == si
    assert units.to_si(7.0, si) == 7.0


@together("kind", sorted(units.KINDS))
def test_both_systems_measure_the_same_thing(kind: str) -> None:
    shown = units.KINDS[kind]
    assert units.si_of(shown.us) == units.si_of(shown.metric)
    assert {shown.us, shown.metric} <= set(units.labels_for(kind))


def test_bushels_refuse_to_stand_without_a_crop() -> None:
    with pytest.raises(WrongUnit, match="bushel_needs_crop"):
        units.to_si(1.0, "bu/ac")
    with pytest.raises(WrongUnit, match="bushel_needs_crop"):
        units.quantity(1.0, "$/bu", float("nan"))


def test_two_crops_bushels_do_not_mix_up() -> None:
    oats = 32 * 0.45359237
    light, heavy = units.quantity(1.0, "bu", oats), units.quantity(1.0, "bu", 30.0)
    assert units.value_in(light, "lb") == pytest.approx(32)
    assert units.value_in(heavy, "kg") == pytest.approx(30)
    assert [units.bushel_of(light), units.bushel_of(heavy)] == [oats, 30.0]


def test_pairs_keep_value_and_label() -> None:
    for label in sorted(units.LABELS - {"money", "money/kg"}):
        pair = [4.5, label]
        assert units.as_pair(units.from_pair(pair, _bushel(label))) == pair
    assert units.as_pair(units.from_pair([[1.0, 2.0], "mph"])) == [[1.0, 2.0], "mph"]


def test_quantities_of_different_dimension_do_not_convert() -> None:
    with pytest.raises(WrongUnit, match="wrong_dimension"):
        units.value_in(units.quantity(1.0, "mph"), "ft")
    with pytest.raises(WrongUnit, match="unknown_unit"):
        units.quantity(1.0, "furlong")


def test_turns_per_minute_are_not_strokes_per_minute() -> None:
    # pint alone would turn one into the other and be wrong by 2 pi
    with pytest.raises(WrongUnit, match="wrong_dimension"):
        units.value_in(units.quantity(30.0, "rpm"), "1/min")


def test_an_edge_twin_reads_units_from_the_signature() -> None:
    # 42 in across, 36 rpm, 3 mph: pi * 42 * 36 / (1056 * 3) = 1.4994, by hand
    index = units.edge(reel.reel_index)(
        units.quantity(21.0, "in"),
        ground_speed=units.quantity(3.0, "mph"),
        reel_rate=units.quantity(36.0, "rpm"),
    )
    assert units.as_pair(index) == [pytest.approx(1.4994, abs=5e-5), "1"]


def test_an_edge_twin_takes_bare_numbers_only_for_ratios() -> None:
    width, speed = units.quantity(40.0, "ft"), units.quantity(6.0, "mph")
    rate = units.edge(capacity.field_capacity)(width, speed, 0.7)
    # 6 * 40 * 0.7 / 8.25 = 20.3636, by hand
    assert units.value_in(rate, "ac/h") == pytest.approx(20.3636, abs=5e-5)
    with pytest.raises(WrongUnit, match="unit_missing"):
        units.edge(capacity.field_capacity)(40.0, speed, 0.7)
    with pytest.raises(WrongUnit, match="wrong_dimension"):
        units.edge(capacity.field_capacity)(speed, speed, 0.7)


def test_an_edge_twin_gives_one_quantity_for_each_part_of_a_pair() -> None:
    ahead, up = units.edge(reel_path.bat_path)(
        units.quantity(0.5, "m"),
        units.quantity(1.2, "m"),
        1.25,
        units.quantity(90.0, "deg"),
    )
    # at the lowest point the bat hangs one radius under the axle: 1.2 - 0.5 m
    assert units.value_in(up, "m") == pytest.approx(0.7)
    assert units.label_of(ahead) == "m"


def test_arrays_pass_the_edge_whole() -> None:
    speeds = np.array([3.0, 6.0])
    twin = units.edge(capacity.theoretical_area_rate)
    rate = twin(units.quantity(10.0, "m"), units.quantity(speeds, "m/s"))
    assert units.as_pair(rate) == [[30.0, 60.0], "m^2/s"]


def test_threads_may_name_the_same_bushel_at_once() -> None:
    seen: list[float] = []
    mass = 21.7723

    def work() -> None:
        seen.append(units.value_in(units.quantity(1.0, "bu", mass), "kg"))

    threads = [threading.Thread(target=work) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert seen == pytest.approx([mass] * 8)


# --- typed text


@pytest.mark.parametrize(
    ("text", "pair"),
    [
        ("4.5 mph", (4.5, "mph")),
        ("4.5mph", (4.5, "mph")),
        (" 4,5 MPH ", (4.5, "mph")),
        ("5,5", (5.5, "mph")),
        (",25", (0.25, "mph")),
        ("-3", (-3.0, "mph")),
        ("−3", (-3.0, "mph")),
        ("7.2 km/hr", (7.2, "km/h")),
        ("7 kph", (7.0, "km/h")),
        ("4 mi/h", (4.0, "mph")),
    ],
)
def test_a_number_with_a_known_unit_is_read(text: str, pair: tuple[float, str]) -> None:
    assert units.read(text, FIELD, "mph") == pair


@pytest.mark.parametrize(
    ("text", "allowed", "pair"),
    [
        ("42in", ("in", "cm"), (42.0, "in")),
        ('42"', ("in", "cm"), (42.0, "in")),
        ("42 pulg", ("in", "cm"), (42.0, "in")),
        ("40 pies", ("ft", "m"), (40.0, "ft")),
        ("25 %", ("%", "1"), (25.0, "%")),
        ("25 por ciento", ("%", "1"), (25.0, "%")),
        ("6 %", ("slope %", "deg"), (6.0, "slope %")),
        ("1100/min", ("1/min", "1/s"), (1100.0, "1/min")),
        ("1100 strokes/min", ("1/min", "1/s"), (1100.0, "1/min")),
        ("10 ft²", ("ft^2", "m^2"), (10.0, "ft^2")),
        ("10 ft2", ("ft^2", "m^2"), (10.0, "ft^2")),
        ("8 kernels/ft2", ("1/ft^2",), (8.0, "1/ft^2")),
        ("2 bu per acre", ("bu/ac", "kg/ha"), (2.0, "bu/ac")),
        ("$8.50", ("$/bu", "$/t"), (8.5, "$/bu")),
        ("$8.50/bu", ("$/bu", "$/t"), (8.5, "$/bu")),
        ("8.50 $/bu", ("$/bu", "$/t"), (8.5, "$/bu")),
        ("68 °F", ("degF", "degC"), (68.0, "degF")),
        ("1e3 lb", ("lb",), (1000.0, "lb")),
    ],
)
def test_people_write_units_in_their_own_ways(
    text: str, allowed: tuple[str, ...], pair: tuple[float, str]
) -> None:
    assert units.read(text, allowed, allowed[0]) == pair


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("", "nothing_typed"),
        ("   ", "nothing_typed"),
        ("9**9**9", "no_arithmetic"),
        ("10**99", "no_arithmetic"),
        ("1/2", "no_arithmetic"),
        ("3-4 mph", "no_arithmetic"),
        ("(3)", "no_number"),
        ("nan", "not_a_number"),
        ("-inf", "not_a_number"),
        ("Infinity mph", "not_a_number"),
        ("mph", "no_number"),
        ("½", "no_number"),
        ("٣", "no_number"),
        ("4 5 mph", "several_numbers"),
        ("4½", "several_numbers"),
        ("0x10", "several_numbers"),
        ("1_000", "several_numbers"),
        ("5,500", "comma_unclear"),
        ("5,5,5", "comma_unclear"),
        ("1.000,5", "comma_unclear"),
        ("1,000.5", "comma_unclear"),
        ("5 furlong", "unknown_unit"),
        ("5 mph mph", "unknown_unit"),
        ("5;import os", "unknown_unit"),
        ("1" * 61, "text_too_long"),
    ],
)
def test_anything_else_is_refused_by_its_own_key(text: str, key: str) -> None:
    with pytest.raises(NotUnderstood) as refused:
        units.read(text, FIELD, "mph")
    assert refused.value.key == key


@pytest.mark.parametrize("text", ["1e99", "-1e13", "9e999", "1" * 40])
def test_sizes_that_nobody_means_are_refused(text: str) -> None:
    with pytest.raises(OutOfRange, match="size_not_meant"):
        units.read(text, FIELD, "mph")


@pytest.mark.parametrize(
    ("text", "key"), [("30 lb", "wrong_dimension"), ("30", "unit_missing")]
)
def test_units_of_something_else_are_refused(text: str, key: str) -> None:
    with pytest.raises(WrongUnit, match=key):
        units.read(text, FIELD, None)


@pytest.mark.parametrize("text", ["5,5 mph", "5,500", ","])
def test_strict_reading_refuses_every_comma(text: str) -> None:
    with pytest.raises(NotUnderstood, match="no_comma_here"):
        units.read(text, FIELD, "mph", strict=True)


@given(text=st.text(max_size=80))
def test_no_text_breaks_the_reader(text: str) -> None:
    try:
        value, label = units.read(text, FIELD, "mph")
    except (NotUnderstood, WrongUnit, OutOfRange):
        return
    assert abs(value) <= 1e12
    assert label in FIELD
