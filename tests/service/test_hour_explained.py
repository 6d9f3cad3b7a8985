"""The day of a crop in a reader's own words."""

from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest

from academy.catalog import crops, days, hours, isotherms, parts
from academy.engine import hour
from academy.engine.stand import toughness
from academy.errors import NotFound, OutOfRange
from academy.language import Reader
from academy.service import hour_explained
from academy.service.hour_explained import HourAsked, day_of, day_picture

READERS = [Reader(lang, system) for lang in ("en", "es") for system in ("us", "metric")]
TWO = 14.0  # hours; the field is sampled then


@pytest.mark.parametrize("crop", crops.known())
@pytest.mark.parametrize("day", days.load())
def test_every_crop_on_every_day_can_be_drawn(crop: str, day: str) -> None:
    shown = day_picture(HourAsked(crop, day, at=TWO * 3600.0), Reader("es", "metric"))
    assert ElementTree.fromstring(shown.svg) is not None  # noqa: S314
    assert "%(" not in shown.description + shown.title
    assert [row[0] for row in shown.table.rows] == ["6", "9", "12", "15", "18", "21"]


@pytest.mark.parametrize("reader", READERS)
def test_air_is_told_in_the_readers_units(reader: Reader) -> None:
    shown = day_picture(HourAsked("soybean"), reader)
    # 12 °C at 6 in the morning of the ordinary day: 53.6 °F
    assert shown.table.rows[0][1] == {"us": "54 °F", "metric": "12 °C"}[reader.units]


@pytest.mark.parametrize("crop", crops.known())
def test_at_two_of_an_ordinary_day_grain_is_as_it_was_sampled(crop: str) -> None:
    made = day_of(HourAsked(crop, moisture=0.14))
    place = round(TWO / 24.0 * hour.MOMENTS)
    assert made.grain[place] == pytest.approx(0.14)


def test_open_hours_are_where_nothing_closes_the_window() -> None:
    made = day_of(HourAsked("soybean"))
    times = np.arange(hour.MOMENTS) * 24.0 / hour.MOMENTS
    inside = np.zeros(hour.MOMENTS, dtype=bool)
    for start, end in made.open_hours:
        inside |= (times >= start) & (times < end)
    assert (inside == (made.window.open & (times >= 6.0))).all()


def test_the_tough_line_is_where_stems_turn_too_tough() -> None:
    made = day_of(HourAsked("canola"))
    line = hour_explained.tough_moisture(made.stand)
    assert line is not None
    at_line = replace(made.stand, stem_moisture=line)
    held = toughness(at_line, parts.load("stand").values)
    assert held == pytest.approx(parts.load("hour").values.tough_limit)
    assert hour_explained.tough_moisture(replace(made.stand, green_stems=0.9)) is None


def test_the_form_is_named_and_a_lent_one_is_owned_up_to() -> None:
    reader = Reader("en", "us")
    assert "Halsey" in hour_explained.model_note("soybean", reader)
    assert "No form" not in hour_explained.model_note("soybean", reader)
    note = hour_explained.model_note("canola", reader)
    assert "No form for canola was found: it swings as soybean does." in note
    assert "canola" not in isotherms.load().crops


def test_a_lodged_field_swings_less_through_the_day() -> None:
    standing, flat = (day_of(HourAsked("soybean", lodging=x)) for x in (0.0, 1.0))
    assert np.ptp(flat.grain) < np.ptp(standing.grain)


def test_what_is_not_there_is_refused() -> None:
    with pytest.raises(NotFound):
        day_of(HourAsked("soybean", "blizzard"))
    with pytest.raises(NotFound):
        day_of(HourAsked("cotton"))
    with pytest.raises(OutOfRange):
        day_of(HourAsked("soybean", moisture=1.2))


def test_unfit_words_turn_at_the_limits_of_the_window() -> None:
    reader, soybean = Reader("en", "us"), hours.hours_of("soybean")
    low, high = float(soybean.lowest_moisture), float(soybean.highest_moisture)
    for moisture in (low, high):
        assert hour_explained.unfit_told("soybean", moisture, 0.0, reader) == ()
    (dry,) = hour_explained.unfit_told("soybean", low - 0.001, 0.0, reader)
    (damp,) = hour_explained.unfit_told("soybean", high + 0.001, 1.0, reader)
    assert dry == "Not fit to cut: too dry."
    assert damp.startswith("Not fit to cut: too damp, stems too tough.")
