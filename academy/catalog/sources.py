"""Where the figures come from: the records of ``content/sources.toml``."""

import re
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Literal

from pydantic import RootModel

from academy import paths
from academy.catalog.toml_files import Record, Twin, Words, read

_ADDRESS = re.compile(r"https?://\S+")


class Source(Record):
    """One source: who said it, where, and whether we read it there."""

    title: Twin | Words
    author: str = ""
    year: int | None = None
    url: str = ""
    kind: Words
    seen: Literal["yes", "part", "no"]
    note: Twin | None = None

    def called(self, language: str) -> str:
        """Its title: a publication keeps its own, what is ours has two."""
        own = self.title
        return own if isinstance(own, str) else own.for_language(language)

    def noted(self, language: str) -> str:
        """What is said about it, empty where nothing is."""
        return self.note.for_language(language) if self.note else ""

    @property
    def published(self) -> bool:
        """Whether somebody else printed it; the other records say how else we know."""
        return isinstance(self.title, str)

    @property
    def address(self) -> str | None:
        """Web address to link, None without one."""
        found = _ADDRESS.match(self.url)
        return found.group() if found else None


class _Sources(RootModel[dict[str, Source]]):
    pass


@cache
def load() -> Mapping[str, Source]:
    """All sources by key; raises ContentError for a broken record."""
    return MappingProxyType(read(_Sources, paths.content() / "sources.toml").root)
