"""The field calculators against printed and hand-worked figures."""

import re
from typing import Any
from urllib.parse import urlencode

import pytest

from academy.records.db import Database

REEL = {"units": "us", "ground_speed": "3", "reel_diameter": "42", "reel_index": "1.5"}
LOSS = {
    "units": "us",
    "crop": "soybean",
    "frame_area": "1",
    "ahead": "1.75",
    "under": "10.25",
    "behind": "10.25",
    "cut_width": "30",
    "discharge_width": "5",
    "crop_yield": "50",
    "price": "10",
}
PACE = {
    "units": "us",
    "crop": "soybean",
    "width": "40",
    "ground_speed": "3",
    "field_efficiency": "100",
    "faster_by": "1",
    "field_area": "145.454545",
    "crop_yield": "60",
    "hour_cost": "290.909091",
}
AIR = {
    "units": "us",
    "crop": "soybean",
    "air_temperature": "70",
    "relative_humidity": "50",
}
NONSENSE = ["9**9**9", "nan", "-inf", "", "  ", "5,500", "12 kg", "-3", "1e99", "<b>"]


@pytest.fixture
def database(sqlite_database: Database) -> Database:
    """Nothing here reads a row of anybody's; tests/browser opens them on both kinds."""
    return sqlite_database


def _facts(text: str) -> dict[str, str]:
    answer = text.partition('id="answer"')[2]
    rows = re.findall(r"<dt>(.*?)</dt>\s*<dd>(.*?)</dd>", answer, re.DOTALL)
    return {re.sub(r"<.*", "", dt, flags=re.DOTALL).strip(): dd for dt, dd in rows}


def _asked(phone: Any, calculator: str, given: dict[str, str]) -> Any:
    return phone.get(f"/field/{calculator}?{urlencode(given)}")


def _answer(phone: Any, calculator: str, given: dict[str, str]) -> dict[str, str]:
    answer = _asked(phone, calculator, given)
    assert answer.status_code == 200
    return _facts(answer.get_data(as_text=True))


def test_reel_speed_is_as_the_extension_service_prints_it(phone: Any) -> None:
    # Iowa State University Extension, 2005: a 42 in reel at 3 mph and 1.5 -> 36 rpm
    assert _answer(phone, "reel-speed", REEL)["Reel speed"] == "36.0 rpm"


def test_units_typed_behind_a_number_are_read(phone: Any) -> None:
    # 3 mph = 4.828 km/h and 42 in = 106.7 cm, by the definitions of mile and inch
    given = REEL | {"ground_speed": "4.828 km/h", "reel_diameter": "106.7cm"}
    assert _answer(phone, "reel-speed", given)["Reel speed"] == "36.0 rpm"


def test_one_comma_is_a_decimal_mark_and_the_number_is_repeated(phone: Any) -> None:
    facts = _answer(phone, "reel-speed", REEL | {"ground_speed": "5,5"})
    assert facts["Ground speed"] == "5.5 mph"


def test_counts_become_bushels_as_printed(phone: Any) -> None:
    # Staton, Michigan State University Extension, 2012: counts of 10, 9, 11, 11 less
    # 2, 1, 2, 2 are 8.5 beans per square foot; at 4 to the bushel that is 2.125 bu/ac
    # (he prints 2.2). Worth 2.125 x $10.
    facts = _answer(phone, "loss-check", LOSS)
    assert facts["Lost at the header"] in ("2.12 bu/ac", "2.13 bu/ac")
    assert facts["What the header's part is worth"] in ("$21.25/ac", "$21.26/ac")
    assert facts["Lost in threshing and cleaning"] == "0.00 bu/ac"


def test_straw_in_a_row_is_spread_back_over_the_cut(phone: Any) -> None:
    # six times as wide a cut as the row: of 24 seeds more behind, 4 count: 1 bu/ac
    facts = _answer(phone, "loss-check", LOSS | {"behind": "34.25"})
    assert facts["Lost in threshing and cleaning"] == "1.00 bu/ac"


