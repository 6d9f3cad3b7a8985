"""Loss told apart by place, and moisture in the air: printed figures and refusals."""

import pytest

from academy.catalog import isotherms, sources
from academy.errors import AcademyError, NotFound, OutOfRange
from academy.language import LANGUAGES, Reader, sentence_for
from academy.service import grain_in_air
from academy.service.compute import Answer, arguments_of, compute

SPLIT = {
    "crop": "soybean",
    "before-count": "0",
    "header-count": "0",
    "behind-count": "0",
    "frame-area": "1ft2",
    "cut-width": "30ft",
    "discharge-width": "5ft",
}


def split(to: str | None = None, **counts: str) -> Answer:
    given = {name.replace("_", "-"): text for name, text in counts.items()}
    return compute("loss-split", SPLIT | given, to)


def air(line: str, to: str | None = None) -> Answer:
    return compute("equilibrium-moisture", arguments_of(line.split()), to)


# --- loss split


def test_michigan_frames() -> None:
    # Staton 2012: means of 10.25 beans a square foot behind the header and 1.75 in the
    # standing crop; 4 to the bushel: 1.75/4 = 0.4375 and 8.5/4 = 2.125 (he prints 2.2)
    found = split(before_count="1.75", header_count="10.25", behind_count="10.25")
    assert found.parts == pytest.approx(
        {"pre-harvest": 0.4375, "gathering": 2.125, "processing": 0.0}
    )
    assert found.unit == "bu/ac"


def test_oats_behind_a_20_ft_header() -> None:
    # School worksheet: 200 kernels in a 1 ft strip over the whole rear are 10 to the
    # square foot of the cut, 1 bu/ac; over a rear of 5 ft that is a frame of 5 ft²
    found = split(
        crop="oats",
        behind_count="200",
        frame_area="5ft2",
        cut_width="20ft",
        discharge_width="5ft",
    )
    assert found.parts["processing"] == pytest.approx(1.0)
    assert found.value == pytest.approx(1.0)


def test_straw_in_a_windrow_is_spread_back_over_the_cut() -> None:
    # Grainews: a 30 ft cut in 5 ft is 6 times as dense. 24 beans more behind are 4 over
    # the cut: 1 bu/ac
    found = split(header_count="8", behind_count="32")
    assert found.parts == pytest.approx(
        {"pre-harvest": 0.0, "gathering": 2.0, "processing": 1.0}
    )


def test_lupins_in_a_tenth_of_a_square_metre() -> None:
    # DPIRD Western Australia 2018: 7 seeds in 0.1 m² are 100 kg/ha, so a seed weighs
    # 0.01 kg/m² × 0.1 m² / 7 = 142.857 mg; five are 71.4 kg/ha
    found = split(
        "kg/ha",
        before_count="5",
        header_count="5",
        behind_count="5",
        frame_area="0.1m2",
        kernel_weight="142.857143mg",
    )
    assert found.parts["pre-harvest"] == pytest.approx(71.4, abs=0.05)
    assert found.value == pytest.approx(71.4, abs=0.05)


@pytest.mark.parametrize("crop", ["soybean", "wheat", "canola"])
def test_parts_add_up_and_leave_what_lies_behind(crop: str) -> None:
    found = split(crop=crop, before_count="3", header_count="20", behind_count="90")
    before, header, behind = found.parts.values()
    assert found.value == pytest.approx(before + header + behind, rel=1e-8)
    # six times the processing loss lies in the row, on what fell before
    assert before + header + 6 * behind == pytest.approx(before * 90 / 3, rel=1e-8)


def test_a_split_leans_on_the_counting_rule() -> None:
    found = split(before_count="1", header_count="2", behind_count="3")
    assert set(found.leans_on) == {"kernels_per_bushel_area", "bushel_mass"}
    assert found.source in sources.load()


