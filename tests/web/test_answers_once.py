"""Answers that come late, twice or from the wrong hands; what a phone may keep."""

import re
import threading
from collections.abc import Callable
from typing import Any

from sqlalchemy import select

from academy.records.tables.answers import answer
from academy.service.house import House

FAMILY = "reel-speed-today"


def _asked(phone: Any) -> str:
    return str(phone.send("/practice", "/practice", family=FAMILY).location)


def _kept(house: House) -> list[tuple[Any, str]]:
    with house.db.read() as connection:
        rows = connection.execute(select(answer.c.answer, answer.c.client_key))
        return [(row.answer, row.client_key) for row in rows]


def test_two_tabs_at_once_leave_one_answer(owner: Any, app: Any, house: House) -> None:
    path = _asked(owner)
    forms = [dict(owner.form(path, path)) | {"part-1": typed} for typed in "12"]
    assert forms[0]["key"] != forms[1]["key"]
    cookies = [owner.client.get_cookie(name) for name in ("sign_in", "device")]
    replies = []

    def send(form: dict[str, str]) -> None:
        client = app.test_client()
        for cookie in cookies:
            client.set_cookie(cookie.key, cookie.value)
        replies.append(client.post(path, data=form).location)

    tabs = [threading.Thread(target=send, args=(form,)) for form in forms * 3]
    for tab in tabs:
        tab.start()
    for tab in tabs:
        tab.join()
    assert replies == [f"{path}/explained"] * 6
    ((given, key),) = _kept(house)
    first = next(form for form in forms if form["key"] == key)
    assert given["value"][0] == float(first["part-1"])


def test_a_key_opens_nobody_elses_scenario(
    owner: Any, join: Callable[..., Any], house: House
) -> None:
    other = join("Ilse Quade", "hire")
    path = _asked(owner)
    form = dict(owner.form(path, path)) | {"part-1": "36"}
    form["csrf_token"] = other.get("/practice/guard").json["guard"]
    assert other.client.post(path, data=form).status_code == 404
    assert _kept(house) == []


def test_a_form_from_before_signing_in_again_goes_through_with_a_fresh_guard(
    owner: Any, house: House
) -> None:
    path = _asked(owner)
    form = dict(owner.form(path, path)) | {"part-1": "36"}
    stale = form | {"csrf_token": form["csrf_token"][:-4] + "AAAA"}
    assert owner.client.post(path, data=stale).status_code == 400
    assert _kept(house) == []
    fresh = form | {"csrf_token": owner.get("/practice/guard").json["guard"]}
    assert owner.client.post(path, data=fresh).location == f"{path}/explained"
    assert [key for _given, key in _kept(house)] == [form["key"]]


def test_the_guard_is_told_to_its_own_person_only(
    phone: Any, owner: Any, person_id: Callable[[Any], str]
) -> None:
    assert phone.get("/practice/guard").json == {"person": "", "guard": ""}
    told = owner.get("/practice/guard")
    assert told.json["person"] == person_id(owner)
    assert told.headers["Cache-Control"] == "no-store"


def test_a_late_refusal_says_why_and_keeps_nothing(owner: Any, house: House) -> None:
    path = _asked(owner)
    reply = owner.send(path, path, part__1="9**9")
    assert reply.status_code == 422
    text = reply.get_data(as_text=True)
    assert 'class="error"' in text
    assert "data-sent" in text
    assert _kept(house) == []


def test_pages_say_whose_they_are(
    phone: Any, owner: Any, person_id: Callable[[Any], str]
) -> None:
    assert phone.get("/").headers["Page-Of"] == ""
    for path in ("/", "/card", "/practice"):
        assert owner.get(path).headers["Page-Of"] == person_id(owner)
    assert "Page-Of" not in owner.get("/health").headers


def test_only_the_list_and_questions_may_be_kept(owner: Any) -> None:
    path = _asked(owner)
    month = str(30 * 24 * 3600)
    assert owner.get("/practice").headers["Keep-Seconds"] == month
    assert owner.get(path).headers["Keep-Seconds"] == month
    owner.send(path, path, part__1="36")
    explained = owner.get(f"{path}/explained")
    assert explained.status_code == 200
    assert "Keep-Seconds" not in explained.headers
    assert "Keep-Seconds" not in owner.get("/card").headers


def test_a_shared_phone_keeps_pages_for_minutes(
    owner: Any, join: Callable[..., Any]
) -> None:
    hire = join("Ilse Quade", "hire")
    owner.send("/crew", "/crew", name="Pia Ames")
    people = [v for n, v in owner.form("/crew", "/crew/slips") if n == "person"]
    sheet = owner.send("/crew", "/crew/slips", person=people)
    (link,) = re.findall(r"(/slip/[\w-]+)</p>", sheet.get_data(as_text=True))
    hire.send(link, link)
    assert hire.get("/practice").headers["Keep-Seconds"] == str(10 * 60)


def test_the_worker_keeps_files_that_exist_and_nothing_of_a_person(
    owner: Any,
) -> None:
    worker = owner.get("/service-worker.js")
    assert worker.mimetype == "text/javascript"
    assert worker.headers["Cache-Control"] == "no-cache"
    first, second = worker.get_data(as_text=True).splitlines()[:2]
    assert first.startswith('const VERSION = "')
    shell = second.partition("= ")[2].rstrip(";")
    kept = [name.strip('" ') for name in shell.strip("[]").split(",")]
    assert len(kept) == 3
    for name in kept:
        assert owner.get(name).status_code == 200
    offline = owner.get("/offline")
    assert "Set-Cookie" not in offline.headers
    text = offline.get_data(as_text=True)
    assert "csrf_token" not in text
    assert "Odalys" not in text
    assert "Sin señal" in text
