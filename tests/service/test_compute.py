"""One figure from typed ones: right where it can be checked, refused where it must be.

Figures are printed ones or worked out by hand beside the row.
"""

import math

import pytest
from together import together

from academy import units
from academy.catalog import crops, grains, sources
from academy.errors import AcademyError, NotFound, NotUnderstood, OutOfRange, WrongUnit
from academy.language import LANGUAGES, Reader, sentence_for
from academy.service.compute import QUANTITIES, Answer, arguments_of, compute
from academy.service.quantity import kernel_of


def _ask(line: str, to: str | None = None) -> Answer:
    name, *words = line.split()
    return compute(name, arguments_of(words), to)


@pytest.mark.parametrize(
    ("line", "value", "unit"),
    [
        # Iowa State University Extension, 2005: 42 in, 3 mph, index 1.5 -> 36 rpm;
        # 1056 * 1.5 * 3 / (pi * 42) = 36.0145
        (
            "reel-speed reel-diameter=42in ground-speed=3mph reel-index=1.5",
            36.0145,
            "rpm",
        ),
        # the inverse: pi * 42 * 36 / (1056 * 3) = 1.49940
        ("reel-index reel-diameter=42in reel-speed=36rpm ground-speed=3mph",
         1.49940, "1"),
        # Iowa State PM 696: 6 * 40 * 0.7 / 8.25 = 20.3636 (printed 20.4)
        ("field-capacity width=40ft ground-speed=6mph field-efficiency=70%",
         20.3636, "ac/h"),
        ("field-capacity width=40ft ground-speed=6mph field-efficiency=0.7",
         20.3636, "ac/h"),
        # Nebraska: 40 beans in a 10 ft² frame are 1 bu/ac
        ("loss-from-count crop=soybean count=40 area=10ft2", 1.0, "bu/ac"),
        # Purdue: 39.2 beans in a 3.4 ft² hoop: 11.529 per ft², 2.88 bu/ac
        ("loss-from-count crop=soybean count=39.2 area=3.4ft2", 2.88235, "bu/ac"),
        # K-State: 20 kernels of corn on a square foot are 10 bu/ac
        ("loss-from-count crop=corn count=20 area=1ft2", 10.0, "bu/ac"),
        # 100 kernels of 30 mg on 1 m²: 3 g/m² = 30 kg/ha; 30 * 2.2046226 / 2.4710538
        # = 26.76537 lb/ac; / 60 lb
        ("loss-from-count crop=wheat count=100 area=1m2 kernel-weight=30mg",
         0.4460895, "bu/ac"),
        # 2 / (48 + 2)
        ("loss-share loss=2bu/ac yield=48bu/ac crop=wheat", 4.0, "%"),
        ("loss-share loss=30kg/ha yield=2.97t/ha", 1.0, "%"),
        # Purdue field guide: 1,000 bu of corn from 26 to 15 % -> 870.6 bu
        ("moisture-shrink mass=1000bu from-moisture=26% to-moisture=15% crop=corn",
         870.588, "bu"),
        ("moisture-shrink mass=100kg from-moisture=0.2 to-moisture=0.2", 100.0, "kg"),
        # 5 mph = 88 in/s; 1100 a minute = 18.3333 a second: 4.8 in
        ("advance-per-stroke ground-speed=5mph stroke-rate=1100/min", 4.8, "in"),
        # index 1.25: sqrt(1.5625 - 1) = 0.75 of 264 ft/min
        ("bat-entry-speed ground-speed=3mph reel-index=1.25", 198.0, "ft/min"),
        # 0.9 - 0.06 + 0.5 / 1.25 = 1.24 m = 48.8189 in
        ("axle-height crop-height=90cm cut-height=6cm tip-radius=50cm reel-index=1.25",
         48.8189, "in"),
        # Purdue: 2.88 bu/ac at $12: $34.56/ac (printed 35)
        ("cost-of-loss loss=2.88bu/ac price=$12/bu crop=soybean", 34.56, "$/ac"),
    ],
)  # fmt: skip
def test_a_figure_is_what_print_or_hand_says(
    line: str, value: float, unit: str
) -> None:
    answer = _ask(line)
    assert (answer.value, answer.unit) == (pytest.approx(value, rel=5e-6), unit)


def test_the_answer_comes_in_the_unit_asked_for() -> None:
    line = "field-capacity width=12m ground-speed=5km/h field-efficiency=70%"
    answer = _ask(line, "ha/h")  # 5 * 12 * 0.7 / 10 = 4.2
    assert (answer.value, answer.unit) == (pytest.approx(4.2), "ha/h")
    with pytest.raises(WrongUnit):
        _ask(line, "mph")


