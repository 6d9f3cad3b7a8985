"""What is wrong with lessons: names of nothing, twins that differ, hard words."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import fields
from functools import cache
from itertools import cycle, product

from academy.catalog import (
    crops,
    facts,
    families,
    faults,
    headers,
    knives,
    lesson_pictures,
    lessons,
    procedures,
    sources,
    topics,
)
from academy.catalog.facts import SourcedFact
from academy.catalog.lessons import Body, Head, Lesson, file_of
from academy.catalog.reading_grade import flesch_kincaid, inflesz, words
from academy.engine.conditions import Settings
from academy.errors import AcademyError, ContentError
from academy.language import Reader
from academy.service import how
from academy.service import lesson_pictures as drawing
from academy.service.bench_choice import CURVES, usual
from academy.service.lessons import figure_key

HARDEST_GRADE, LEAST_EASE = 8.0, 55.0  # of English and of Spanish
SHORTEST, LONGEST = 250, 450  # words
TIMES = {*(field.name for field in fields(Settings)), "moisture"}
Named = tuple[str, str, bool]  # field, what it names, whether that exists


def _unknown(file: str, named: Iterator[Named]) -> Iterator[AcademyError]:
    for field, name, exists in named:
        if not exists:
            raised = ContentError("names_unknown", file=file, field=field, value=name)
            yield raised


def _figure_known(named: str) -> bool:
    """Whether a figure is there, for every crop and header it may stand for."""
    every = (
        usual({"crop": crop, "header": header})
        for crop, header in product(crops.known(), headers.known())
    )
    return all(figure_key(named, choice) in how.entries() for choice in every)


def _named(lesson: Lesson) -> Iterator[Named]:
    head = lesson.head
    yield "topic", head.topic, head.topic in topics.load()
    for one in head.practice:
        yield "practice", one, one in families.practised()
    for one in head.facts:
        yield "facts", one, one in facts.load()
    for one in head.figures:
        yield "figures", one, _figure_known(one)


def _in_text(body: Body) -> Iterator[Named]:
    for kind, name in body.slots:
        if kind == "picture":
            yield kind, name, name in lesson_pictures.load()
        elif kind == "steps":
            yield kind, name, name in procedures.known()
        else:
            yield kind, name, _figure_known(name)


def _off_topic(key: str, head: Head) -> Iterator[AcademyError]:
    """Families to practise that ask nothing of the lesson's topic."""
    known = families.practised()
    for one in head.practice:
        if one in known and head.topic not in {p.topic for p in known[one].parts}:
            file = f"{lessons.FOLDER}/{key}.toml"
            yield ContentError("practice_off_topic", file=file, value=one)


def _hard(lesson: Lesson) -> Iterator[AcademyError]:
    """Texts too hard, too short or too long."""
    english, spanish = (lesson.bodies[each].plain for each in lessons.LANGUAGES)
    grade, ease = flesch_kincaid(english), inflesz(spanish)
    if grade > HARDEST_GRADE:
        yield ContentError(
            "lesson_too_hard",
            file=file_of(lesson.key, "en"),
            value=f"{grade:.1f}",
            limit=HARDEST_GRADE,
        )
    if ease < LEAST_EASE:
        yield ContentError(
            "lesson_not_easy",
            file=file_of(lesson.key, "es"),
            value=f"{ease:.1f}",
            limit=LEAST_EASE,
        )
    yield from _wrong_length(lesson)


def _wrong_length(lesson: Lesson) -> Iterator[AcademyError]:
    for language, body in lesson.bodies.items():
        count = len(words(body.plain))
        if not SHORTEST <= count <= LONGEST:
            file = file_of(lesson.key, language)
            yield ContentError(
                "lesson_length", file=file, value=count, low=SHORTEST, high=LONGEST
            )


def _slips(lesson: Lesson, language: str) -> Iterator[AcademyError]:
    """Slots of one text that name nothing, or are no slots at all."""
    file, body = file_of(lesson.key, language), lesson.bodies[language]
    yield from _unknown(file, _in_text(body))
    for text in body.strange:
        yield ContentError("lesson_slot_strange", file=file, value=text)


def _slots_differ(lesson: Lesson) -> Iterator[AcademyError]:
    """Slots that only one of the two texts has, or another order of the same ones."""
    english, spanish = (lesson.bodies[each].slots for each in lessons.LANGUAGES)
    if english == spanish:
        return
    here, there = (Counter(slots) for slots in (english, spanish))
    for language, alone in (("en", here - there), ("es", there - here)):
        for kind, name in alone:
            value, file = f"{{{{{kind}:{name}}}}}", file_of(lesson.key, language)
            yield ContentError("lesson_slot_alone", file=file, value=value)
    if here == there:
        yield ContentError("lesson_slots_differ", file=file_of(lesson.key, "es"))


def lesson_problems(key: str, lesson: Lesson) -> Iterator[AcademyError]:
    """Everything wrong with one lesson."""
    yield from _unknown(f"{lessons.FOLDER}/{key}.toml", _named(lesson))
    yield from _off_topic(key, lesson.head)
    slips = [p for each in lesson.bodies for p in _slips(lesson, each)]
    yield from slips or _slots_differ(lesson)
    yield from _hard(lesson)


def _picture_names(one: lesson_pictures.LessonPicture) -> Iterator[Named]:
    for each in (one.times, *(bar.times for bar in one.compared)):
        yield from (("times", name, name in TIMES) for name in each)
    if one.drawn in ("cost", "stack"):
        yield "control", one.control, one.control in CURVES
    if one.drawn == "knife":
        yield "knife", one.knife, one.knife in knives.load()
    if one.drawn == "stubble":
        yield "fault", one.fault, one.fault in faults.load()


def _undrawn(key: str) -> Iterator[AcademyError]:
    """What keeps a picture from being drawn, for every crop and every header."""
    for crop, header in zip(crops.known(), cycle(headers.known()), strict=False):
        choice = usual({"crop": crop, "header": header})
        try:
            drawing.drawn(key, choice, Reader("en", "us"), "check")
        except AcademyError as problem:
            yield problem
            return


@cache
def picture_problems() -> tuple[AcademyError, ...]:
    """Everything wrong with the pictures of lessons."""
    found: list[AcademyError] = []
    for key, one in lesson_pictures.load().items():
        named = list(_unknown(f"lesson_pictures.toml {key}", _picture_names(one)))
        found += named or _undrawn(key)
    return tuple(found)


def _sources_of(told: Mapping[str, SourcedFact]) -> Iterator[Named]:
    for key, fact in told.items():
        yield f"{key}.source", fact.source, fact.source in sources.load()


def problems() -> Iterator[AcademyError]:
    """Everything wrong with lessons, their pictures and safety facts."""
    yield from _unknown("facts", _sources_of(facts.load()))
    yield from picture_problems()
    for key, lesson in lessons.known().items():
        yield from lesson_problems(key, lesson)
