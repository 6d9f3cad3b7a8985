"""Figures of machine, money and counting that came later: printed, by hand, refused."""

import pytest

from academy.catalog import sources
from academy.errors import AcademyError
from academy.language import LANGUAGES, Reader, sentence_for
from academy.service.compute import QUANTITIES, Answer, arguments_of, compute
from academy.web.cli.compute_words import FIGURES, PARTS


def ask(line: str, to: str | None = None) -> Answer:
    name, *words = line.split()
    return compute(name, arguments_of(words), to)


@pytest.mark.parametrize(
    ("line", "to", "value", "slack"),
    [
        # 0.0762 m x 1000/60 = 1.27 m/s
        ("knife-speed stroke=76.2mm stroke-rate=1000/min", "m/s", 1.27, 1e-6),
        # 5-12-13
        ("cut-length cut-height=5cm deflection=12cm", "cm", 13.0, 1e-6),
        # Missouri G1280: 10 ft2 across 8 ft are 15 in
        ("frame-depth area=10ft2 width=8ft", "in", 15.0, 1e-6),
        # Georgia: 1/100 ac across 15 ft is printed as 29 ft
        ("frame-depth area=0.01ac width=15ft", "ft", 29.0, 0.05),
        # Purdue: 39.2 beans in a hoop of 25 in are 11.5 a square foot: 2.88 bu/ac
        ("hoop-loss crop=soybean count=39.2 hoop-diameter=25in", None, 2.88, 0.02),
        # the same hoop in a green strip: 156 beans, printed as over 11
        ("hoop-loss crop=soybean count=156 hoop-diameter=25in", None, 11.0, 0.6),
        # school worksheet: 200 kernels of oats in a foot behind 20 ft: 1 bu/ac
        ("strip-loss crop=oats count=200 strip-length=1ft cut-width=20ft", None,
         1.0, 1e-6),
        # 30 g on 1 m2, six times too dense: 5 g/m2
        ("pan-loss grain-mass=30g pan-area=1m2 cut-width=30ft discharge-width=5ft",
         "g/m2", 5.0, 1e-6),
        # Iowa State A3-29, recalled: 13,934 with the factor rounded to 0.117
        ("capital-recovery price=$130000 salvage=$34500 interest=8% years=15", None,
         13934, 25),
        # ASABE D497 table 3: 40 % of list at 3000 h
        ("repair-cost list-price=$100 use=3000h", None, 40.0, 0.5),
        # the same table, pull-type combine: 60 % of list at 2000 h, in fives
        ("repair-cost list-price=$100 use=2000h repair-factor=0.12 "
         "repair-exponent=2.3 reference-use=1000h", None, 60.0, 1.5),
        # Wisconsin: 0.3 % a day, ten days, 150 bu/ac: 4.5
        ("timeliness-loss crop=corn daily-loss=0.3% delay=10day yield=150bu/ac", None,
         4.5, 1e-6),
        # Western Producer 2016: net -2,360 after rounding 2.75 h; by hand -2,375
        ("speed-tradeoff crop=soybean area=160ac width=40ft slow-speed=3mph "
         "fast-speed=4mph slow-loss=1bu/ac fast-loss=3bu/ac price=$10/bu "
         "machine-cost=$300/h", None, -2375.0, 1e-6),
        # Nebraska: 4.4 % at 9 %
        ("saleable-loss moisture=9% market-moisture=13%", None, 4.4, 0.05),
        # Purdue: 1,000 bu at 26 % are 870.6 at 15 %
        ("dry-bushels crop=corn mass=1000bu moisture=26% market-moisture=15%", None,
         870.6, 0.05),
        # 3 x sqrt(2 x 0.15/9.81) = 0.524623 m
        ("throw-distance belt-speed=3m/s drop=15cm", "m", 0.524623, 1e-6),
        # 0.336 x 1.8 x 1.78816 x 6.1/(15 x 2.5 x 1) = 0.17592 m
        ("mat-depth yield=3.36t/ha mog-ratio=0.8 ground-speed=4mph side-width=6.1m "
         "belt-speed=2.5m/s belt-depth=1m mat-density=15kg/m3", "m", 0.17592, 5e-6),
        # 0.1 sqrt(0.001024 (20 - 0.5)) = 0.0141308 m
        ("ground-roughness roughness=0.001024m3 longest-wave=20m shortest-wave=0.5m",
         "mm", 14.1308, 1e-4),
    ],
)  # fmt: skip
def test_a_figure_is_what_print_or_hand_says(
    line: str, to: str | None, value: float, slack: float
) -> None:
    assert ask(line, to).value == pytest.approx(value, abs=slack)


