"""Every coefficient with its evidence, and a share of the doubt that is honest."""

import json
from dataclasses import fields, replace
from pathlib import Path

import numpy as np
import pytest

from academy.catalog import crops, ground_following, isotherms, knives, parts, sources
from academy.engine import spread
from academy.engine.coefficients import Coefficients
from academy.language import LANGUAGES, Reader
from academy.scenarios.out_of_order import PARTS
from academy.service import engine_check as deed
from academy.service import engine_doubt, how
from academy.service.engine_check import EngineCheck, engine_check, method
from academy.service.reference_set import Reference, crops_asked, reference_set
from academy.web.cli import engine_table, main


@pytest.fixture(scope="module")
def checked() -> EngineCheck:
    return engine_check(2, 1)


@pytest.fixture(scope="module")
def reference() -> Reference:
    return next(reference_set("soybean", 1))


def _share(checked: EngineCheck, *keys: str) -> list[float]:
    by_key = {one.key: one.share for one in checked.known}
    return [by_key[key] for key in keys]


def test_every_coefficient_of_each_crop_stands_there_once(checked: EngineCheck) -> None:
    keys = [one.key for one in checked.known]
    assert len(keys) == len(set(keys))
    assert {"soybean", "wheat"} <= set(crops_asked())
    names = {field.name for field in fields(Coefficients)}
    for crop in checked.crops:
        own = crops.load(crop).coefficients
        wanted = {f"{crop}.{name}" if name in own else name for name in names}
        assert wanted <= set(keys)


def test_all_else_that_the_engine_believes_stands_there(checked: EngineCheck) -> None:
    keys = {one.key for one in checked.known}
    for part in parts.PARTS:
        assert set(parts.load(part).entries) <= keys
    for name, figure in ground_following.load():
        assert (f"ground.{name}" in keys) is not figure.fixed
    for crop in isotherms.load().crops:
        assert {f"{crop}.isotherm.{name}" for name in "abc"} <= keys
    for key, kind in knives.load().items():
        ranges = {name for name, figure in kind.figures() if figure.low is not None}
        assert {f"{key}.{name}" for name in ranges} <= keys


def test_each_has_its_page_and_a_listed_source(checked: EngineCheck) -> None:
    for one in checked.known:
        assert one.entry == how.entries()[one.key]
        assert one.entry.figure.source in sources.load()


def test_shares_are_a_part_of_the_whole(checked: EngineCheck) -> None:
    shares = [one.share for one in checked.known]
    assert all(0.0 <= share <= 1.0 for share in shares)
    assert shares == sorted(shares, reverse=True)
    in_order = sum(one.in_order for one in checked.known)
    assert in_order == pytest.approx(checked.in_order.total)
    for runs in (checked.in_order, checked.out_of_order):
        assert 0.5 < runs.total <= 1.0 + runs.error
    assert checked.in_order.count == 2 * len(checked.crops)
    assert checked.out_of_order.count > 4 * len(checked.crops)


def test_what_has_no_range_causes_nothing(checked: EngineCheck) -> None:
    figures = [(one, one.entry.figure) for one in checked.known]
    firm = [one for one, each in figures if each.fixed or each.lowest == each.highest]
    assert len(firm) > 5
    assert {one.share for one in firm} == {0.0}


NO_COST = {
    "known in direction alone": ["tine_scale", "bump_amplitude", "rotor_scale"],
    "a sign": ["seen_out_of_step", "clearly_hotter", "seen_heavy", "mark_low"],
    "moisture through the day": ["grain_lag", "dew_humidity", "soybean.isotherm.a"],
    "drawn ground": ["ground.dead_time", "ground.track", "ground.soil_sink"],
    "power as long as it suffices": ["stem_work", "bar_friction"],
}


@pytest.mark.parametrize("keys", NO_COST.values(), ids=NO_COST)
def test_what_no_cost_rests_on_causes_nothing(
    checked: EngineCheck, keys: list[str]
) -> None:
    assert set(_share(checked, *keys)) == {0.0}


def test_coefficients_of_parts_cause_doubt_where_they_are_out_of_order(
    checked: EngineCheck,
) -> None:
    for part in ("knife", "ends", "flow", "hour", "threshing"):
        assert max(_share(checked, *parts.load(part).entries)) > 0.0, part
    own = {key for part in PARTS for key in parts.load(part).entries}
    assert {one.in_order for one in checked.known if one.key in own} == {0.0}
    assert max(_share(checked, "standard.edge", "standard.ledger")) > 0.0


def test_a_share_is_the_mean_over_the_runs_in_which_it_can_act() -> None:
    # by hand: (0.2 + 0.4 + 0.9)/3 = 0.5; in order (0.2 + 0 + 0.4)/3 = 0.2
    order, out = [{"riding": 0.2}, {}, {"riding": 0.4}], [{"riding": 0.9}, {"x": 1.0}]
    known = deed._known(how.entry("riding"), order, out)
    assert known.share == pytest.approx(0.5)
    assert known.in_order == pytest.approx(0.2)
    assert deed._known(how.entry("riding"), [{}], [{"x": 1.0}]).share == 0.0


@pytest.mark.parametrize("part", ["reel_sections", "threshing"])
def test_the_same_content_gives_the_same_shares(
    reference: Reference, part: str
) -> None:
    once = engine_doubt.in_order(reference), engine_doubt.out_of_order(reference, part)
    spread._drawn.cache_clear()
    again = engine_doubt.in_order(reference), engine_doubt.out_of_order(reference, part)
    assert once == again


def test_only_the_part_out_of_order_is_in_doubt(
    reference: Reference,
) -> None:
    shares = engine_doubt.out_of_order(reference, "ends")
    assert shares is not None
    assert set(parts.load("ends").entries) | set(parts.load("stand").entries) <= set(
        shares
    )
    assert not set(parts.load("flow").entries) & set(shares)


def test_a_side_slope_on_level_ground_is_no_run(
    reference: Reference,
) -> None:
    problem = reference.problem
    for slope, runs in ((0.0, False), (0.1, True)):
        field = replace(problem.field, slope=slope)
        there = reference._replace(problem=replace(problem, field=field))
        assert (engine_doubt._found(there, "threshing") is not None) is runs


def test_no_run_costs_more_than_the_crop_is_worth(
    reference: Reference,
) -> None:
    found = engine_doubt._found(reference, "flow")
    assert found is not None
    field = reference.problem.field
    worth = field.crop_yield * field.grain_price
    thin = found.cost({"mat_density": np.array([0.5, 15.0])})
    assert thin[0] == pytest.approx(worth)
    assert thin[1] < worth


def test_the_method_and_every_line_are_told_in_both_languages(
    checked: EngineCheck,
) -> None:
    told = {one: list(engine_table.lines(checked, Reader(one))) for one in LANGUAGES}
    english, spanish = told["en"], told["es"]
    words = method(checked, Reader("en"))
    assert len(english) == len(spanish) == len(words) + 2 + len(checked.known)
    assert not set(english) & set(spanish) - {""}
    assert "Sobol" in words[0]


def test_the_command_puts_out_json(
    checked: EngineCheck,
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("ACADEMY_INSTANCE", str(tmp_path))
    monkeypatch.setattr(deed, "engine_check", lambda: checked)
    assert main(["check", "--engine", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    wanted = {"key", "value", "low", "high", "unit", "evidence", "source"}
    for one in found["coefficients"]:
        assert wanted | {"variance_share"} <= set(one)
        assert one["low"] <= one["value"] <= one["high"]
    in_order = [one["variance_share_in_order"] for one in found["coefficients"]]
    assert sum(in_order) == pytest.approx(found["total"])
