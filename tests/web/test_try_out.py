"""The try-out bench: every crop and carriage, nonsense refused, laws on the page."""

import re
from itertools import product
from typing import Any
from urllib.parse import urlencode

import pytest

from academy.catalog import crops, headers
from academy.records.db import Database
from academy.service import bench_choice

NONSENSE = ["9**9**9", "nan", "-inf", "", "5,5,5", "12 kg", "-3", "1e99", "<b>"]
CARRIED = ("ground", "wheels", "sensing")


@pytest.fixture
def database(sqlite_database: Database) -> Database:
    """Nothing here reads a row of anybody's; tests/browser opens them on both kinds."""
    return sqlite_database


def bench(phone: Any, **given: str) -> Any:
    return phone.get(f"/try-out?{urlencode(given)}")


def typed(crop: str, **changed: str) -> dict[str, str]:
    """Everything as the bench lays it out in SI terms of the US reader."""
    from academy import units

    chosen = bench_choice.usual({"crop": crop})
    mass = crops.load(crop).bushel
    parts = bench_choice.parts_of(chosen, "en")
    values = {kind.name: kind.start for part in parts for kind in part.kinds}
    figures = [figure for part in parts for figure in part.figures]
    for one in (*bench_choice.figures(chosen, "en"), *figures):
        label, _ = units.KINDS[one.kind].shown("us")
        values[one.name] = f"{float(units.from_si(one.start, label, mass)):.4f}"
    plain = {"units": "us", "crop": crop, "header": chosen.header}
    plain |= {"ground": chosen.ground, "carried": chosen.carried}
    plain |= {"day": chosen.day, "hour": chosen.hour}
    return plain | values | changed


def reading(text: str, name: str) -> float:
    cell = re.search(rf">\s*{re.escape(name)}\s*</t[hd]>\s*<td[^>]*>([^<]*)<", text)
    assert cell is not None, name
    found = re.search(r"-?\d[\d,.]*", cell[1])
    assert found is not None
    return float(found[0].replace(",", ""))


@pytest.mark.parametrize(
    ("crop", "header", "carried"),
    list(product(crops.known(), headers.known(), CARRIED)),
)
def test_every_choice_lays_out_a_bench(
    phone: Any, crop: str, header: str, carried: str
) -> None:
    answer = bench(phone, crop=crop, header=header, carried=carried)
    text = answer.get_data(as_text=True)
    assert answer.status_code == 200
    blind = not headers.load(header).parts.senses_off_ground_without_wheels
    # loss strip, side, ground, knife, mat, day; six controls have a cost
    assert text.count("<svg") == 6 + 6
    said = "cannot sense its height off the ground" in text
    assert said == (carried == "sensing" and blind)


@pytest.mark.parametrize("name", ["ground_speed", "cut_height", "moisture", "slope"])
@pytest.mark.parametrize("nonsense", NONSENSE)
def test_nonsense_is_refused_and_kept(phone: Any, name: str, nonsense: str) -> None:
    answer = bench(phone, **typed("soybean", **{name: nonsense}))
    assert answer.status_code == 422
    assert 'role="alert"' in answer.get_data(as_text=True)


@pytest.mark.parametrize("name", ["crop", "header", "ground", "carried"])
def test_what_is_not_there_is_refused(phone: Any, name: str) -> None:
    assert bench(phone, **{name: "moonbean"}).status_code in (404, 422)


def test_the_reel_index_by_hand(phone: Any) -> None:
    # 42 in over the tips at 36 rpm: 42 in x pi x 36/min = 4750 in/min = 4.498 mph;
    # at 3 mph that is an index of 1.50.
    text = bench(phone, **typed("soybean", ground_speed="3", reel_rate="36")).get_data(
        as_text=True
    )
    assert reading(text, "Reel index") == pytest.approx(1.50, abs=0.005)


def test_area_rate_by_hand(phone: Any) -> None:
    # 40 ft at 3 mph and 70 %: 3 x 40 x 0.7/8.25 = 10.2 ac/h [iowa-pm696]
    text = bench(phone, **typed("soybean", ground_speed="3")).get_data(as_text=True)
    assert reading(text, "Field capacity") == pytest.approx(10.2, abs=0.05)


def test_faster_means_a_longer_advance_and_higher_means_less_straw(phone: Any) -> None:
    slow, fast = (
        bench(phone, **typed("wheat", ground_speed=mph)).get_data(as_text=True)
        for mph in ("3", "5")
    )
    name = "Advance per knife stroke"
    assert reading(fast, name) == pytest.approx(reading(slow, name) * 5 / 3, rel=0.01)
    low, high = (
        bench(phone, **typed("wheat", cut_height=inch)).get_data(as_text=True)
        for inch in ("6", "14")
    )
    assert reading(high, "Engine load") < reading(low, "Engine load")


def test_the_bench_gives_no_list_of_advice(phone: Any) -> None:
    text = bench(phone, **typed("soybean", reel_rate="55")).get_data(as_text=True)
    assert "Turn the reel slower" not in text


STATES = [
    ("knife__hold_down_clearance", "0.15", "Stems can fold"),
    ("knife__bearing_temperature", "310", "hot enough to burn"),  # 149 °C is 300 °F
    ("wings__left_wing", "travelling", "not in its working state"),
    ("flow__left_rear_tension", "0.1", "tension lies off its marks"),
    ("reel_sections__centre_arm", "4", "out of step"),
    ("flow__left_roller_drag", "225", "slips on its roller"),  # lbf; 1 kN
]


