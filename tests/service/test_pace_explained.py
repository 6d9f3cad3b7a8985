"""Cost against speed in a reader's words, and money by area, hour and field."""

from xml.etree import ElementTree

import pytest

from academy.catalog import crops, headers
from academy.language import Reader
from academy.service.bench_choice import plain_facts, usual
from academy.service.pace_explained import Late, money_by, pace_picture, season_of
from academy.service.problems import problem_of

ACRE = 4046.8564224
READERS = [Reader(lang, system) for lang in ("en", "es") for system in ("us", "metric")]


def ordinary(crop: str = "soybean"):
    return problem_of(plain_facts(usual({"crop": crop})), ("ground_speed",))


@pytest.mark.parametrize("reader", READERS)
def test_the_best_speed_and_its_range_are_drawn_and_said(reader: Reader) -> None:
    problem = ordinary()
    shown = pace_picture(problem, problem.as_found, reader)
    svg = ElementTree.fromstring(shown.svg)  # noqa: S314
    assert any("likely" in e.get("class", "").split() for e in svg.iter())
    unit = {"us": "mph", "metric": "km/h"}[reader.units]
    assert f" {unit}" in shown.description
    assert "%(" not in shown.svg + shown.description
    yours = {"en": "Yours", "es": "Lo suyo"}[reader.language]
    assert yours in shown.description


def test_what_is_counted_in_is_said() -> None:
    problem, reader = ordinary(), Reader("en", "us")
    late = pace_picture(problem, problem.as_found, reader, season_of("soybean"))
    alone = pace_picture(problem, problem.as_found, reader)
    assert "late season counted in" in late.title
    assert "late season not counted in" in alone.title


def test_a_season_is_counted_only_with_a_published_figure_or_the_farms_own() -> None:
    for crop in crops.known():
        season = season_of(crop)
        assert (season is None) == (crops.load(crop).delay is None)
    own = season_of("wheat", Late(daily_loss=1e-7, area=1e6))
    assert own is not None
    assert (own.timeliness, own.area) == (1e-7, 1e6)
    # Illinois, by variety: 0.6 to 1.0 % a day (Schuler 2005)
    soybean = season_of("soybean")
    assert soybean is not None
    assert 0.006 <= soybean.timeliness * 86400 <= 0.010


def test_money_by_hour_and_field_by_hand() -> None:
    problem = ordinary()
    read = problem.run(problem.as_found, problem.values)
    table = money_by(read, Reader("en", "us"), field_area=100 * ACRE)
    machine = next(row for row in table.rows if row[0] == "Machine hours")
    # an hour of the machine costs what an hour costs: $300 in the source
    assert machine[2] == "$300/h"
    # width in ft, speed in mph, 70 %: ac/h is W v e/8.25
    width = headers.load(usual({}).header).measures.width.si()[1] / 0.3048
    speed = float(problem.as_found.ground_speed) / 0.44704
    by_area = 300 / (width * speed * 0.70 / 8.25)
    assert float(machine[1].strip("$/ac")) == pytest.approx(by_area, abs=0.006)
    field = float(machine[3].strip("$").replace(",", ""))
    assert field == pytest.approx(100 * by_area, abs=0.6)
    assert table.head[3] == "For a field of 100.0 ac"


@pytest.mark.parametrize("reader", READERS)
def test_the_kinds_of_cost_add_up(reader: Reader) -> None:
    problem = ordinary("wheat")
    read = problem.run(problem.as_found, problem.values)
    rows = money_by(read, reader).rows
    by_area = [float(row[1].split("/")[0].strip("$").replace(",", "")) for row in rows]
    assert sum(by_area[:-1]) == pytest.approx(by_area[-1], abs=0.03)