def test_the_parts_of_a_trade_add_up() -> None:
    # 2.75 h at 300 are 825; two bushels more on 160 acres at 10 are 3200
    found = ask(
        "speed-tradeoff crop=soybean area=160ac width=40ft slow-speed=3mph "
        "fast-speed=4mph slow-loss=1bu/ac fast-loss=3bu/ac price=$10/bu "
        "machine-cost=$300/h"
    )
    assert found.parts == pytest.approx({"time-saved": 825.0, "extra-loss": -3200.0})
    assert found.value == pytest.approx(sum(found.parts.values()))
    assert len(found.notes) == 2


def test_a_field_efficiency_makes_every_hour_longer() -> None:
    line = (
        "speed-tradeoff area=160ac width=40ft slow-speed=3mph fast-speed=4mph "
        "slow-loss=0kg/ha fast-loss=0kg/ha price=$0/t machine-cost=$300/h"
    )
    # 825/0.5
    assert ask(f"{line} field-efficiency=50%").value == pytest.approx(1650.0)
    assert len(ask(f"{line} field-efficiency=50%").notes) == 1


@pytest.mark.parametrize(
    ("line", "leans_on", "evidence"),
    [
        ("throw-distance belt-speed=3m/s drop=15cm", {"standard_gravity"}, "memory"),
        ("saleable-loss crop=soybean moisture=9%", {"soybean.grain.market_moisture"},
         "derived"),
        ("repair-cost list-price=$100 use=3000h repair-factor=0.05",
         {"repair_exponent", "repair_reference_use"}, "derived"),
        ("mat-depth yield=3.36t/ha mog-ratio=0.8 ground-speed=4mph side-width=6.1m "
         "belt-speed=2.5m/s belt-depth=1m", {"mat_density"}, "judgement"),
        ("ground-roughness roughness=0.001m3 longest-wave=20m shortest-wave=1m",
         {"reference_wavenumber"}, "memory"),
    ],
)  # fmt: skip
def test_what_is_lent_by_the_content_is_named_and_weighs(
    line: str, leans_on: set[str], evidence: str
) -> None:
    found = ask(line)
    assert set(found.leans_on) >= leans_on
    assert found.evidence == evidence
    assert all(figure.source in sources.load() for figure in found.leans_on.values())


def test_without_a_crop_nothing_is_told_in_bushels() -> None:
    line = "pan-loss grain-mass=30g pan-area=1m2 cut-width=30ft discharge-width=5ft"
    assert ask(line).unit == "kg/ha"
    assert ask(f"{line} crop=wheat").unit == "bu/ac"


def test_damp_grain_gives_no_weight_away_and_is_told_so() -> None:
    found = ask("saleable-loss moisture=15% market-moisture=13%")
    assert found.value == 0.0
    assert len(found.notes) == 1
    assert ask("saleable-loss moisture=12% market-moisture=13%").notes == ()


@pytest.mark.parametrize(
    ("line", "key"),
    [
        ("speed-tradeoff area=1ac width=40ft slow-speed=4mph fast-speed=3mph "
         "slow-loss=1lb/ac fast-loss=3lb/ac price=$1/lb machine-cost=$300/h",
         "faster_pace_is_slower"),
        ("ground-roughness roughness=0.001m3 longest-wave=1m shortest-wave=20m",
         "waves_turned_round"),
        ("ground-roughness roughness=0.001m3 longest-wave=1m shortest-wave=0m",
         "waves_turned_round"),
        ("pan-loss grain-mass=30g pan-area=1m2 cut-width=5ft discharge-width=30ft",
         "straw_wider_than_cut"),
        ("saleable-loss moisture=9%", "missing_argument"),
        ("timeliness-loss daily-loss=50% delay=10day yield=1t/ha",
         "must_be_a_fraction"),
        ("capital-recovery price=$1 salvage=$0 interest=0% years=5",
         "must_be_positive"),
        ("capital-recovery price=$1 salvage=$0 interest=1e-300 years=5",
         "result_not_finite"),
        ("repair-cost list-price=$1 use=1e9h repair-exponent=1e9",
         "result_not_finite"),
    ],
)  # fmt: skip
def test_each_slip_has_its_own_sentence(line: str, key: str) -> None:
    with pytest.raises(AcademyError) as refused:
        ask(line)
    assert refused.value.key == key
    for language in LANGUAGES:
        assert "?" not in sentence_for(refused.value, Reader(language))


def test_every_figure_and_every_part_has_its_words() -> None:
    assert set(FIGURES) == set(QUANTITIES)
    assert {"time-saved", "extra-loss"} < set(PARTS)
