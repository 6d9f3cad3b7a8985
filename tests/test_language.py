"""Words for a reader: numbers, units, dates and the sentences of errors."""

from datetime import UTC, date, datetime

import pytest
from together import together

from academy import language, units
from academy.errors import AcademyError, ContentError, OutOfRange, WrongUnit
from academy.language import LANGUAGES, Language, Reader

ENGLISH, SPANISH = Reader("en", "us"), Reader("es", "us")
METRIC = Reader("es", "metric")
# 4.5 mph = 2.01168 m/s (mile of 1609.344 m) = 7.242 km/h, by hand
SPEED = 4.5 * 1609.344 / 3600


@pytest.mark.parametrize(
    ("value_si", "kind", "reader", "words"),
    [
        (SPEED, "ground_speed", ENGLISH, "4.5 mph"),
        (SPEED, "ground_speed", METRIC, "7.2 km/h"),
        (10 * 0.0254, "short_length", ENGLISH, "10.0 in"),
        (10 * 0.0254, "short_length", SPANISH, "10.0 pulg"),
        (0.25, "share", ENGLISH, "25.0 %"),
        (1.25, "ratio", METRIC, "1.25"),
        (0.1, "hour_cost", SPANISH, "$360/h"),
        (2.0, "money", ENGLISH, "$2.00"),
        (-2.0, "money", ENGLISH, "-$2.00"),
        (1234567.0, "power", METRIC, "1,235 kW"),
        (-1e-9, "share", ENGLISH, "0.0 %"),
    ],
)
def test_a_value_is_shown_in_the_readers_words(
    value_si: float, kind: str, reader: Reader, words: str
) -> None:
    assert language.show(value_si, kind, reader) == words


def test_a_loss_is_shown_in_the_crops_bushels() -> None:
    # 1 bu/ac of 60-lb bushels: 60 * 0.45359237 kg on 4046.8564224 m²
    lost = 60 * 0.45359237 / 4046.8564224
    bushel = 60 * 0.45359237
    assert language.show(lost, "loss_mass", ENGLISH, bushel) == "1.00 bu/ac"
    assert language.show(lost, "loss_mass", SPANISH, bushel) == "1.00 bu/acre"
    assert language.show(lost, "loss_mass", METRIC) == "67 kg/ha"
    with pytest.raises(WrongUnit, match="bushel_needs_crop"):
        language.show(lost, "loss_mass", ENGLISH)


def test_a_quantity_is_shown_in_any_unit_of_its_kind() -> None:
    q = units.quantity(4.5, "mph")
    assert language.show_quantity(q, "ground_speed", METRIC) == "7.2 km/h"
    with pytest.raises(WrongUnit, match="wrong_dimension"):
        language.show_quantity(q, "share", METRIC)


@together("code", LANGUAGES)
@together("label", sorted(units.LABELS - {"1"}))
def test_every_unit_word_can_be_typed_back(label: str, code: Language) -> None:
    word = language.unit_word(label, code)
    assert units.read(f"4.5 {word}", (label,), None) == (4.5, label)


def test_a_shown_number_reads_back_in_both_languages() -> None:
    for reader in (ENGLISH, SPANISH, METRIC):
        text = language.show(SPEED, "ground_speed", reader)
        value, label = units.read(text, units.labels_for("ground_speed"), None)
        assert units.to_si(value, label) == pytest.approx(SPEED, rel=0.01)


def test_spanish_words_come_from_the_po_files() -> None:
    assert language.gettext("reel speed", "es") == "velocidad del molinete"
    assert language.gettext("reel speed", "en") == "reel speed"
    assert language.gettext("", "es") == ""


def test_english_counts_one_and_many() -> None:
    said = [language.ngettext("seed", "seeds", n, "en") for n in (0, 1, 2)]
    assert said == ["seeds", "seed", "seeds"]


def test_dates_and_moments_stand_on_the_farms_clock() -> None:
    assert language.show_date(date(2026, 11, 29), "en") == "Nov 29, 2026"
    assert language.show_date(date(2026, 11, 29), "es") == "29 nov 2026"
    night = datetime(2026, 7, 2, 3, 30, tzinfo=UTC)  # still July 1 in Chicago, UTC-5
    moment = language.show_moment(night, "America/Chicago", "en")
    assert moment == "Jul 1, 2026 22:30"


def test_an_error_says_what_came_and_what_to_do() -> None:
    error = OutOfRange("must_be_a_fraction", name="field_efficiency", value=75.0)
    assert language.sentence_for(error, ENGLISH) == (
        "Field efficiency must be a fraction from 0 to 1, got 75. "
        "Divide a percentage by 100."
    )
    assert "«eficiencia de campo»" in language.sentence_for(error, SPANISH)


