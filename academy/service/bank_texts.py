"""Every text that a question shows, told twice: which has no twin?"""

import re
from collections.abc import Iterator, Sequence
from itertools import zip_longest

from academy.catalog.families import Family
from academy.service.views import PartView, Table

_WORD = re.compile(r"[^\W\d_]{3,}")
_NONE = ("", "")
_TOLD = ("title", "story", "prompt")  # never empty
Text = tuple[str, str]  # where it stands, and what it says


def _of_table(table: Table) -> Iterator[str]:
    yield from (table.caption, *table.head)
    for row in table.rows:
        yield from row


def _of_lists(view: PartView) -> Iterator[Text]:
    yield from (*view.options, *view.steps)
    for control in view.controls:
        yield control.name, control.label
    for key, name, reads in view.findings:
        yield key, name
        yield f"{key} reads", reads


def _of_part(view: PartView) -> Iterator[Text]:
    yield "prompt", view.prompt
    yield "sign", view.sign
    yield from _of_lists(view)
    for picture in view.pictures:
        yield "picture", picture.title
        yield "picture", picture.description
    for table in (*view.tables, *(picture.table for picture in view.pictures)):
        for text in _of_table(table):
            yield "table", text


def shown(family: Family, views: Sequence[PartView], language: str) -> list[Text]:
    """Every text of a question with its place, in one language."""
    found = [
        ("title", family.title.for_language(language)),
        ("story", family.story.for_language(language)),
    ]
    for view in views:
        found += [(f"part {view.index}: {at}", text) for at, text in _of_part(view)]
    return found


def _words(text: str) -> int:
    return len(_WORD.findall(text))


def missing(english: Sequence[Text], spanish: Sequence[Text]) -> tuple[str, ...]:
    """Where a text lacks its twin: it is empty on one side, or the same on both.

    One word, or a number with its unit, may well be the same in both languages.
    """
    found = []
    for (at, en), (there, es) in zip_longest(english, spanish, fillvalue=_NONE):
        same = en == es and (_words(en) > 1 or (not en.strip() and at.endswith(_TOLD)))
        if bool(en.strip()) != bool(es.strip()) or same:
            found.append(at or there)
    return tuple(dict.fromkeys(found))
