"""The page of the error rates and the command that makes them."""

import json
from typing import Any

import pytest

from academy import paths
from academy.catalog import blueprints, error_rates
from academy.drawing.operating_curve import CurveView, operating_curve
from academy.errors import OutOfRange
from academy.service import error_rates as rates
from academy.web.cli import main

NOBODY = {"en": "Nobody real has been measured.", "es": "No se ha medido a nadie real."}
LINE = {"en": "No short test separates", "es": "Ninguna prueba corta separa"}


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_page_tells_every_certificate_and_that_nobody_is_real(
    phone: Any, language: str
) -> None:
    phone.send("/", "/reader", language=language)
    text = phone.text("/how/error-rates")
    assert NOBODY[language] in text
    assert LINE[language] in text
    for one in blueprints.known().values():
        assert one.title.for_language(language) in text
    assert text.count('role="img"') == len(blueprints.known())
    for one in error_rates.shipped().certificates:
        assert f"{100 * one.false_pass:.1f} %" in text


def test_without_any_run_the_page_says_how_to_make_one(phone: Any, monkeypatch) -> None:
    monkeypatch.setattr(rates, "newest", lambda _folder: None)
    assert "academy simulate certification" in phone.text("/how/error-rates")


def test_the_list_of_figures_leads_to_it(phone: Any) -> None:
    assert 'href="/how/error-rates"' in phone.text("/how")


def test_the_command_prints_the_figures_as_data(capsys, tmp_path, monkeypatch) -> None:
    monkeypatch.setattr(paths, "instance", lambda: tmp_path)
    words = "simulate certification --certificate yard-helper --people 4 --draws 1"
    assert main([*words.split(), "--workers", "1", "--json"]) == 0
    (told,) = json.loads(capsys.readouterr().out)["certificates"]
    assert (told["key"], told["people"]) == ("yard-helper", 4)
    assert not (tmp_path / error_rates.FILE).exists()  # not of every certificate
    assert main([*words.split(), "--workers", "1", "--lang", "es"]) == 0
    assert "no se ha medido a nadie real" in capsys.readouterr().out


@pytest.mark.parametrize(
    "words", ["--people 0", "--certificate none-such", "--workers -1"]
)
def test_the_command_refuses_what_it_cannot_do(capsys, words: str) -> None:
    assert main(["simulate", "certification", *words.split()]) == 2
    assert capsys.readouterr().err.strip().endswith(".")


WORDS = dict.fromkeys(("title", "description", "y", "step", "level", "share"), "word")


def test_a_curve_climbs_and_is_told_in_figures() -> None:
    view = CurveView((-1.0, 0.0, 1.0), (0.0, 0.4, 1.0), (0.0,))
    drawn = operating_curve(view, WORDS, [(0.0, "line")], ["40 %"], [("0", "40 %")])
    points = drawn.svg.split('points="')[2].split('"')[0].split()
    heights = [float(point.split(",")[1]) for point in points]
    assert heights == sorted(heights, reverse=True)  # upward is a smaller y
    assert "40 %" in drawn.svg
    assert drawn.rows == (("0", "40 %"),)


@pytest.mark.parametrize("shares", [(0.1, 1.2), (0.1,), (-0.1, 0.5)])
def test_a_curve_beyond_nobody_or_everybody_is_refused(shares) -> None:
    with pytest.raises(OutOfRange):
        CurveView((0.0, 1.0), shares, ())