@pytest.mark.parametrize(
    ("counts", "key"),
    [
        ({"before_count": "9", "header_count": "8"}, "fewer_seeds_farther_back"),
        ({"header_count": "9", "behind_count": "8"}, "fewer_seeds_farther_back"),
        ({"discharge_width": "31ft"}, "straw_wider_than_cut"),
        ({"discharge_width": "0ft"}, "must_be_positive"),
        ({"frame_area": "0ft2"}, "must_be_positive"),
        ({"crop": "moss"}, "no_such_grain"),
    ],
)
def test_counts_that_cannot_be_are_refused(counts: dict[str, str], key: str) -> None:
    with pytest.raises(AcademyError, match=key):
        split(**counts)


# --- equilibrium moisture


@pytest.mark.parametrize(
    ("line", "percent", "slack"),
    [
        # University of Kentucky charts: 70 °F and 50 %
        ("crop=soybean air-temperature=70degF relative-humidity=50%", 8.8, 0.1),
        ("crop=corn air-temperature=70degF relative-humidity=50%", 11.3, 0.15),
        # extension tables through a public unit test: 60 °F and 80 %
        ("crop=soybean air-temperature=60degF relative-humidity=80%", 18.3, 0.15),
        # by hand from the printed coefficients, 25 °C (see tests/engine)
        ("crop=wheat air-temperature=25degC relative-humidity=0.5", 11.8, 0.05),
        ("crop=durum air-temperature=25degC relative-humidity=80%", 15.8, 0.05),
        ("crop=barley air-temperature=25degC relative-humidity=80%", 14.9, 0.05),
        ("crop=oats air-temperature=25degC relative-humidity=80%", 14.1, 0.05),
    ],
)
def test_moisture_that_air_leads_to(line: str, percent: float, slack: float) -> None:
    found = air(line)
    assert (found.value, found.unit) == (pytest.approx(percent, abs=slack), "%")
    assert (found.evidence, found.source) == ("derived", "asabe-d245")


@pytest.mark.parametrize("crop", grain_in_air.crops())
def test_the_form_is_named_in_both_languages(crop: str) -> None:
    found = air(f"crop={crop} air-temperature=20degC relative-humidity=60%")
    form = isotherms.of(crop).form
    assert form in found.notes[0].casefold()
    assert len(found.notes) == 1


@pytest.mark.parametrize("crop", grain_in_air.crops())
def test_damper_air_than_the_highest_leads_to_no_more_and_says_so(crop: str) -> None:
    at = f"crop={crop} air-temperature=15degC relative-humidity="
    highest, fog, saturated = (air(at + share) for share in ("90%", "97%", "100%"))
    assert fog.value == highest.value == saturated.value
    assert len(highest.notes) == 1
    assert len(fog.notes) == len(saturated.notes) == 2
    assert fog.evidence == "judgement"  # the limit is ours
    assert air(at + "89%").value < highest.value


def test_frost_is_air_too() -> None:
    frost = air("crop=wheat air-temperature=-5degC relative-humidity=60%")
    assert frost.value > air("crop=wheat air-temperature=5degC "
                             "relative-humidity=60%").value  # fmt: skip


@pytest.mark.parametrize(
    ("line", "error", "key"),
    [
        ("crop=canola air-temperature=20degC relative-humidity=60%", NotFound,
         "no_isotherm"),
        ("crop=moss air-temperature=20degC relative-humidity=60%", NotFound,
         "no_such_grain"),
        ("crop=wheat air-temperature=20degC relative-humidity=60", OutOfRange,
         "humidity_not_meant"),
        ("crop=wheat air-temperature=20degC relative-humidity=0%", OutOfRange,
         "humidity_not_meant"),
        ("crop=wheat air-temperature=20degC relative-humidity=101%", OutOfRange,
         "humidity_not_meant"),
        ("crop=wheat air-temperature=-300degC relative-humidity=60%", OutOfRange,
         "air_not_meant"),
        ("crop=wheat air-temperature=200degF relative-humidity=60%", OutOfRange,
         "air_not_meant"),
    ],
)  # fmt: skip
def test_air_and_crops_without_an_answer_get_a_sentence(
    line: str, error: type[AcademyError], key: str
) -> None:
    with pytest.raises(error) as refused:
        air(line)
    assert refused.value.key == key
    for language in LANGUAGES:
        assert "?" not in sentence_for(refused.value, Reader(language))