def test_an_answer_knows_how_it_is_known() -> None:
    known = sources.load()
    counted = _ask("loss-from-count crop=soybean count=40 area=10ft2")
    assert counted.leans_on["kernels_per_bushel_area"].source in known
    assert "bushel_mass" in counted.leans_on
    weighed = _ask(
        "loss-from-count crop=soybean count=40 area=10ft2 kernel-weight=156mg", "kg/ha"
    )
    assert set(weighed.leans_on) == set()
    assert weighed.evidence == "derived"


def test_the_weakest_evidence_is_the_one_told() -> None:
    # the throw follows from motion, but free fall is recalled
    assert _ask("throw-distance belt-speed=3m/s drop=15cm").evidence == "memory"


def test_every_quantity_names_a_known_source_and_kind() -> None:
    for name, quantity in QUANTITIES.items():
        assert quantity.source in sources.load(), name
        assert quantity.kind in units.KINDS
        assert all(asked.kind in units.KINDS for asked in quantity.asks.values())


# value lines that would be read if they were given alone
GOOD = {
    "reel-speed": "reel-diameter=42in ground-speed=3mph reel-index=1.5",
    "reel-index": "reel-diameter=42in reel-speed=36rpm ground-speed=3mph",
    "bat-entry-speed": "ground-speed=3mph reel-index=1.25",
    "axle-height": "crop-height=90cm cut-height=6cm tip-radius=50cm reel-index=1.25",
    "advance-per-stroke": "ground-speed=5mph stroke-rate=1100/min",
    "field-capacity": "width=40ft ground-speed=6mph field-efficiency=70%",
    "loss-from-count": "crop=soybean count=40 area=10ft2",
    "loss-share": "loss=2lb/ac yield=98lb/ac",
    "moisture-shrink": "mass=1000lb from-moisture=26% to-moisture=15%",
    "cost-of-loss": "loss=100lb/ac price=$0.2/lb",
    "loss-split": "crop=soybean before-count=4 header-count=60 behind-count=75 "
    "frame-area=10ft2 cut-width=35ft discharge-width=5ft",
    "equilibrium-moisture": "crop=soybean air-temperature=70degF relative-humidity=50%",
    "knife-speed": "stroke=76.2mm stroke-rate=1000/min",
    "cut-length": "cut-height=5cm deflection=12cm",
    "frame-depth": "area=10ft2 width=8ft",
    "hoop-loss": "crop=soybean count=156 hoop-diameter=25in",
    "strip-loss": "crop=oats count=200 strip-length=1ft cut-width=20ft",
    "pan-loss": "grain-mass=30g pan-area=1m2 cut-width=30ft discharge-width=5ft",
    "capital-recovery": "price=$130000 salvage=$34500 interest=8% years=15",
    "repair-cost": "list-price=$500000 use=3000h",
    "timeliness-loss": "daily-loss=0.3% delay=10day yield=5t/ha",
    "speed-tradeoff": "area=160ac width=40ft slow-speed=3mph fast-speed=4mph "
    "slow-loss=60lb/ac fast-loss=180lb/ac price=$0.2/lb machine-cost=$300/h",
    "saleable-loss": "moisture=9% market-moisture=13%",
    "dry-bushels": "crop=corn mass=1000bu moisture=26%",
    "throw-distance": "belt-speed=3m/s drop=15cm",
    "mat-depth": "yield=3.36t/ha mog-ratio=0.8 ground-speed=4mph side-width=6.1m "
    "belt-speed=2.5m/s belt-depth=1m",
    "ground-roughness": "roughness=0.001024m3 longest-wave=20m shortest-wave=50cm",
    "hour-cost": "price=$450000 salvage=$150000 interest=7% years=8 yearly-use=250h "
    "engine-power=400hp fuel-price=$4/gal wage=$25/h",
    "timeliness-cost": "daily-loss=0.8% yield=5t/ha price=$0.4/kg area=600ha "
    "area-rate=5ha/h",
    "kernels-to-find": "crop=soybean loss=60lb/ac area=10ft2",
    "concentration": "cut-width=30ft discharge-width=5ft",
    "lowest-pod": "usual-height=13cm density=20/m2 usual-density=30/m2",
    "straw-taken": "crop=wheat mog-ratio=1.2 cut-height=25cm crop-height=1m",
    "mog-feedrate": "ground-speed=2m/s width=10m yield=5t/ha mog-ratio=1.5",
    "processing-loss": "feedrate=10t/h feedrate-at-1=30t/h feedrate-at-3=45t/h",
    "tip-speed": "diameter=53.3cm turn-rate=900rpm",
}
NONSENSE = ["9**9**9", "5,5", "nan", "inf", "", " ", "-3", "1e99", "abc", "5 furlong",
            "1 2", "10**99", "0x10", "½", "5;6", "1 N/m", "٣"]  # fmt: skip


