"""Lessons open for everyone in both languages; who is signed in starts practice."""

from collections.abc import Callable
from typing import Any

import pytest

from academy.catalog import lessons


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_lesson_opens_without_signing_in(phone: Any, language: str) -> None:
    phone.send("/", "/reader", language=language, units="us", back="/")
    listed = phone.text("/lessons")
    for key, lesson in lessons.known().items():
        title = lesson.head.title.for_language(language)
        assert title in listed, key
        text = phone.text(f"/lessons/{key}")
        assert f'<h1 class="page-title">{title}</h1>' in text
        assert "{{" not in text, key
        assert 'class="caution"' in text, key
        assert 'action="/practice"' not in text, key


def test_a_chosen_crop_and_header_are_drawn_and_nonsense_is_refused(phone: Any) -> None:
    page = phone.get("/lessons/reel?crop=wheat&header=flex35")
    assert "flex35" in page.get_data(as_text=True)
    assert phone.get("/lessons/reel?crop=moonbean").status_code in (404, 422)
    assert phone.get("/lessons/no-such-lesson").status_code == 404


def test_who_is_signed_in_sees_the_farms_header_and_starts_practice(
    join: Callable[..., Any], owner: Any
) -> None:
    del owner
    hire = join("Ilse Quade", "hire")
    text = hire.text("/lessons/measuring-losses")
    assert 'action="/practice"' in text
    sent = hire.send(
        "/lessons/measuring-losses", "/practice", family="loss-from-counts"
    )
    assert sent.status_code == 303
    assert hire.get(sent.location).status_code == 200


def test_practice_list_and_card_lead_to_the_lessons(
    join: Callable[..., Any], owner: Any
) -> None:
    del owner
    hire = join("Ilse Quade", "hire")
    for page in ("/practice", "/card"):
        assert 'href="/lessons/reel"' in hire.text(page), page
