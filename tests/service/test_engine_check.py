"""Every coefficient with its evidence, and a share of the doubt that is honest."""

import json
from dataclasses import fields
from pathlib import Path

import pytest

from academy.catalog import crops, sources
from academy.engine.coefficients import Coefficients
from academy.language import LANGUAGES, Reader
from academy.service import how
from academy.service.engine_check import EngineCheck, crops_asked, engine_check, method
from academy.web.cli import engine_table, main


@pytest.fixture(scope="module")
def checked() -> EngineCheck:
    return engine_check(4)


def test_every_coefficient_of_each_crop_stands_there_once(checked: EngineCheck) -> None:
    keys = [one.key for one in checked.known]
    assert len(keys) == len(set(keys))
    assert {"soybean", "wheat"} <= set(crops_asked())
    names = {field.name for field in fields(Coefficients)}
    for crop in checked.crops:
        own = crops.load(crop).coefficients
        wanted = {f"{crop}.{name}" if name in own else name for name in names}
        assert wanted <= set(keys)


def test_each_has_its_page_and_a_listed_source(checked: EngineCheck) -> None:
    for one in checked.known:
        assert one.key in how.entries()
        assert one.figure.source in sources.load()


def test_shares_are_a_part_of_the_whole(checked: EngineCheck) -> None:
    shares = [one.share for one in checked.known]
    assert all(0.0 <= share <= 1.0 for share in shares)
    assert sum(shares) == pytest.approx(checked.total)
    assert checked.total <= 1.0 + checked.error
    assert shares == sorted(shares, reverse=True)


def test_what_has_no_range_causes_nothing(checked: EngineCheck) -> None:
    firm = [
        one
        for one in checked.known
        if one.figure.fixed or one.figure.lowest == one.figure.highest
    ]
    assert len(firm) > 5
    assert {one.share for one in firm} == {0.0}


def test_settings_known_by_direction_alone_cost_nothing(checked: EngineCheck) -> None:
    # float force and tine pitch move no loss, so what they lean on causes no spread
    by_key = {one.key: one.share for one in checked.known}
    assert by_key["tine_scale"] == by_key["bump_amplitude"] == 0.0


def test_the_same_content_gives_the_same_shares(checked: EngineCheck) -> None:
    assert engine_check(4) == checked


def test_the_method_and_every_line_are_told_in_both_languages(
    checked: EngineCheck,
) -> None:
    told = {one: list(engine_table.lines(checked, Reader(one))) for one in LANGUAGES}
    english, spanish = told["en"], told["es"]
    assert len(english) == len(spanish) == len(checked.known) + 3
    assert not set(english) & set(spanish) - {""}
    assert "Sobol" in method(checked, Reader("en"))


def test_the_command_puts_out_json(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("ACADEMY_INSTANCE", str(tmp_path))
    assert main(["check", "--engine", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    wanted = {"key", "value", "low", "high", "unit", "evidence", "source"}
    for one in found["coefficients"]:
        assert wanted | {"variance_share"} <= set(one)
        assert one["low"] <= one["value"] <= one["high"]
    assert sum(one["variance_share"] for one in found["coefficients"]) <= (
        1.0 + found["error"]
    )