@together("name", sorted(QUANTITIES))
@together("nonsense", NONSENSE)
def test_nonsense_in_any_place_is_refused_in_words(name: str, nonsense: str) -> None:
    good = arguments_of(GOOD[name].split())
    for place in QUANTITIES[name].asks:
        with pytest.raises((NotUnderstood, WrongUnit, OutOfRange)) as refused:
            compute(name, {**good, place: nonsense})
        for language in LANGUAGES:
            assert "?" not in sentence_for(refused.value, Reader(language))


@together("name", sorted(QUANTITIES))
@together("size", ["0", "1e-300", "1e12"])
def test_a_figure_of_any_size_is_answered_or_refused(name: str, size: str) -> None:
    good = arguments_of(GOOD[name].split())
    said = []
    for place, asked in QUANTITIES[name].asks.items():
        for label in units.labels_for(asked.kind):
            if units.counts_bushels(label):
                continue
            try:
                answer = compute(name, {**good, place: f"{size} {label}"})
                assert math.isfinite(answer.value)
            except AcademyError as refused:
                said.append(sentence_for(refused, Reader("en")))
    assert not any("?" in sentence for sentence in said)


@together("name", sorted(QUANTITIES))
def test_every_figure_of_a_quantity_is_needed(name: str) -> None:
    good = arguments_of(GOOD[name].split())
    compute(name, good)
    for place in good:
        rest = {key: text for key, text in good.items() if key != place}
        with pytest.raises(NotUnderstood, match="missing_argument"):
            compute(name, rest)


@together("name", sorted(QUANTITIES))
def test_a_name_that_is_not_asked_for_is_refused(name: str) -> None:
    good = arguments_of(GOOD[name].split())
    with pytest.raises(NotUnderstood, match="unknown_argument"):
        compute(name, {**good, "colour": "3 mph"})


@pytest.mark.parametrize(
    ("line", "error", "key"),
    [
        ("harvest-moon width=3ft", NotFound, "no_such_quantity"),
        ("loss-from-count crop=moss count=1 area=1ft2", NotFound, "no_such_grain"),
        ("loss-share loss=2bu/ac yield=48bu/ac", WrongUnit, "bushel_needs_crop"),
        ("reel-speed crop=soybean", NotUnderstood, "unknown_argument"),
        ("reel-speed reel-diameter", NotUnderstood, "argument_without_equals"),
        ("reel-speed reel-index=1 reel-index=2", NotUnderstood, "argument_twice"),
        (
            "field-capacity width=40ft ground-speed=6mph field-efficiency=70",
            OutOfRange,
            "must_be_a_fraction",
        ),
        (
            "reel-index reel-diameter=42in reel-speed=36rpm ground-speed=0mph",
            OutOfRange,
            "must_be_positive",
        ),
        (
            "loss-from-count crop=wheat count=1e12 area=1e-300ft2",
            OutOfRange,
            "result_not_finite",
        ),
    ],
)
def test_each_slip_has_its_own_key(
    line: str, error: type[AcademyError], key: str
) -> None:
    with pytest.raises(error) as refused:
        _ask(line)
    assert refused.value.key == key


def test_crops_with_their_own_file_go_first() -> None:
    soybean = crops.load("soybean").grain
    assert grains.of("soybean").bushel_mass == soybean.bushel_mass
    # 60 lb of 0.45359237 kg
    assert grains.of("wheat").bushel == pytest.approx(27.2155422)


@together("key", sorted(grains.load()))
def test_every_grain_can_be_counted_or_weighed(key: str) -> None:
    grain = grains.of(key)
    entry = getattr(grain, kernel_of(grain)[0])
    assert entry.source in sources.load()
    answer = _ask(f"loss-from-count crop={key} count=100 area=1m2")
    twice = _ask(f"loss-from-count crop={key} count=200 area=1m2")
    assert twice.value == pytest.approx(2 * answer.value, rel=1e-8)


def test_the_two_ways_to_count_soybean_agree() -> None:
    # 4 per ft² and 156 mg are the same rule to the digits written
    by_rule = _ask("loss-from-count crop=soybean count=40 area=10ft2")
    by_mass = _ask(
        "loss-from-count crop=soybean count=40 area=10ft2 kernel-weight=156mg"
    )
    assert by_mass.value == pytest.approx(by_rule.value, rel=0.005)
