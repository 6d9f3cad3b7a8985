"""The content a front desk needs at hand, read once."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from academy.catalog import competence, roles, slip_words, topics
from academy.catalog.competence import CompetenceModel
from academy.catalog.roles import Job
from academy.catalog.toml_files import Twin
from academy.catalog.topics import Topic


@dataclass(frozen=True, slots=True)
class Catalog:
    """Topics and jobs by key, in the order of the lists; model; the spoken words."""

    topics: Mapping[str, Topic]
    jobs: Mapping[str, Job]
    model: CompetenceModel
    slip_words: tuple[Twin, ...]

    def half_life(self, topic: str) -> float:
        """Days of disuse that halve a skill of this topic."""
        return self.model.half_life(self.topics[topic].memory)


def load() -> Catalog:
    """The catalog as ``content/`` has it now; raises ContentError."""
    known = topics.load()
    return Catalog(
        topics=MappingProxyType(known),
        jobs=MappingProxyType(roles.load(known)),
        model=competence.load(),
        slip_words=slip_words.load(),
    )
