"""Who may open what: every page for a visitor, a hire, a lead and the owner."""

from collections.abc import Callable
from typing import Any

import pytest

PAGES = ("visitor", "hire", "lead", "owner")
TABLE = {
    "/": (200, 200, 200, 200),
    "/field": (200, 200, 200, 200),
    "/field/reel-speed": (200, 200, 200, 200),
    "/field/loss-check": (200, 200, 200, 200),
    "/field/capacity": (200, 200, 200, 200),
    "/how": (200, 200, 200, 200),
    "/glossary": (200, 200, 200, 200),
    "/lessons": (200, 200, 200, 200),
    "/lessons/safe-stop": (200, 200, 200, 200),
    "/lessons/no-such-lesson": (404, 404, 404, 404),
    "/signs": (200, 200, 200, 200),
    "/health": (200, 200, 200, 200),
    "/sign-in": (200, 200, 200, 200),
    "/practice": (303, 200, 200, 200),
    "/card": (303, 200, 200, 200),
    "/readiness": (303, 403, 200, 200),
    "/readiness/sheet": (303, 403, 200, 200),
    "/readiness.xlsx": (303, 403, 200, 200),
    "/crew": (303, 403, 200, 200),
    "/crew/roster": (303, 403, 403, 200),
    "/crew/roster.csv": (303, 403, 200, 200),
    "/crew/roster-sample.csv": (303, 403, 403, 200),
    "/labs": (303, 404, 200, 200),
    "/labs/0123456789abcdef": (303, 404, 404, 404),
    "/labs/0123456789abcdef/debrief": (303, 404, 404, 404),
    "/labs/0123456789abcdef/paper": (303, 404, 404, 404),
    "/labs/0123456789abcdef/answers.csv": (303, 404, 404, 404),
    "/labs/0123456789abcdef/answers.xlsx": (303, 404, 404, 404),
    "/lab/0123456789abcdef": (303, 404, 404, 404),
    "/assessments": (303, 404, 200, 200),
    "/assessments/0123456789abcdef": (303, 404, 404, 404),
    "/assessments/0123456789abcdef/1": (303, 404, 404, 404),
    "/assessments/0123456789abcdef/record": (303, 404, 404, 404),
    "/assessments/0123456789abcdef/record/1": (303, 404, 404, 404),
    "/assessments/0123456789abcdef/appeal": (303, 404, 404, 404),
    "/appeals": (303, 404, 200, 200),
    "/raters": (303, 404, 404, 200),
    "/raters/no-such-family": (303, 404, 404, 404),
    "/people/0123456789abcdef/assessment": (303, 404, 404, 404),
    "/how/engine": (200, 200, 200, 200),
    "/try-out": (200, 200, 200, 200),
    "/season": (303, 403, 403, 200),
    "/practice/0123456789abcdef": (303, 404, 404, 404),
    "/practice/0123456789abcdef/explained": (303, 404, 404, 404),
    "/people/0123456789abcdef": (303, 404, 404, 404),
    "/people/0123456789abcdef/devices": (303, 404, 404, 404),
    "/people/0123456789abcdef/name": (303, 403, 403, 404),
    "/people/0123456789abcdef/erase": (303, 403, 403, 404),
    "/first-run/0123": (404, 404, 404, 404),
    "/slip/0123": (404, 404, 404, 404),
    "/how/no-such-figure": (404, 404, 404, 404),
    "/how/source/no-such-source": (404, 404, 404, 404),
    "/no-such-page": (404, 404, 404, 404),
}


@pytest.fixture
def phones(owner: Any, phone: Any, join: Callable[..., Any]) -> dict[str, Any]:
    return {
        "visitor": phone,
        "hire": join("Ilse Quade", "hire"),
        "lead": join("Baltazar Oyarce", "lead"),
        "owner": owner,
    }


def test_every_page_opens_for_those_it_is_for(phones: dict[str, Any]) -> None:
    for path, wanted in TABLE.items():
        got = tuple(phones[who].get(path).status_code for who in PAGES)
        assert got == wanted, path


def test_a_card_is_for_its_person_their_lead_and_the_owner(
    phones: dict[str, Any], person_id: Callable[[Any], str]
) -> None:
    of = {who: f"/people/{person_id(phones[who])}" for who in PAGES[1:]}
    opens = {
        who: [phones[who].get(of[whose]).status_code for whose in PAGES[1:]]
        for who in PAGES[1:]
    }
    assert opens["hire"] == [200, 404, 404]
    assert opens["lead"] == [200, 200, 200]
    assert opens["owner"] == [200, 200, 200]


def test_devices_are_for_their_person_and_those_who_hand_the_slips(
    phones: dict[str, Any], person_id: Callable[[Any], str]
) -> None:
    of = {who: f"/people/{person_id(phones[who])}/devices" for who in PAGES[1:]}
    opens = {
        who: [phones[who].get(of[whose]).status_code for whose in PAGES[1:]]
        for who in PAGES[1:]
    }
    assert opens["hire"] == [200, 404, 404]
    assert opens["lead"] == [200, 200, 403]
    assert opens["owner"] == [200, 200, 200]
    guard = dict(phones["hire"].form("/", "/reader"))["csrf_token"]
    for whose in ("lead", "owner"):
        for deed in ("close", "0123/close"):
            answer = phones["hire"].client.post(
                f"{of[whose]}/{deed}", data={"csrf_token": guard}
            )
            assert answer.status_code == 404


def test_a_refused_deed_changes_nothing(phones: dict[str, Any]) -> None:
    guard = dict(phones["hire"].form("/", "/reader"))["csrf_token"]
    sent = {"csrf_token": guard, "name": "Nobody", "roles": "hire",
            "language": "en", "units": "us", "person": "0", "harvest_day": "2026-10-01",
            "crop": "soybean"}  # fmt: skip
    for path in (
        "/crew",
        "/crew/slips",
        "/crew/0123/leave",
        "/crew/roster",
        "/crew/roster/keep",
        "/people/0123/name",
        "/people/0123/erase",
        "/people/0123/back",
        "/season",
        "/season/needs",
    ):
        answer = phones["hire"].client.post(path, data=sent)
        assert answer.status_code == 403, path
    assert "Nobody" not in phones["owner"].text("/crew")


def test_a_question_is_for_its_person_alone(phones: dict[str, Any]) -> None:
    issued = phones["hire"].send("/practice", "/practice", family="reel-speed-today")
    assert issued.status_code == 303
    assert phones["hire"].get(issued.location).status_code == 200
    for who in ("lead", "owner"):
        assert phones[who].get(issued.location).status_code == 404
        assert phones[who].get(issued.location + "/explained").status_code == 404


def test_a_visitor_is_led_to_sign_in_and_back(phones: dict[str, Any]) -> None:
    answer = phones["visitor"].get("/readiness")
    assert answer.location == "/sign-in?next=/readiness"
