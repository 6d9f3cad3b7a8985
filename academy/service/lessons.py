"""Lessons as they are read: text, live pictures, steps, sourced facts, practice.

Everyone may read them. Pictures are drawn for a chosen crop and header; at first those
of the farm.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from html import escape

from academy.catalog import facts, families, lessons, procedures, sources, topics
from academy.catalog.evidence import EvidenceClass
from academy.catalog.lessons import FIGURE, Lesson, Piece
from academy.catalog.procedures import Procedure
from academy.language import Language, Reader, gettext
from academy.service import farm, how, lesson_pictures
from academy.service.bench_choice import Choice, usual
from academy.service.evidence_words import EVIDENCE
from academy.service.house import House
from academy.service.lesson_pictures import Shown
from academy.service.views import HowRow


@dataclass(frozen=True, slots=True)
class Line:
    """One lesson in a list."""

    key: str
    title: str
    about: str


@dataclass(frozen=True, slots=True)
class Group:
    """The lessons of one topic."""

    topic: str
    name: str
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Why:
    """One step that must come before another, with reason and source."""

    before: str
    after: str
    why: str
    evidence: str
    source: str
    href: str


@dataclass(frozen=True, slots=True)
class Steps:
    """A procedure: its steps in one right order, and why that order."""

    title: str
    purpose: str
    steps: tuple[str, ...]
    whys: tuple[Why, ...]
    never: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """A stretch of a lesson: HTML text, a picture with what it shows, or steps."""

    html: str = ""
    caption: str = ""
    shown: Shown | None = None
    steps: Steps | None = None


@dataclass(frozen=True, slots=True)
class LessonView:
    """One lesson in the reader's words."""

    key: str
    title: str
    topic: str
    about: str
    hands_near: bool
    parts: tuple[Part, ...]
    figures: tuple[HowRow, ...]
    facts: tuple[HowRow, ...]
    practice: tuple[tuple[str, str], ...]  # family, its title
    more: tuple[Line, ...]  # of the same topic


# --- lists


def _line(lesson: Lesson, language: Language) -> Line:
    head = lesson.head
    title, about = (t.for_language(language) for t in (head.title, head.about))
    return Line(lesson.key, title, about)


def _of(topic: str, language: Language) -> Iterator[Line]:
    for lesson in lessons.known().values():
        if lesson.head.topic == topic:
            yield _line(lesson, language)


def index(language: Language) -> tuple[Group, ...]:
    """Every lesson by topic."""
    return tuple(
        Group(key, topic.name.for_language(language), tuple(_of(key, language)))
        for key, topic in topics.load().items()
    )


def of_topics() -> Mapping[str, str]:
    """Topics with a lesson of their own name: topic and lesson."""
    return {key: key for key in topics.load() if lessons.of_topic(key)}


# --- whose crop and header


def own_choice(house: House, asked: Mapping[str, str], now: datetime) -> Choice:
    """The crop and header asked for, else the farm's, else the usual ones.

    Raises NotUnderstood for what is not there.
    """
    found, given = farm.farm(house, now), {}
    if found is not None:
        given["header"] = found.header_key
        if found.season is not None:
            given["crop"] = found.season.crop_key
    given |= {k: v for k, v in asked.items() if k in ("crop", "header") and v}
    return usual(given)


# --- one lesson


def figure_key(named: str, choice: Choice) -> str:
    """A figure's key as a lesson names it, for the reader's crop and header."""
    first, dot, rest = named.partition(".")
    own = {"crop": choice.crop, "header": choice.header}
    return f"{own[first]}{dot}{rest}" if first in own else named


def _html(piece: Piece, choice: Choice, reader: Reader) -> str:
    def linked(slot: re.Match[str]) -> str:
        key = figure_key(slot[1], choice)
        value = escape(how.entry(key).value(reader))
        return f'<a href="/how/{key}">{value}</a>'

    return FIGURE.sub(linked, piece.value)


def _source(key: str, language: Language) -> str:
    return sources.load()[key].called(language)


def _evidence(key: EvidenceClass, language: Language) -> str:
    return gettext(EVIDENCE[key], language)


def _whys(procedure: Procedure, language: Language) -> Iterator[Why]:
    steps = {step.key: step.text.for_language(language) for step in procedure.steps}
    for pair in procedure.precedences:
        if pair.safety_critical:
            yield Why(
                before=steps[pair.before],
                after=steps[pair.after],
                why=pair.why.for_language(language),
                evidence=_evidence(pair.evidence, language).partition(":")[0],
                source=_source(pair.source, language),
                href=f"/how/source/{pair.source}",
            )


def _steps(key: str, language: Language) -> Steps:
    procedure = procedures.known()[key]
    return Steps(
        title=procedure.title.for_language(language),
        purpose=procedure.purpose.for_language(language),
        steps=tuple(step.text.for_language(language) for step in procedure.steps),
        whys=tuple(_whys(procedure, language)),
        never=tuple(one.for_language(language) for one in procedure.never),
    )


def _part(place: int, piece: Piece, choice: Choice, reader: Reader) -> Part:
    if piece.kind == "text":
        return Part(html=_html(piece, choice, reader))
    if piece.kind == "steps":
        return Part(steps=_steps(piece.value, reader.language))
    shown = lesson_pictures.drawn(piece.value, choice, reader, f"lesson-{place}")
    return Part(caption=lesson_pictures.caption(piece.value, reader), shown=shown)


def _figure(named: str, choice: Choice, reader: Reader) -> HowRow:
    entry = how.entry(figure_key(named, choice))
    language, figure = reader.language, entry.figure
    return HowRow(
        entry.name(language),
        entry.value(reader),
        _evidence(figure.evidence, language),
        entry.source.called(language),
        f"/how/{entry.key}",
    )


def _fact(key: str, language: Language) -> HowRow:
    fact = facts.load()[key]
    return HowRow(
        fact.text.for_language(language),
        "",
        _evidence(fact.evidence, language).partition(":")[0],
        _source(fact.source, language),
        f"/how/source/{fact.source}",
    )


def lesson(key: str, choice: Choice, reader: Reader) -> LessonView:
    """A lesson for a crop and a header; raises NotFound for an unknown key."""
    found, language = lessons.load(key), reader.language
    head, pieces = found.head, found.bodies[language].pieces
    known = families.practised()
    return LessonView(
        key=key,
        title=head.title.for_language(language),
        topic=topics.load()[head.topic].name.for_language(language),
        about=head.about.for_language(language),
        hands_near=head.hands_near,
        parts=tuple(_part(n, p, choice, reader) for n, p in enumerate(pieces)),
        figures=tuple(_figure(one, choice, reader) for one in head.figures),
        facts=tuple(_fact(one, language) for one in head.facts),
        practice=tuple(
            (one, known[one].title.for_language(language)) for one in head.practice
        ),
        more=tuple(one for one in _of(head.topic, language) if one.key != key),
    )
