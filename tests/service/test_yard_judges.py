"""Values measured in the yard, judged against what is printed or worked by hand."""

from typing import Any

import pytest

from academy.catalog import headers
from academy.errors import NotUnderstood, OutOfRange, WrongUnit
from academy.language import Reader
from academy.service.yard_judges import Judged, judged

FLEX = headers.load("flex35")
ENGLISH, SPANISH = Reader("en", "us"), Reader("es", "metric")


def _judged(judge: str, **entered: Any) -> Judged:
    return judged(judge, entered, FLEX)


# Michigan State University Extension: 1/32 in (0.8 mm) or less, without binding
@pytest.mark.parametrize(
    ("gap", "free", "right"),
    [
        ([0.8, "mm"], "yes", True),
        ([0.9, "mm"], "yes", False),
        ([0.031, "in"], "yes", True),
        ([0.04, "in"], "yes", False),
        ([0.5, "mm"], "no", False),
        ([0.05, "cm"], "yes", True),
    ],
)
def test_a_hold_down_gap_is_narrow_and_the_knife_free(
    gap: list[Any], free: str, right: bool
) -> None:
    assert _judged("hold-down-gap", gap=gap, free=free).right is right


def test_a_wide_gap_says_what_to_do_in_the_unit_it_was_typed_in() -> None:
    found = _judged("hold-down-gap", gap=[0.9, "mm"], free="yes")
    assert found.said(ENGLISH).startswith("0.9 mm: too wide, put it right and measure")
    assert "0.8 mm or less" in found.said(ENGLISH)
    assert found.said(SPANISH).startswith("0.9 mm: demasiado")


# Nebraska Extension: normal 125-150 F (52-66 C); farms.com: above 180 F (82 C) damage,
# 300 F (149 C) shut down
@pytest.mark.parametrize(
    ("heat", "right", "told"),
    [
        ([40, "degC"], False, "cold"),
        ([52, "degC"], True, "normal"),
        ([66, "degC"], True, "normal"),
        ([125, "degF"], True, "normal"),
        ([150, "degF"], True, "normal"),
        ([75, "degC"], True, "warmer"),
        ([82, "degC"], True, "warmer"),
        ([83, "degC"], False, "too hot"),
        ([181, "degF"], False, "too hot"),
        ([149, "degC"], False, "shut the machine down"),
        ([320, "degF"], False, "shut the machine down"),
    ],
)
def test_a_bearing_is_read_by_its_bands(
    heat: list[Any], right: bool, told: str
) -> None:
    found = _judged("bearing-temperature", temperature=heat)
    assert found.right is right
    assert told in found.said(ENGLISH)


# Hanna, Iowa State: fingers no closer than 2 in (50.8 mm) to the raised bar
@pytest.mark.parametrize(
    ("clearance", "right"),
    [([2, "in"], True), ([1.9, "in"], False), ([51, "mm"], True), ([50, "mm"], False)],
)
def test_tines_stay_two_inches_off_the_raised_bar(
    clearance: list[Any], right: bool
) -> None:
    assert _judged("tine-clearance", clearance=clearance).right is right


@pytest.mark.parametrize(
    ("low", "high", "reading", "right"),
    [
        ([200, "lbf"], [300, "lbf"], [250, "lbf"], True),
        ([200, "lbf"], [300, "lbf"], [300, "lbf"], True),
        ([200, "lbf"], [300, "lbf"], [310, "lbf"], False),
        # 1 lbf = 4.4482216 N by definition: 1200 N is 269.8 lbf, 1400 N is 314.7
        ([200, "lbf"], [300, "lbf"], [1200, "N"], True),
        ([200, "lbf"], [300, "lbf"], [1400, "N"], False),
        # 1 bar = 100 000 Pa, 1 psi = 6894.757 Pa: 40 bar is 580.2 psi
        ([40, "bar"], [50, "bar"], [600, "psi"], True),
        ([40, "bar"], [50, "bar"], [580, "psi"], False),
    ],
)
def test_ground_pressure_lies_in_the_range_of_the_machines_own_book(
    low: list[Any], high: list[Any], reading: list[Any], right: bool
) -> None:
    found = _judged("by-the-book", book_low=low, book_high=high, reading=reading)
    assert found.right is right


def test_a_book_in_other_units_than_the_reading_is_refused() -> None:
    with pytest.raises(WrongUnit, match="book_measures_otherwise"):
        _judged(
            "by-the-book",
            book_low=[200, "lbf"],
            book_high=[300, "lbf"],
            reading=[40, "bar"],
        )
    with pytest.raises(NotUnderstood, match="book_range_turned"):
        _judged(
            "by-the-book",
            book_low=[300, "lbf"],
            book_high=[200, "lbf"],
            reading=[250, "lbf"],
        )


