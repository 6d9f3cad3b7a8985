"""Words of the trade in English and Spanish, from ``content/glossary.toml``."""

from functools import cache
from typing import Literal, Self

from pydantic import model_validator

from academy import paths
from academy.catalog.toml_files import Record, Twin, Words, read

Group = Literal["people", "program", "header", "machine", "work", "safety"]
GROUPS: tuple[Group, ...] = (
    "header",
    "machine",
    "work",
    "safety",
    "people",
    "program",
)


class Regional(Record):
    """The Spanish word elsewhere: United States, Mexico, Argentina, Spain."""

    US: Words | None = None
    MX: Words | None = None
    AR: Words | None = None
    ES: Words | None = None
    also: Words | None = None


class Term(Record):
    """One word, its twin, how the Spanish one is known, and what it means."""

    key: Words
    group: Group
    en: Words
    es: Words
    evidence: Literal["published", "memory", "judgement"]
    source: Words | None = None
    url: Words | None = None
    regional: Regional = Regional()
    meaning: Twin | None = None

    @model_validator(mode="after")
    def _published_names_its_source(self) -> Self:
        if (self.evidence == "published") != (self.source is not None):
            raise ValueError("a published word, and only that, names its source")
        return self


class _File(Record):
    term: tuple[Term, ...]

    @model_validator(mode="after")
    def _each_key_once(self) -> Self:
        keys = [term.key for term in self.term]
        if twice := {key for key in keys if keys.count(key) > 1}:
            raise ValueError(f"these keys come twice: {sorted(twice)}")
        return self


@cache
def load() -> tuple[Term, ...]:
    """All terms in file order; raises ContentError."""
    return read(_File, paths.content() / "glossary.toml").term
