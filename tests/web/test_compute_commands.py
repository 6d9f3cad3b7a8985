"""``academy compute`` for sums with parts and figures with a word beside them."""

import json
from pathlib import Path

import pytest

from academy.web.cli import main

SPLIT = {
    "crop": "soybean",
    "before-count": "4",
    "header-count": "60",
    "behind-count": "84",
    "frame-area": "10ft^2",
    "cut-width": "30 ft",
    "discharge-width": "5 ft",
}
AIR = {"crop": "soybean", "air-temperature": "70degF", "relative-humidity": "50%"}
NONSENSE = ["9**9**9", "5,5", "nan", "-3", "", "abc", "5 furlong", "1e999", "½", "[]"]


@pytest.fixture(autouse=True)
def _own_instance(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ACADEMY_INSTANCE", str(tmp_path))
    monkeypatch.setenv("LANG", "C.UTF-8")
    monkeypatch.delenv("LC_ALL", raising=False)


def words(quantity: str, figures: dict[str, str]) -> list[str]:
    return ["compute", quantity, *(f"{name}={text}" for name, text in figures.items())]


def told(capsys: pytest.CaptureFixture[str], *asked: str) -> str:
    assert main(asked) == 0
    return capsys.readouterr().out


def test_a_split_carries_its_parts_in_one_unit(
    capsys: pytest.CaptureFixture[str],
) -> None:
    # 40 beans in 10 ft² are a bushel: 0.1 before, 56/40 = 1.4 at the header, and of 24
    # more behind, in a sixth of the cut, 4/40 = 0.1
    found = json.loads(told(capsys, *words("loss-split", SPLIT), "--json"))
    assert found["parts"] == pytest.approx(
        {"pre-harvest": 0.1, "gathering": 1.4, "processing": 0.1}
    )
    assert found["value"] == pytest.approx(1.6)
    assert found["unit"] == "bu/ac"
    assert {"evidence", "source"} < set(found)


def test_a_split_in_words_names_each_place(
    capsys: pytest.CaptureFixture[str],
) -> None:
    english = told(capsys, *words("loss-split", SPLIT)).splitlines()
    spanish = told(capsys, *words("loss-split", SPLIT), "--lang", "es").splitlines()
    assert english[:3] == [
        "1.6 bu/ac",
        "Lost before the machine came: 0.1 bu/ac",
        "Lost at the header: 1.4 bu/ac",
    ]
    assert len(english) == len(spanish) == 6
    assert not set(english[1:]) & set(spanish[1:])


def test_moisture_in_air_names_its_form(capsys: pytest.CaptureFixture[str]) -> None:
    # University of Kentucky charts: 8.8 % at 70 °F and 50 %
    asked = words("equilibrium-moisture", AIR)
    found = json.loads(told(capsys, *asked, "--json"))
    assert found["value"] == pytest.approx(8.8, abs=0.1)
    assert "Halsey" in found["notes"][0]
    assert "parts" not in found
    assert "Halsey" in told(capsys, *asked, "--lang", "es")


@pytest.mark.parametrize(
    ("quantity", "figures"), [("loss-split", SPLIT), ("equilibrium-moisture", AIR)]
)
@pytest.mark.parametrize("nonsense", NONSENSE)
def test_nonsense_in_every_place_is_one_sentence(
    capsys: pytest.CaptureFixture[str],
    quantity: str,
    figures: dict[str, str],
    nonsense: str,
) -> None:
    for name in figures:
        asked = words(quantity, figures | {name: nonsense})
        if nonsense == "-3" and name == "air-temperature":
            asked[-2] = f"{name}=-300degC"
        assert main(asked) == 2
        said = capsys.readouterr()
        assert said.out == ""
        assert "Traceback" not in said.err
        assert len(said.err.splitlines()) == 1


def test_a_crop_without_figures_is_told_which_have_them(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(words("equilibrium-moisture", AIR | {"crop": "canola"})) == 2
    assert "soybean" in capsys.readouterr().err
