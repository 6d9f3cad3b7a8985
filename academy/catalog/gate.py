"""Concepts of the safety gate and the families that ask them, from one file."""

from functools import cache

from academy import paths
from academy.catalog.toml_files import Record, Twin, Words, read


class _Named(Record):
    name: Twin
    families: tuple[Words, ...]


class _File(Record):
    concepts: dict[Words, _Named]


class Concept(Record):
    """One hazard a person must know about, and the families that ask it."""

    key: str
    name: Twin
    families: tuple[str, ...]


@cache
def concepts() -> dict[str, Concept]:
    """All concepts by key, in the order of the file; raises NotFound, ContentError.

    ``content/gate.toml`` holds a table ``[concepts.KEY]`` for each, with ``name`` and
    ``families``.
    """
    listed = read(_File, paths.content() / "gate.toml").concepts
    return {
        key: Concept(key=key, name=one.name, families=one.families)
        for key, one in listed.items()
    }
