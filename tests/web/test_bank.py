"""The bank: those who teach see any draw with its key, everyone else no such page."""

import json
import re
from html import unescape
from typing import Any

import pytest

from academy.errors import NotFound
from academy.language import Reader
from academy.service import making, preview
from academy.service.viewer import Viewer
from academy.units import System

READER = Reader("en", "us")


def viewer(*roles: str) -> Viewer:
    return Viewer(
        sign_in_id="c" * 32,
        person_id="a" * 32,
        name="Odalys Penrose",
        language="en",
        units="us",
        roles=frozenset(roles),
        crew_id="b" * 32,
        csrf="",
        device_id="",
        shared=False,
    )


@pytest.mark.parametrize("family", ["standing-soybean", "safe-stop", "people-near"])
@pytest.mark.parametrize("language", ["en", "es"])
def test_a_draw_is_asked_keyed_and_judged(family: str, language: Any) -> None:
    shown = preview.preview(viewer("lead"), family, 3, Reader(language, "metric"))
    assert len(shown.question.parts) == len(shown.key)
    assert all(part.score == pytest.approx(1.0) for part in shown.key)
    assert len(shown.judged.rows) == len(shown.key) + 1


def test_skill_pays_and_the_perfect_score_full_marks() -> None:
    shown = preview.preview(viewer("instructor"), "safe-stop", 2, READER)
    for _, *scores in shown.people.rows:
        unskilled, *_, perfect = (float(score) for score in scores)
        assert unskilled < perfect == 1.0


def test_the_same_draw_comes_again() -> None:
    one, again = (
        preview.preview(viewer("owner"), "reel-speed-today", 9, READER)
        for _ in range(2)
    )
    assert one == again


def test_for_a_hire_there_is_no_bank() -> None:
    with pytest.raises(NotFound):
        preview.listed(viewer("hire"), READER)
    with pytest.raises(NotFound):
        preview.preview(viewer("hire"), "safe-stop", 1, READER)


@pytest.mark.parametrize("seed", ["0", "-3", "nan", "7" * 5000, "\u0663", "1e9"])
def test_a_seed_that_is_none_is_told_what_to_do_instead(owner: Any, seed: str) -> None:
    page = unescape(owner.get("/bank/safe-stop", query_string={"seed": seed}).text)
    assert f"“{seed[:20]}” is no draw number. Type a whole number from 1" in page
    assert f'value="{seed[:20]}"' in page  # what was typed is not lost
    first = unescape(owner.text("/bank/safe-stop?seed=1"))
    assert "is no draw number" not in first
    told = re.compile(r"<fieldset disabled>.*</fieldset>", re.DOTALL)
    assert told.findall(page) == told.findall(first)  # the first draw meanwhile


@pytest.mark.parametrize(("own", "asked"), [("en", "es"), ("es", "en")])
def test_what_is_asked_speaks_one_language_down_to_its_hints(
    owner: Any, own: str, asked: str
) -> None:
    owner.send("/", "/reader", language=own, units="us", back="/")
    hint = {
        "en": "Give every step its place: 1 comes first.",
        "es": "Dé a cada paso su lugar: el 1 va primero.",
    }
    page = owner.text(f"/bank/safe-stop?seed=3&in={asked}&units=us")
    parts = re.split(r'<div lang="(\w+)">', page)
    assert parts[1] == asked
    assert hint[asked] in parts[2]
    assert hint[own] not in page
    judged = {"en": "By chance", "es": "Al azar"}
    assert judged[own] in page
    assert judged[asked] not in page


@pytest.mark.parametrize("language", ["en", "es"])
def test_a_key_is_told_in_the_reader_s_units_and_holds_no_answer(language: Any) -> None:
    """1 acre is 4046.8564224 m2 (international acre, NIST SP 811), 1 ha 10 000 m2."""
    payload = json.loads(making.make("standing-soybean", 1).payload)
    (place,) = (
        place
        for place, part in enumerate(payload["parts"])
        if part.get("computable") == "field_capacity"
    )
    rate = payload["parts"][place]["key"]  # m2 per second
    acres = "acres/h" if language == "es" else "ac/h"
    both: list[tuple[System, str, float]]
    both = [("us", acres, 4046.8564224), ("metric", "ha/h", 1e4)]
    for system, label, area in both:
        reader = Reader(language, system)
        told = preview.key_of("standing-soybean", payload, reader)[place]
        figure, unit = told.best.split(" ")
        assert unit == label
        expected = rate * 3600 / area
        assert float(figure.replace(",", ".")) == pytest.approx(expected, abs=0.051)
        assert told.yours == ""
        assert ({acres, "ha/h"} - {label}).pop() not in repr(told)
