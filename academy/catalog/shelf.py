"""The content a front desk needs at hand: topics, jobs and slip words, read once."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from academy.catalog import roles, slip_words, topics
from academy.catalog.roles import Job
from academy.catalog.toml_files import Twin
from academy.catalog.topics import Topic


@dataclass(frozen=True, slots=True)
class Catalog:
    """Topics and jobs by key, in the order of the lists, and the spoken words."""

    topics: Mapping[str, Topic]
    jobs: Mapping[str, Job]
    slip_words: tuple[Twin, ...]


def load() -> Catalog:
    """The catalog as ``content/`` has it now; raises ContentError."""
    known = topics.load()
    return Catalog(
        topics=MappingProxyType(known),
        jobs=MappingProxyType(roles.load(known)),
        slip_words=slip_words.load(),
    )
