"""What every answer carries, and what every request must."""

import re
from typing import Any

import pytest

POLICY = (
    "default-src 'self'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "connect-src 'self'; worker-src 'self'; object-src 'none'; base-uri 'none'; "
    "frame-ancestors 'none'; form-action 'self'"
)
PUBLIC = ("/", "/field", "/field/reel-speed", "/glossary", "/how", "/sign-in", "/nope")
SIGNED_IN = ("/", "/practice", "/card", "/readiness", "/crew", "/season")


def _inline(text: str) -> list[str]:
    """Whatever the policy forbids: inline scripts, styles and event handlers."""
    scripts = re.findall(r"<script(?![^>]*\bsrc=)[^>]*>", text)
    styles = re.findall(r"<style|<[^>]+\sstyle=", text)
    return scripts + styles + re.findall(r"<[^>]+\son[a-z]+=", text)


@pytest.mark.parametrize("path", [*PUBLIC, "/health"])
def test_every_answer_is_guarded(phone: Any, path: str) -> None:
    answer = phone.get(path)
    assert answer.headers["Content-Security-Policy"] == POLICY
    assert answer.headers["Referrer-Policy"] == "same-origin"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["Cache-Control"] == "no-store"
    assert _inline(answer.get_data(as_text=True)) == []


def test_no_page_of_a_person_has_anything_inline(owner: Any) -> None:
    for path in SIGNED_IN:
        assert _inline(owner.text(path)) == [], path


def test_a_form_without_its_guard_is_refused(owner: Any) -> None:
    for path in ("/crew", "/season", "/practice", "/sign-out", "/reader", "/sign-in"):
        assert owner.client.post(path, data={"name": "X"}).status_code == 400, path
    assert owner.get("/card").status_code == 200


def test_the_guard_of_another_visit_is_refused(owner: Any, phone: Any) -> None:
    foreign = dict(phone.form("/", "/reader"))["csrf_token"]
    answer = owner.client.post("/sign-out", data={"csrf_token": foreign})
    assert answer.status_code == 400


def test_cookies_say_nothing_and_scripts_cannot_read_them(phone: Any) -> None:
    (cookie,) = phone.get("/").headers.getlist("Set-Cookie")
    assert "HttpOnly" in cookie
    assert "SameSite=Lax" in cookie
    assert "Secure" not in cookie


def test_on_https_cookies_are_secure(phone: Any) -> None:
    (cookie,) = phone.get("/", base_url="https://farm.example").headers.getlist(
        "Set-Cookie"
    )
    assert "Secure" in cookie


def test_long_text_travels_squeezed(phone: Any) -> None:
    answer = phone.get("/glossary", headers={"Accept-Encoding": "gzip"})
    assert answer.headers["Content-Encoding"] == "gzip"
    assert "Accept-Encoding" in answer.headers["Vary"]
    assert len(answer.data) < len(phone.get("/glossary").data) / 2


def test_style_and_script_are_kept_for_a_year_under_their_own_name(owner: Any) -> None:
    linked = re.findall(r'(?:href|src)="(/static/[^"]+)"', owner.text("/"))
    assert len(linked) == 2
    for path in linked:
        answer = owner.get(path)
        assert answer.status_code == 200
        assert "max-age=31536000" in answer.headers["Cache-Control"]
        assert "immutable" in answer.headers["Cache-Control"]
    assert owner.get("/static/site.000000000000.css").status_code == 404


def test_more_than_a_megabyte_is_refused(owner: Any) -> None:
    guard = dict(owner.form("/crew", "/crew"))["csrf_token"]
    sent = {"csrf_token": guard, "name": "x" * (1024 * 1024 + 1)}
    assert owner.client.post("/crew", data=sent).status_code == 413


def test_signing_out_ends_the_sign_in_itself(owner: Any) -> None:
    stolen = owner.client.get_cookie("sign_in").value
    assert owner.send("/", "/sign-out").status_code == 303
    owner.client.set_cookie("sign_in", stolen)
    assert owner.get("/card").status_code == 303


@pytest.mark.parametrize(
    "back", ["https://elsewhere.example/", "//elsewhere.example", "/\\elsewhere", "x"]
)
def test_no_address_leads_to_another_site(phone: Any, back: str) -> None:
    answer = phone.send("/", "/reader", back=back)
    assert answer.location == "/"
