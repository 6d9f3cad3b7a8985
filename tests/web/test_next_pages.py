"""What comes next on the pages: the starting set, its progress and its end."""

import re
from collections.abc import Callable
from typing import Any

from academy.service import next_practice, stock
from academy.service.house import House
from academy.service.practice import question
from academy.service.signing import viewer_of


def _answer(phone: Any, house: House, path: str, typed_for: Callable[..., Any]) -> Any:
    viewer = viewer_of(house, phone.client.get_cookie("sign_in").value, house.clock())
    assert viewer is not None
    asked = question(house, viewer, path.rpartition("/")[2])
    typed = {name: v for part in asked.parts for name, v in typed_for(part).items()}
    return phone.send(path, path, **typed)


def test_a_new_hire_is_led_through_the_starting_set(
    join: Callable[..., Any], house: House, any_answer: Callable[..., Any]
) -> None:
    hire = join("Ilse Quade", "hire")
    assert "Starting set: 0 of 6 answered" in hire.text("/practice")
    assert "working safely comes before everything" in hire.text("/practice")
    assert hire.get("/practice/starting").status_code == 404
    for turn in range(1, 7):
        path = hire.send("/practice", "/practice/next").location
        assert f"{turn - 1} of 6 answered" in hire.text(path)
        explained = _answer(hire, house, path, any_answer).location
        assert explained == f"{path}/explained"
        assert f"Starting set: {turn} of 6 answered" in hire.text(explained)
    assert "/practice/starting" in hire.text(explained)
    shown = hire.text("/practice/starting")
    assert len(re.findall(r"/practice/[0-9a-f]{32}/explained", shown)) == 6
    assert "Done: a first look" in shown
    assert "Starting set" not in hire.text("/practice")


def test_the_next_one_says_why_in_both_languages(owner: Any) -> None:
    text = owner.text("/practice")
    assert "Next for you" in text
    assert "Because you have not answered anything on" in text
    owner.send("/practice", "/reader", language="es")
    text = owner.text("/practice")
    assert "Lo que sigue para usted" in text
    assert "Porque todavía no ha respondido nada" in text


def test_what_is_laid_ready_is_listed_and_comes_next(
    owner: Any, house: House, join: Callable[..., Any]
) -> None:
    hire = join("Ilse Quade", "hire")
    viewer = viewer_of(house, hire.client.get_cookie("sign_in").value, house.clock())
    assert viewer is not None
    coming = next_practice.next_for(house, viewer, house.clock())
    assert coming is not None
    others = {"harvest-fire", "reel-speed-today", "field-capacity"} - {coming.family}
    for family in (coming.family, *sorted(others)):
        stock.add_one(house, family)
    assert hire.send("/practice", "/practice/ready").location == "/practice"
    text = hire.text("/practice")
    waiting = re.findall(r'<li><a href="(/practice/[0-9a-f]{32})"', text)
    assert 1 <= len(waiting) <= 3
    assert f'<a class="button" href="{waiting[0]}"' in text
    for path in waiting:
        assert owner.get(path).status_code == 404


def test_an_explanation_leads_to_another_family(
    owner: Any, house: House, any_answer: Callable[..., Any]
) -> None:
    path = owner.send("/practice", "/practice", family="safe-stop").location
    _answer(owner, house, path, any_answer)
    viewer = viewer_of(house, owner.client.get_cookie("sign_in").value, house.clock())
    assert viewer is not None
    coming = next_practice.next_for(house, viewer, house.clock())
    assert coming is not None
    assert coming.family != "safe-stop"
    assert coming.title in owner.text(f"{path}/explained")
