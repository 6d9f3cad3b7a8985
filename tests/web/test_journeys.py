"""The way through the site, page by page, through its real forms, without scripts."""

import re
from collections.abc import Callable
from functools import partial
from typing import Any

import pytest
from together import run_all

from academy.catalog import families
from academy.service import farm
from academy.service.house import House
from academy.service.practice import question
from academy.service.signing import viewer_of

CAUTION = "Before anyone goes near the header:"
# what a page shows does not hang on the database: families take turns on the two
FAMILIES = sorted(families.practised())
IN_TURN = [(("sqlite", "postgres")[n % 2], FAMILIES[n::4]) for n in range(4)]


def _slip_links(sheet: str) -> list[str]:
    return re.findall(r"http://localhost:\d+(/slip/[\w-]+)</p>", sheet)


def _started(phone: Any, house: House) -> str:
    """The sheet with the owner's slip, after the first-run form."""
    path = f"/first-run/{farm.first_run_link(house, house.clock())}"
    answer = phone.send(
        path, path, farm_name="Sallow Ridge", owner_name="Odalys Penrose"
    )
    assert answer.status_code == 200
    return str(answer.get_data(as_text=True))


def test_an_owner_starts_the_farm_and_comes_in(phone: Any, house: House) -> None:
    sheet = _started(phone, house)
    (link,) = _slip_links(sheet)
    assert re.search(r'class="pin">\d{3} \d{3}<', sheet)
    assert phone.send(link, link).location == "/"
    assert "Good to see you, Odalys Penrose" in phone.text("/")


def test_the_first_run_link_works_once(phone: Any, house: House) -> None:
    link = f"/first-run/{farm.first_run_link(house, house.clock())}"
    sent = {"farm_name": "Sallow Ridge", "owner_name": "Odalys Penrose"}
    assert phone.send(link, link, **sent).status_code == 200
    assert phone.get(link).status_code == 404


def test_a_hire_is_taken_in_and_opens_the_slip(owner: Any, app: Any) -> None:
    answer = owner.send("/crew", "/crew", name="Ilse Quade", language="es")
    assert answer.status_code == 303
    ticked = owner.form("/crew", "/crew/slips")
    people = [value for name, value in ticked if name == "person"]
    sheet = owner.send("/crew", "/crew/slips", person=people)
    text = sheet.get_data(as_text=True)
    assert "Escanee esto con su teléfono" in text  # in the language of the person
    (link,) = _slip_links(text)
    hire = type(owner)(app)
    assert "Ilse Quade" in hire.text(link)
    assert hire.send(link, link).status_code == 303
    assert "Hola, Ilse Quade" in hire.text("/")
    assert hire.get(link).status_code == 404


def test_a_person_signs_out_and_in_with_the_pin(owner: Any, app: Any) -> None:
    owner.send("/crew", "/crew", name="Ilse Quade")
    people = [v for n, v in owner.form("/crew", "/crew/slips") if n == "person"]
    sheet = owner.send("/crew", "/crew/slips", person=people).get_data(as_text=True)
    (link,) = _slip_links(sheet)
    pin = re.findall(r'class="pin">([\d ]+)<', sheet)[0]
    hire = type(owner)(app)
    hire.send(link, link)
    hire.send("/", "/sign-out")
    wrong = hire.send("/sign-in?next=/card", "/sign-in", pin="000000")
    assert wrong.status_code == 403
    assert pin not in wrong.get_data(as_text=True)
    right = hire.send("/sign-in?next=/card", "/sign-in", pin=pin)
    assert right.location == "/card"


@pytest.mark.parametrize(("database", "keys"), IN_TURN, indirect=["database"])
def test_every_family_is_asked_answered_and_explained(
    owner: Any, house: House, any_answer: Callable[..., Any], keys: list[str]
) -> None:
    fields = dict(owner.form("/practice", "/practice"))
    goes = partial(_goes_through, owner, house, any_answer, fields)
    run_all(keys, [partial(goes, key) for key in keys])


def _goes_through(
    owner: Any,
    house: House,
    any_answer: Callable[..., Any],
    fields: dict[str, str],
    family: str,
) -> None:
    path = owner.client.post("/practice", data=fields | {"family": family}).location
    viewer = viewer_of(house, owner.client.get_cookie("sign_in").value, house.clock())
    assert viewer is not None
    asked = question(house, viewer, path.rpartition("/")[2])
    typed = {name: v for part in asked.parts for name, v in any_answer(part).items()}
    assert CAUTION in owner.text(path)
    answer = owner.send(path, path, **typed)
    assert answer.location == f"{path}/explained"
    explained = owner.text(answer.location)
    assert "How do we know?" in explained
    assert CAUTION in explained
    assert owner.get(path).location == f"{path}/explained"


def test_answers_reach_the_card_and_the_board(
    owner: Any, join: Callable[..., Any]
) -> None:
    hire = join("Ilse Quade", "hire")
    assert "Last answered" not in hire.text("/card")
    path = hire.send("/practice", "/practice", family="reel-speed-today").location
    hire.send(path, path, part__1="36")
    assert "Last answered" in hire.text("/card")
    board = owner.text("/readiness")
    assert "Ilse Quade" in board
    assert "Is each job covered?" in board


def test_answers_sent_twice_count_once(owner: Any) -> None:
    path = owner.send("/practice", "/practice", family="reel-speed-today").location
    fields = dict(owner.form(path, path)) | {"part-1": "36"}
    for _ in range(2):
        answer = owner.client.post(path, data=fields)
        assert answer.location == f"{path}/explained"
    assert "<dt>Answers</dt><dd>1</dd>" in owner.text("/card")


def test_an_unanswered_question_has_no_explanation(owner: Any) -> None:
    path = owner.send("/practice", "/practice", family="reel-speed-today").location
    assert owner.get(f"{path}/explained").status_code == 409


def test_harvest_day_and_needs_reach_the_board(owner: Any) -> None:
    day = "2026-09-20"
    assert owner.send("/season", "/season", harvest_day=day).status_code == 303
    assert 'value="2026-09-20"' in owner.text("/season")
    assert "harvest begins Sep 20, 2026, in 19 days" in owner.text("/")
    sent = {"crew__lead": "3"}
    assert owner.send("/season", "/season/needs", **sent).status_code == 303
    assert 'name="crew-lead" value="3"' in owner.text("/season")
    assert "first day of harvest Sep 20, 2026" in owner.text("/readiness")


def test_language_and_units_stay_with_the_person(owner: Any) -> None:
    answer = owner.send("/card", "/reader", language="es", units="metric")
    assert answer.location == "/card"
    assert "Mi tarjeta" in owner.text("/card")
    assert "km/h" in owner.text("/field/reel-speed")


def test_a_visitor_reads_in_the_language_of_the_browser(phone: Any) -> None:
    first = phone.get("/", headers={"Accept-Language": "es-MX,es;q=0.9,en;q=0.5"})
    assert '<html lang="es">' in first.get_data(as_text=True)
    phone.send("/", "/reader", language="en")
    again = phone.get("/", headers={"Accept-Language": "es"})
    assert '<html lang="en">' in again.get_data(as_text=True)


def test_a_person_let_go_is_out_at_once(
    owner: Any, join: Callable[..., Any], person_id: Callable[[Any], str]
) -> None:
    hire = join("Ilse Quade", "hire")
    leave = f"/crew/{person_id(hire)}/leave"
    assert owner.send("/crew", leave).status_code == 303
    assert hire.get("/card").status_code == 303
    assert "<span>Ilse Quade</span>" not in owner.text("/crew")
    assert "Ilse Quade" not in owner.text("/readiness")
