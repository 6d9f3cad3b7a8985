"""Every figure and every source has its page, in both languages."""

from html import unescape
from typing import Any

import pytest

from academy.catalog import glossary, mouths, sources
from academy.service import how

WORDS = {"en": "How do we know?", "es": "¿Cómo lo sabemos?"}


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_figure_says_how_it_is_known(phone: Any, language: str) -> None:
    phone.send("/", "/reader", language=language)
    for key, entry in how.entries().items():
        answer = phone.get(f"/how/{key}")
        assert answer.status_code == 200, key
        text = answer.get_data(as_text=True)
        assert WORDS[language] in text
        assert f"/how/source/{entry.figure.source}" in text, key


def test_every_source_has_its_page(phone: Any) -> None:
    for key in sources.load():
        assert phone.get(f"/how/source/{key}").status_code == 200, key


def test_every_figure_is_listed_once_under_a_key_of_its_own() -> None:
    listed = list(how.listed())
    assert len({one.key for one in listed}) == len(listed) == len(how.entries())
    assert len({id(one.figure) for one in listed}) == len(listed)


def test_speeds_of_feed_drums_are_listed() -> None:
    for key, drive in mouths.load().items():
        for name in ("slowest", "fastest", "step"):
            assert how.entry(f"drum.{key}.{name}").figure == getattr(drive, name)


def test_every_figure_of_the_list_leads_to_its_page(phone: Any) -> None:
    text = phone.text("/how")
    assert len(how.entries()) > 50
    for key in how.entries():
        assert f'href="/how/{key}"' in text


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_glossary_has_every_word_in_both_languages(
    phone: Any, language: str
) -> None:
    phone.send("/", "/reader", language=language)
    text = unescape(phone.text("/glossary"))
    assert len(glossary.load()) > 100
    for term in glossary.load():
        assert f'<strong lang="es">{term.es}</strong>' in text
        assert term.en in text
        if term.meaning:
            assert term.meaning.for_language(language) in text
