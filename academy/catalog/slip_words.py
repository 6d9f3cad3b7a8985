"""The short words spoken over a slip, from ``content/slip_words.toml``."""

from pydantic import Field

from academy import paths
from academy.catalog.toml_files import Record, Twin, read

FILE_NAME = "slip_words.toml"


class SlipWords(Record):
    """Everyday things by their English and Spanish names."""

    words: tuple[Twin, ...] = Field(min_length=20)


def load() -> tuple[Twin, ...]:
    """All words, in file order; raises ContentError when the file breaks its rules."""
    return read(SlipWords, paths.content() / FILE_NAME).words
