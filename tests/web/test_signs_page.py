"""Signs, causes and cures: every row of the trade's list, open to everyone."""

import re
from collections.abc import Callable
from html import unescape
from typing import Any

import pytest

from academy.catalog import families, troubles

# Rows whose cause and cure the trade's list gives and that no question of ours can ask:
# no header here has air tubes, a reel with other bats, a stripper front, or a pump that
# is worked out.
NOT_ASKED = {
    "air-stops-helping",
    "pulsing-feed",
    "short-wheat-on-the-bar",
    "spongy-lift",
}


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_row_stands_there_with_cause_cure_and_source(
    phone: Any, language: str
) -> None:
    phone.send("/", "/reader", language=language, units="us", back="/")
    page = unescape(phone.text("/signs"))
    assert page.index('class="caution"') < page.index("<h3")
    rows = page.split("<h3 ")[1:]
    assert len(rows) == 47  # rows of the trade's list
    for key, trouble in troubles.load().items():
        row = next(one for one in rows if one.startswith(f'id="{key}"'))
        for text in (trouble.symptom, trouble.cause, trouble.cure):
            assert text.for_language(language)[1:] in row, key
        assert f'href="/how/source/{trouble.source}"' in row, key
    assert 'action="/practice"' not in page


def test_a_row_says_what_practises_it_or_that_nothing_does(
    join: Callable[..., Any], owner: Any
) -> None:
    del owner
    page = join("Ilse Quade", "hire").text("/signs")
    offered = {
        row.partition('"')[0]: re.findall(r'name="family" value="([\w-]+)"', row)
        for row in page.split('<h3 id="')[1:]
    }
    assert {key for key, found in offered.items() if not found} == NOT_ASKED
    for key, found in offered.items():
        named = set(troubles.load()[key].faults)
        if named:
            for family in found:
                parts = families.practised()[family].parts
                assert any(named & set(part.faults) for part in parts), (key, family)


def test_the_lesson_on_finding_the_cause_leads_there(phone: Any) -> None:
    assert 'href="/signs"' in phone.text("/lessons/finding-cause")
    assert 'href="/signs"' in phone.text("/lessons")
