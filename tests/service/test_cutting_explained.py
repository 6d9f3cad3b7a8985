"""The cutting pattern of an answered set-up: the reader's own pace, in their words."""

from dataclasses import replace

import pytest

from academy import units
from academy.catalog import families, headers
from academy.catalog.coefficients import load as coefficients_of
from academy.engine.cutting_pattern import bunched_share
from academy.language import Reader
from academy.scenarios.draw import draw
from academy.service import cutting_explained
from academy.service.problems import problem_of
from academy.service.setup_explained import Case

CONTROLS = ("ground_speed", "reel_rate", "reel_height", "cut_height")
READERS = [Reader(lang, system) for lang in ("en", "es") for system in ("us", "metric")]


def case(mph: float, reader: Reader) -> Case:
    key = "standing-soybean"
    facts = {**draw(key, families.known()[key], 5), "header": "flex35"}
    problem = problem_of(facts, CONTROLS)
    yours = replace(problem.as_found, ground_speed=units.to_si(mph, "mph"))
    slow = replace(problem.as_found, ground_speed=units.to_si(2.0, "mph"))
    return Case(facts, problem, yours, slow, problem.as_found, reader)


def test_every_header_has_a_knife_that_ends_its_stroke_over_a_guard() -> None:
    for key in headers.known():
        assert cutting_explained.knife_of(headers.load(key)).sections >= 1


@pytest.mark.parametrize("reader", READERS)
def test_the_pattern_is_told_in_the_readers_words_and_units(reader: Reader) -> None:
    shown = cutting_explained.cutting_picture(case(4.0, reader), "part1")
    values = dict(shown.table.rows)
    # 4 mph at 1100 strokes a minute: 1.78816 / 18.3333 = 97.54 mm = 3.84 in
    inches = {"en": "3.84 in", "es": "3.84 pulg"}[reader.language]
    advance = inches if reader.units == "us" else "98 mm"
    name = {"en": "ground covered in one stroke", "es": "avance en una carrera"}
    assert values[name[reader.language]] == advance
    assert all(value in shown.description for value in values.values())
    assert shown.title in shown.svg


def test_shares_of_the_table_add_up() -> None:
    shown = cutting_explained.cutting_picture(case(3.0, READERS[0]), "part1")
    shares = [value.removesuffix(" %") for _, value in shown.table.rows[:3]]
    # three shares, each rounded to its own last digit
    assert sum(map(float, shares)) == pytest.approx(100.0, abs=1.5)


def test_faster_than_the_best_bunches_more() -> None:
    one = case(5.0, READERS[0])
    knife = cutting_explained.knife_of(headers.load(one.facts["header"]))
    values = dict(cutting_explained.cutting_picture(one, "part1").table.rows)
    yours, best = (
        float(values[name].removesuffix(" %")) / 100
        for name in (
            "bunched: bent forward before an edge reaches them",
            "bunched with the best settings",
        )
    )
    assert yours > best + 0.2
    # the engine's compact form, whose error is stated: 0.03 up to four edges
    c = coefficients_of("soybean").values.bunched_coefficient
    advance = float(one.readings(one.yours).advance_per_stroke)
    assert yours == pytest.approx(
        float(bunched_share(advance, knife.edge, c)), abs=0.03
    )


def test_no_pattern_where_the_pace_was_not_asked() -> None:
    one = case(4.0, READERS[0])
    assert cutting_explained.pictures(one, ("reel_rate", "reel_lead"), "part1") == ()
    assert len(cutting_explained.pictures(one, CONTROLS, "part1")) == 1