def test_a_pace_is_area_hours_and_money(phone: Any) -> None:
    # by hand: 40 ft x 3 mph = 40 x 15 840 ft²/h / 43 560 = 14.545 ac/h; 145.45 ac take
    # 10 h; $290.91/h is $20/ac; at 4 mph 7.5 h and $15/ac
    facts = _answer(phone, "capacity", PACE)
    assert facts["Field capacity"] == "14.5 ac/h"
    assert facts["Hours for the field"] == "10.0 h"
    assert facts["Grain into the tank"] == "873 bu/h"
    assert facts["Machine and operator"] == "$20.00/ac"
    assert facts["Hours saved when faster"] == "2.5 h"
    assert facts["Money saved when faster"] == "$5.00/ac"


def test_grain_comes_to_the_moisture_of_the_charts(phone: Any) -> None:
    # University of Kentucky charts: soybeans 8.8 %, corn 11.3 % at 70 °F and 50 %
    name = "Moisture the grain comes to, wet basis"
    assert _answer(phone, "damp-air", AIR)[name] == "8.8 %"
    corn = _answer(phone, "damp-air", AIR | {"crop": "corn"})[name]
    assert float(corn.removesuffix(" %")) == pytest.approx(11.3, abs=0.15)


def test_damp_air_names_its_form_and_where_it_stops(phone: Any) -> None:
    text = _asked(phone, "damp-air", AIR).get_data(as_text=True)
    assert "modified Halsey" in text
    assert "damper than the forms" not in text
    fog = _asked(phone, "damp-air", AIR | {"relative_humidity": "98"})
    assert "damper than the forms" in fog.get_data(as_text=True)


def test_damp_air_offers_only_crops_with_figures(phone: Any) -> None:
    assert "canola" not in phone.text("/field/damp-air")
    assert _asked(phone, "damp-air", AIR | {"crop": "canola"}).status_code == 422


def test_half_the_efficiency_takes_twice_the_hours(phone: Any) -> None:
    facts = _answer(phone, "capacity", PACE | {"field_efficiency": "50"})
    assert facts["Hours for the field"] == "20.0 h"


@pytest.mark.parametrize("typed", NONSENSE)
@pytest.mark.parametrize(
    ("calculator", "given", "name"),
    [
        ("reel-speed", REEL, "ground_speed"),
        ("loss-check", LOSS, "under"),
        ("capacity", PACE, "field_efficiency"),
        ("damp-air", AIR, "relative_humidity"),
    ],
)
def test_nonsense_gets_a_sentence_and_stays_typed(
    phone: Any, calculator: str, given: dict[str, str], name: str, typed: str
) -> None:
    answer = _asked(phone, calculator, given | {name: typed})
    text = answer.get_data(as_text=True)
    assert answer.status_code == 422
    sentence = re.search(f'id="{name}-error" role="alert">([^<]{{10,}})<', text)
    assert sentence
    kept = typed.replace("<", "&lt;").replace(">", "&gt;")
    assert f'name="{name}" value="{kept}"' in text
    assert 'id="answer"' not in text


def test_fewer_seeds_farther_back_are_asked_again(phone: Any) -> None:
    answer = _asked(phone, "loss-check", LOSS | {"under": "1"})
    assert answer.status_code == 422
    assert "Count again" in answer.get_data(as_text=True)
    assert 'name="under" value="1"' in answer.get_data(as_text=True)


def test_a_crop_that_was_never_offered_is_refused(phone: Any) -> None:
    answer = _asked(phone, "loss-check", LOSS | {"crop": "moss"})
    assert answer.status_code == 422


def test_a_number_keeps_its_meaning_when_units_change(phone: Any) -> None:
    phone.send("/", "/reader", units="metric")
    answer = _asked(phone, "reel-speed", REEL)  # sent when the page was in US units
    text = answer.get_data(as_text=True)
    assert 'value="3 mph"' in text
    assert _facts(text)["Ground speed"] == "4.8 km/h"  # 3 x 1.609 344
    assert _facts(text)["Reel speed"] == "36.0 rpm"


def test_every_calculator_says_only_when_parked(phone: Any) -> None:
    for path in ("", "/reel-speed", "/loss-check", "/capacity", "/damp-air"):
        assert "Only when parked, never while driving." in phone.text("/field" + path)
