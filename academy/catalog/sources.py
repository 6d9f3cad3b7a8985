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

    title: Words
    author: str = ""
    year: int | None = None
    url: str = ""
    kind: Words
    seen: Literal["yes", "part", "no"]
    note: Twin | Words | None = None

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