KNIFE = {
    "fitted_sections": "coarse",
    "spare_sections": "coarse",
    "fitted_pitch": [3, "in"],
    "spare_pitch": [76, "mm"],  # 76.2 mm less a reading's 0.2
    "fitted_length": [10.6, "m"],
    "spare_length": [10.6, "m"],
    "fits": "yes",
}


@pytest.mark.parametrize(
    ("change", "right", "told"),
    [
        ({}, True, "match"),
        ({"fits": "no"}, False, "the person said they do not"),
        ({"spare_sections": "fine"}, False, "sections differ"),
        ({"spare_sections": "fine", "fits": "no"}, True, "have one that does"),
        ({"spare_pitch": [38, "mm"], "fits": "no"}, True, "3 in fitted, 38 mm spare"),
        ({"spare_length": [10.5, "m"]}, False, "length differs"),
    ],
)
def test_a_spare_knife_matches_in_sections_pitch_and_length(
    change: dict[str, Any], right: bool, told: str
) -> None:
    found = _judged("spare-knife", **(KNIFE | change))
    assert found.right is right
    assert told in found.said(ENGLISH)


# By hand: 4 beans per square foot make 1 bu/ac (Missouri G1280). Means 0.5, 4.5 and 9:
# header (4.5 - 0.5)/4 = 1.0 bu/ac. Of 50 + 1 bu/ac that is 1.96 %; 2.5 % is achievable
# at the header (Nebraska 2010).
COUNTS = {
    "crop": "soybean",
    "ahead": [1, 0, 1, 0],
    "under": [4, 5, 4, 5],
    "behind": [9, 8, 10, 9],
    "frame_area": [1, "ft^2"],
    "cut_width": [35, "ft"],
    "discharge_width": [20, "ft"],
    "crop_yield": [50, "bu/ac"],
    "own": [1.0, "bu/ac"],
    "verdict": "good",
}


@pytest.mark.parametrize(
    ("change", "right", "told"),
    [
        ({}, True, "2.0 % of the crop"),
        ({"own": [1.3, "bu/ac"]}, False, "is off"),
        # 60 lb of 0.45359237 kg on an acre of 4046.8564 m²: 67.25 kg/ha
        ({"own": [67.2, "kg/ha"]}, True, "67.2 kg/ha is right"),
        ({"verdict": "change"}, False, "said otherwise"),
        # means 28.5 and 0.5: 28 beans are 7 bu/ac, of 57 bu/ac 12 %: too much
        (
            {
                "under": [28, 29, 28, 29],
                "behind": [40, 40, 40, 40],
                "own": [7, "bu/ac"],
                "verdict": "change",
            },
            True,
            "12.3 % is lost, more than 2.5 %",
        ),
        # means 4 and 0.5: 3.5 beans are 0.875 bu/ac, which people write as 0.9
        (
            {"under": [4, 4, 4, 4], "behind": [8, 8, 8, 8], "own": [0.9, "bu/ac"]},
            True,
            "0.9 bu/ac is right",
        ),
    ],
)
def test_a_counted_loss_checks_figure_and_verdict(
    change: dict[str, Any], right: bool, told: str
) -> None:
    found = _judged("loss-check", **(COUNTS | change))
    assert found.right is right
    assert told in found.said(ENGLISH)


def test_wheat_is_held_against_the_total_that_is_known_for_it() -> None:
    # 20 kernels per square foot make 1 bu/ac (smallgrains 2003): means 0, 20, 20 leave
    # 1 bu/ac at the header and nothing behind; 1 of 50 is 2 %, 3 % is acceptable
    found = _judged(
        "loss-check",
        **(
            COUNTS
            | {
                "crop": "wheat",
                "ahead": [0, 0, 0, 0],
                "under": [20, 20, 20, 20],
                "behind": [20, 20, 20, 20],
                "crop_yield": [49, "bu/ac"],
            }
        ),
    )
    assert found.right
    assert "2.0 % is lost; up to 3.0 %" in found.said(ENGLISH)


def test_too_few_frames_and_fewer_seeds_farther_back_are_refused() -> None:
    with pytest.raises(NotUnderstood, match="too_few_frames"):
        _judged("loss-check", **(COUNTS | {"under": [4, 5, 4]}))
    with pytest.raises(OutOfRange, match="fewer_seeds_farther_back"):
        _judged("loss-check", **(COUNTS | {"under": [0, 0, 0, 1]}))
