"""Headings and words of the roster as a spreadsheet, from ``content/roster.toml``."""

import unicodedata
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Literal, Self

from pydantic import model_validator

from academy import paths
from academy.catalog.toml_files import Record, Twin, Words, read

FILE_NAME = "roster.toml"
Column = Literal["name", "roles", "language", "units", "crew"]
COLUMNS: tuple[Column, ...] = ("name", "roles", "language", "units", "crew")


class _Heading(Record):
    heading: Twin
    also: tuple[Words, ...] = ()


class _Word(Record):
    word: Twin
    also: tuple[Words, ...] = ()


class Example(Record):
    """One line of the sample file."""

    name: Twin
    roles: tuple[Words, ...]
    language: Literal["en", "es"]
    units: Literal["us", "metric"]


class RosterWords(Record):
    """How columns and choices are written, and how else they may be spelt."""

    columns: dict[Column, _Heading]
    roles: dict[str, _Word]
    language: dict[str, _Word]
    units: dict[str, _Word]
    sample: tuple[Example, ...]

    @model_validator(mode="after")
    def _each_spelling_once(self) -> Self:
        if set(self.columns) != set(COLUMNS):
            raise ValueError(f"the columns are {COLUMNS}")
        for choices in (self.roles, self.language, self.units):
            _once(_spellings(choices))
        _once(_headings(self.columns))
        return self

    def heading(self, column: Column, language: str) -> str:
        """The heading of a column as we write it."""
        return self.columns[column].heading.for_language(language)

    def headings(self) -> Mapping[str, Column]:
        """Every folded spelling of a heading and its column."""
        return dict(_headings(self.columns))

    def choices(self, column: Column) -> Mapping[str, str]:
        """Every folded spelling of a column's choices and the choice it means."""
        return dict(_spellings(self._words(column)))

    def word(self, column: Column, key: str, language: str) -> str:
        """A choice as we write it."""
        return self._words(column)[key].word.for_language(language)

    def words(self, column: Column, language: str) -> tuple[str, ...]:
        """All choices of a column as we write them."""
        return tuple(
            one.word.for_language(language) for one in self._words(column).values()
        )

    def _words(self, column: Column) -> Mapping[str, _Word]:
        found: Mapping[str, _Word] = getattr(self, column)
        return found


def fold(text: str) -> str:
    """``text`` without case, accents and everything that is no letter or digit.

    >>> fold("  Función / Rol. ")
    'funcion rol'
    """
    plain = unicodedata.normalize("NFKD", text).casefold()
    kept = (c for c in plain if not unicodedata.combining(c))
    return " ".join("".join(c if c.isalnum() else " " for c in kept).split())


@cache
def load() -> RosterWords:
    """Headings and words; raises ContentError when the file breaks its rules."""
    return read(RosterWords, paths.content() / FILE_NAME)


def _headings(columns: Mapping[Column, _Heading]) -> list[tuple[str, Column]]:
    return [
        (spelt, column)
        for column, one in columns.items()
        for spelt in _folded((one.heading.en, one.heading.es, column, *one.also))
    ]


def _spellings(choices: Mapping[str, _Word]) -> list[tuple[str, str]]:
    return [
        (spelt, key)
        for key, one in choices.items()
        for spelt in _folded((one.word.en, one.word.es, key, *one.also))
    ]


def _folded(texts: Iterable[str]) -> set[str]:
    return {fold(text) for text in texts}


def _once(spellings: list[tuple[str, str]] | list[tuple[str, Column]]) -> None:
    spelt = [text for text, _ in spellings]
    if twice := {text for text in spelt if spelt.count(text) > 1}:
        raise ValueError(f"these words mean two things: {sorted(twice)}")