def test_an_error_names_allowed_units_in_the_readers_words() -> None:
    error = WrongUnit("wrong_dimension", unit="lb", allowed="in, ft")
    assert "pulg, pies" in language.sentence_for(error, SPANISH)


def test_values_of_an_error_are_never_read_as_a_template() -> None:
    error = WrongUnit("unknown_unit", unit="{allowed} {0}")
    assert "{allowed} {0}" in language.sentence_for(error, ENGLISH)


def test_an_unknown_key_is_loud() -> None:
    with pytest.raises(LookupError, match="never_heard_of"):
        language.sentence_for(AcademyError("never_heard_of"), ENGLISH)


def test_a_content_text_without_its_twin_is_refused() -> None:
    assert language.twin({"en": "reel", "es": "molinete"}, "es") == "molinete"
    with pytest.raises(ContentError, match="twin_missing"):
        language.twin({"en": "reel"}, "es")


METRIC, US = Reader("en", "metric"), Reader("en", "us")


def test_a_kept_figure_is_read_in_the_readers_units() -> None:
    # 1 in = 2.54 cm exactly; 40 in = 101.6 cm, three digits: 102
    assert language.show_kept(40.0, "in", METRIC) == "102 cm"
    assert language.show_kept(40.0, "in", US) == "40 in"
    # 1 ft = 0.3048 m exactly: 9.1 m = 29.8556 ft; 82 degC = 82 x 1.8 + 32 = 179.6 degF
    assert language.show_kept(9.1, "m", US) == "29.9 ft"
    assert language.show_kept(9.1, "m", METRIC) == "9.1 m"
    assert language.show_kept(82.0, "degC", US) == "180 \N{DEGREE SIGN}F"


@pytest.mark.parametrize(
    ("value", "label", "us", "metric"),
    [
        # by the definition of the inch; workshops read thousandths and thirty-seconds
        (0.03125, "in", "1/32 in", "0.8 mm"),  # 0.79375 mm
        (0.375, "in", "3/8 in", "9.5 mm"),  # 9.525 mm
        (0.76, "in", "0.76 in", "1.93 cm"),  # 1.9304 cm
        (0.2, "mm", "0.008 in", "0.2 mm"),  # 0.007874 in
        (62.0, "mm", "2.44 in", "62 mm"),  # 2.4409 in
        # a difference: 9/5 of a degree Fahrenheit in each kelvin, and no 32
        (10.0, "K", "18 \N{DEGREE SIGN}F", "10 \N{DEGREE SIGN}C"),
        (40.0, "ft", "40 ft", "12.2 m"),  # 12.192 m
    ],
)
def test_a_kept_figure_has_the_digits_people_read(
    value: float, label: str, us: str, metric: str
) -> None:
    assert language.show_kept(value, label, US) == us
    assert language.show_kept(value, label, METRIC) == metric


@pytest.mark.parametrize(
    ("inches", "kind", "metric"),
    [
        # by the definition of the inch: 83.82, 9.652, 19.05 and 22.86 cm
        (33, "height", "84 cm"),
        (3.8, "height", "9.7 cm"),
        (7.5, "height", "19.1 cm"),
        (9, "height", "23 cm"),
        # of what sums are made: 106.68, 24.13 cm, 12.192 and 3.048 m
        (42, "short_length", "107 cm"),
        (9.5, "short_length", "24.1 cm"),
        (480, "length", "12.2 m"),
        (120, "length", "3.05 m"),
    ],
)
def test_lengths_are_read_as_on_a_tape(inches: float, kind: str, metric: str) -> None:
    assert language.show(inches * 0.0254, kind, METRIC) == metric


def test_a_kept_rate_of_straw_is_never_read_in_bushels():
    # 1 lb = 0.45359237 kg exactly: 10 t/h = 10 000 / 0.45359237 / 60 = 367.4 lb/min
    shown = language.show_kept(10.0, "t/h", Reader("en", "us"), 60 * 0.45359237)
    assert shown == "367 lb/min"


def test_a_kept_price_per_bushel_needs_the_bushel():
    # 11 $/bu over a bushel of 60 lb = 27.2155422 kg: 404.18 $/t, three digits: 404
    metric = Reader("en", "metric")
    assert language.show_kept(11.0, "$/bu", metric, 60 * 0.45359237) == "$404/t"
    assert language.show_kept(11.0, "$/bu", metric) == "$11/bu"


@pytest.mark.parametrize("value", [1e15, -3.21e120, 1.235e300])
def test_a_number_too_long_to_read_is_written_with_a_power_of_ten(value):
    for written in (language.plain_number(value, each) for each in language.LANGUAGES):
        assert float(written) == pytest.approx(value, rel=1e-3)
        assert len(written) < 12