@pytest.mark.parametrize(("name", "value", "said"), STATES)
def test_a_part_out_of_order_shows_and_stays_open(
    phone: Any, name: str, value: str, said: str
) -> None:
    sound = bench(phone, **typed("soybean")).get_data(as_text=True)
    text = bench(phone, **typed("soybean", **{name: value})).get_data(as_text=True)
    assert said not in sound
    assert said in text
    assert "<details open" not in re.sub(r' class="[^"]*"', "", sound)
    assert re.sub(r' class="[^"]*"', "", text).count("<details open") == 1


@pytest.mark.parametrize("header", headers.known())
def test_a_drum_in_steps_is_chosen_and_another_typed(phone: Any, header: str) -> None:
    stepped = headers.load(header).parts.drum_speed == "stepped"
    text = bench(phone, header=header).get_data(as_text=True)
    drum = re.search(r'<(input|select)[^>]*name="flow__drum_rate"', text)
    assert drum is not None
    assert drum[1] == ("select" if stepped else "input")


@pytest.mark.parametrize("crop", crops.known())
def test_no_day_or_hour_that_is_offered_lays_out_what_is_refused(crop: str) -> None:
    offered = bench_choice.choices("en")
    for (day, _), (hour, _) in product(offered["day"], offered["hour"]):
        chosen = bench_choice.usual({"crop": crop, "day": day, "hour": hour})
        for part in bench_choice.parts_of(chosen, "en"):
            for figure in part.figures:
                assert figure.low <= figure.start <= figure.high, (day, hour, figure)


def test_stems_drier_than_usual_are_met_on_the_bench(phone: Any) -> None:
    answer = bench(phone, crop="soybean", day="dry-windy", hour="18")
    assert answer.status_code == 200


GRAIN = [
    ({"threshing__rotor_ratio": "1.5"}, "More grain is split"),
    ({"moisture": "15.8", "threshing__rotor_ratio": "1.5"}, "More grain is crushed"),
    ({"threshing__rotor_ratio": "0.6"}, "stay whole"),
    ({"moisture": "15.8"}, "stay whole"),
]


@pytest.mark.parametrize(("changed", "said"), GRAIN)
def test_rotor_and_moisture_say_what_becomes_of_the_grain(
    phone: Any, changed: dict[str, str], said: str
) -> None:
    plain = bench(phone, **typed("soybean")).get_data(as_text=True)
    text = bench(phone, **typed("soybean", **changed)).get_data(as_text=True)
    assert said not in plain
    assert said in text


def test_waiting_shows_what_fell_before_the_cut(phone: Any) -> None:
    name = "Lost by waiting, before the cut (not counted)"
    plain, late = (
        bench(phone, **typed("soybean", hour__delay=days)).get_data(as_text=True)
        for days in ("0", "14")
    )
    assert reading(plain, name) == 0.0
    # 14 days at 0.2 points, 0.27 of them before the cut: a mean of daily_loss by hand
    assert reading(late, name) == pytest.approx(14 * 0.2 * 0.27, rel=0.1)


def test_a_heavy_wing_lies_heavy_in_the_picture_of_the_ground(phone: Any) -> None:
    text = bench(phone, **typed("soybean", wings__left_weight="3")).get_data(
        as_text=True
    )
    drawn = text[text.index("bench-front-title") :]
    drawn = drawn[: drawn.index("</svg>")]
    assert "41 lb/ft" in drawn or "42 lb/ft" in drawn  # three times 14
    assert "14 lb/ft" in drawn


def test_a_hanging_wing_is_drawn_by_the_picture_of_the_wings(phone: Any) -> None:
    text = bench(phone, **typed("soybean", wings__left_wing="travelling")).get_data(
        as_text=True
    )
    assert "bench-wings" in text
    assert "bench-front" not in text


def test_a_locked_bar_leaves_the_ground_in_picture_and_loses_more(phone: Any) -> None:
    free, locked = (
        bench(phone, **typed("soybean", ground="rough", bar__freedom=freedom)).get_data(
            as_text=True
        )
        for freedom in ("free", "locked")
    )
    assert reading(locked, "All losses") > reading(free, "All losses")
    assert "Weight on the ground, left wing" in free
    assert "Weight on the ground, left wing" not in locked  # the frame's, not told
    name = "off the ground"
    drawn = [text[text.index("bench-front-title") :] for text in (free, locked)]
    free_off, locked_off = (reading(text, name) for text in drawn)
    assert locked_off > free_off


def test_a_control_that_hunts_is_told_and_not_drawn(phone: Any) -> None:
    off = {"carried": "sensing", "cut_height": "9", "bar__control_response": "3.9"}
    text = bench(phone, **typed("soybean", **off)).get_data(as_text=True)
    assert "hunts: the header swings" in text
    assert "bench-front" not in text


def test_lateness_counts_where_it_was_published_or_is_ones_own(phone: Any) -> None:
    # a K of timeliness is published for soybean, none for canola
    counted, alone = "a late season counted in", "a late season not counted in"
    assert counted in bench(phone, **typed("soybean")).get_data(as_text=True)
    assert alone in bench(phone, **typed("canola")).get_data(as_text=True)
    own = typed("canola", daily_loss="0.01")
    assert counted in bench(phone, **own).get_data(as_text=True)
    none = typed("soybean", daily_loss="0")
    assert alone in bench(phone, **none).get_data(as_text=True)
