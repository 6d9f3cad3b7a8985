"""Nonsense in a form gets a sentence, changes nothing, and stays typed."""

import re
from collections.abc import Callable, Sequence
from itertools import cycle
from typing import Any

import pytest

from academy.service import farm
from academy.service.house import House

FIGURES = ["9**9**9", "nan", "inf", "", "5,500", "3 kg", "-4", "1e99", "1" * 70]
FIRST = [
    ("farm_name", ""),
    ("farm_name", "x" * 121),
    ("owner_name", "   "),
    ("currency", "dollars"),
    ("currency", "$"),
    ("zone", "Mars/Olympus"),
    ("language", "tlh"),
    ("units", "cubits"),
    ("header_key", "../../etc/passwd"),
]
PEOPLE = [("name", ""), ("name", "x" * 121), ("roles", "king"), ("language", "xx")]


def _in_turn(names: str, cases: Sequence[Any]) -> pytest.MarkDecorator:
    """Cases that take turns on the two databases; no refusal hangs on which it is."""
    rows = [
        (kind, *(one if isinstance(one, tuple) else (one,)))
        for kind, one in zip(cycle(("sqlite", "postgres")), cases)
    ]
    return pytest.mark.parametrize(f"database,{names}", rows, indirect=["database"])


def _refused(answer: Any) -> str:
    text = str(answer.get_data(as_text=True))
    assert answer.status_code == 422
    assert re.search(r'class="error"[^>]*>[^<]{10,}<', text)
    return text


@_in_turn("typed", FIGURES)
def test_a_setting(owner: Any, typed: str) -> None:
    path = owner.send("/practice", "/practice", family="standing-soybean").location
    text = _refused(owner.send(path, path, **{"part-1-ground_speed": typed}))
    assert f'name="part-1-ground_speed" value="{typed}"' in text
    assert owner.get(f"{path}/explained").status_code == 409


@_in_turn("typed", FIGURES)
def test_a_number_with_unit(owner: Any, typed: str) -> None:
    path = owner.send("/practice", "/practice", family="reel-speed-today").location
    answer = owner.send(path, path, part__1=typed)
    if typed == "-4":  # a possible number, only a wrong one: graded
        assert answer.status_code == 303
        return
    assert f'name="part-1" value="{typed}"' in _refused(answer)


def test_a_setting_beyond_its_ends_names_them(owner: Any) -> None:
    path = owner.send("/practice", "/practice", family="standing-soybean").location
    text = _refused(owner.send(path, path, **{"part-1-ground_speed": "40"}))
    assert re.search(r"must lie between [\d.]+ mph and [\d.]+ mph, got 40", text)


def test_a_choice_not_made_and_one_never_offered(owner: Any) -> None:
    path = owner.send("/practice", "/practice", family="standing-soybean").location
    for typed in ({}, {"part-2": "sideways"}):
        assert 'id="part-2-error"' in _refused(owner.send(path, path, **typed))


def test_steps_without_places_or_two_in_one(owner: Any) -> None:
    path = owner.send("/practice", "/practice", family="safe-stop").location
    names = [n for n, _v in owner.form(path, path) if n.startswith("part-1-")]
    for place in ("0", "1", "99"):
        _refused(owner.send(path, path, **dict.fromkeys(names, place)))


def test_an_answer_in_the_other_unit_counts(owner: Any) -> None:
    path = owner.send("/practice", "/practice", family="standing-soybean").location
    choices = re.findall(r'name="(part-\d+)" value="([^"]+)"', owner.text(path))
    figures = {"part-1-ground_speed": "5,5 km/h", "part-3": "5 ha/h", "part-6": "20 h"}
    sent = dict(choices) | figures
    assert owner.send(path, path, **sent).status_code == 303


@_in_turn("field,typed", FIRST)
def test_the_first_start(phone: Any, house: House, field: str, typed: str) -> None:
    path = f"/first-run/{farm.first_run_link(house, house.clock())}"
    sent = {"farm_name": "Sallow Ridge", "owner_name": "Odalys Penrose", field: typed}
    text = _refused(phone.send(path, path, **sent))
    kept = "owner_name" if field == "farm_name" else "farm_name"
    assert f'name="{kept}" value="{sent[kept]}"' in text
    assert farm.farm(house) is None
    assert phone.get(path).status_code == 200


@_in_turn("field,typed", PEOPLE)
def test_taking_someone_in(owner: Any, field: str, typed: str) -> None:
    sent = {"name": "Ilse Quade", field: typed}
    text = _refused(owner.send("/crew", "/crew", **sent))
    if field != "name":
        assert 'name="name" value="Ilse Quade"' in text
    assert "Ilse Quade" not in owner.text("/crew")


def test_names_are_text_not_markup(owner: Any) -> None:
    owner.send("/crew", "/crew", name="<script>x</script> Tisdale")
    assert "&lt;script&gt;x&lt;/script&gt; Tisdale" in owner.text("/crew")


def test_no_slip_for_nobody(owner: Any) -> None:
    text = _refused(owner.send("/crew", "/crew/slips", person=[]))
    assert "Nobody is ticked." in text


@_in_turn("typed", ["", "tomorrow", "2026-13-01", "20/9/2026"])
def test_a_harvest_day(owner: Any, typed: str) -> None:
    text = _refused(owner.send("/season", "/season", harvest_day=typed))
    assert f'name="harvest_day" value="{typed}"' in text


@_in_turn("typed", [*FIGURES, "2.5", "201"])
def test_a_headcount(owner: Any, typed: str) -> None:
    text = _refused(owner.send("/season", "/season/needs", crew__lead=typed))
    assert f'name="crew-lead" value="{typed}"' in text


@_in_turn("typed", ["", "12345", "abcdef", "12345678", "１２３４５６"])
def test_a_pin(owner: Any, typed: str) -> None:
    text = _refused(owner.send("/sign-in", "/sign-in", pin=typed))
    assert typed == "" or f'value="{typed}"' not in text  # a PIN is not shown again


def test_a_person_of_another_device(
    owner: Any, join: Callable[..., Any], person_id: Callable[[Any], str]
) -> None:
    other = person_id(join("Ilse Quade", "hire"))
    answer = owner.send("/sign-in", "/sign-in", person=other, pin="123456")
    assert answer.status_code == 404  # who never used this device is not there


def test_language_and_units_never_offered(phone: Any) -> None:
    answer = phone.send("/", "/reader", language="xx")
    assert answer.status_code == 422


def test_a_family_that_is_not_there(owner: Any) -> None:
    for family in ("", "nothing", "../topics/reel"):
        answer = owner.send("/practice", "/practice", family=family)
        assert answer.status_code == 404
