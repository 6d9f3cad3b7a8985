"""Lessons: a head in TOML, and the same text in English and in Spanish Markdown.

A text carries slots. On a line of their own ``{{picture:…}}`` and ``{{steps:…}}`` stand
for a picture of ``lesson_pictures.toml`` and the steps of a procedure; within a line
``{{figure:…}}`` stands for a figure in the reader's units, with the way to its page.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from html import unescape
from types import MappingProxyType
from typing import Literal

from markdown_it import MarkdownIt

from academy import paths
from academy.catalog.toml_files import Record, Twin, Words, keys, path_of, read
from academy.errors import ContentError, NotFound

FOLDER = "lessons"
LANGUAGES = ("en", "es")
FIGURE = re.compile(r"\{\{figure:([\w.-]+)\}\}")
Subject = Literal[
    "knife", "reel", "ground-following", "crop-flow", "ends", "wings", "measuring"
]
_BLOCK = re.compile(r"^\{\{(picture|steps):([\w.-]+)\}\}$", re.MULTILINE)
_BRACED = re.compile(r"\{\{[^{}<]*\}?\}?")
_TAG = re.compile(r"<[^>]*>")
_ENDED = re.compile(r"</(?:p|li|h\d)>")
_MARKDOWN = MarkdownIt("commonmark", {"html": False})


class Head(Record):
    """A lesson's place in lists, what it is about, what it leans on and leads to.

    ``subject`` is one of the header's own subjects. ``figures`` are keys of figures,
    where ``crop.`` and ``header.`` stand for the reader's own; ``facts`` are keys of
    ``safety_facts.toml``; ``practice`` are families of questions.
    """

    order: int
    topic: Words
    subject: Subject | None = None
    title: Twin
    about: Twin
    hands_near: bool  # whether hands come near the machine
    figures: tuple[Words, ...] = ()
    facts: tuple[Words, ...] = ()
    practice: tuple[Words, Words, Words]


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of text as HTML, or what stands in a slot: a picture, steps."""

    kind: Literal["text", "picture", "steps"]
    value: str  # HTML, or the key of what the slot names


@dataclass(frozen=True, slots=True)
class Body:
    """The text of a lesson in one language, in the order it is read."""

    pieces: tuple[Piece, ...]

    @property
    def slots(self) -> tuple[tuple[str, str], ...]:
        """Kind and key of everything the text names, slots and figures."""
        found: list[tuple[str, str]] = []
        for piece in self.pieces:
            if piece.kind == "text":
                found += [("figure", key) for key in FIGURE.findall(piece.value)]
            else:
                found.append((piece.kind, piece.value))
        return tuple(found)

    @property
    def strange(self) -> tuple[str, ...]:
        """What stands in double braces and is no slot: a slip of the pen."""
        text = "".join(p.value for p in self.pieces if p.kind == "text")
        return tuple(map(unescape, _BRACED.findall(FIGURE.sub("", text))))

    @property
    def plain(self) -> str:
        """The words alone, a line for each paragraph, heading and item.

        A figure reads as a numeral and its unit.
        """
        text = "".join(p.value for p in self.pieces if p.kind == "text")
        return unescape(_TAG.sub("", _ENDED.sub("\n", FIGURE.sub("10 cm", text))))


@dataclass(frozen=True, slots=True)
class Lesson:
    """One lesson: its head, and its text by language."""

    key: str
    head: Head
    bodies: Mapping[str, Body]


def _pieces(text: str) -> Iterator[Piece]:
    start = 0
    for slot in _BLOCK.finditer(text):
        yield from _prose(text[start : slot.start()])
        yield Piece("picture" if slot[1] == "picture" else "steps", slot[2])
        start = slot.end()
    yield from _prose(text[start:])


def _prose(text: str) -> Iterator[Piece]:
    if text.strip():
        yield Piece("text", _MARKDOWN.render(text))


def body_of(text: str) -> Body:
    """A lesson's text, parted at its slots; HTML in it is shown, never obeyed."""
    return Body(tuple(_pieces(text)))


def file_of(key: str, language: str) -> str:
    """How errors name the text of a lesson in one language."""
    return f"{FOLDER}/{key}.{language}.md"


def _text(key: str, language: str) -> str:
    path = paths.content() / file_of(key, language)
    if not path.is_file() or not (text := path.read_text("utf-8")).strip():
        raise ContentError("lesson_without_twin", file=file_of(key, language))
    return text


def _read(key: str) -> Lesson:
    bodies = {each: body_of(_text(key, each)) for each in LANGUAGES}
    head = read(Head, path_of(FOLDER, key))
    return Lesson(key, head, MappingProxyType(bodies))


@cache
def known() -> Mapping[str, Lesson]:
    """Lessons by key, in the order of the lists.

    Raises ContentError for a text without its twin or its head.
    """
    heads = set(keys(FOLDER))
    for path in sorted((paths.content() / FOLDER).glob("*.md")):
        if path.name.split(".")[0] not in heads:
            raise ContentError("lesson_without_head", file=f"{FOLDER}/{path.name}")
    found = sorted(map(_read, heads), key=lambda lesson: lesson.head.order)
    return MappingProxyType({lesson.key: lesson for lesson in found})


def load(key: str) -> Lesson:
    """One lesson; raises NotFound."""
    if key not in known():
        raise NotFound("no_such_lesson", name=key)
    return known()[key]


def of_topic(topic: str) -> str | None:
    """The lesson named like a topic; None for a topic without one."""
    return topic if topic in known() else None
