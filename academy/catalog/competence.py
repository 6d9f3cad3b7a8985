"""The model of competence as ``content/competence.toml`` states it, numbers bare."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal

from academy import paths
from academy.catalog.evidence import Evidenced
from academy.catalog.toml_files import Record, read

FORM = 1
"""Rises when ``competence`` counts the same numbers to another belief."""


class _File(Record):
    prior_mean: Evidenced
    prior_sd: Evidenced
    untrained_level: Evidenced
    settled_sd: Evidenced
    half_life_accuracy: Evidenced
    half_life_mixed: Evidenced
    half_life_speed: Evidenced
    learning_gain: Evidenced
    learning_sd: Evidenced
    part_correlation: Evidenced
    difficulty_sd: Evidenced
    ceiling: Evidenced
    practice_weight: Evidenced
    ready_chance: Evidenced
    refresh_chance: Evidenced
    interval_share: Evidenced
    certificate_days: Evidenced


@dataclass(frozen=True, slots=True)
class CompetenceModel:
    """What the judging room assumes; levels in logits, 0 the just-qualified line.

    Half-lives and ``certificate_days`` are in days, all else are plain numbers.
    """

    prior_mean: float
    prior_sd: float
    untrained_level: float
    settled_sd: float
    half_life_accuracy: float
    half_life_mixed: float
    half_life_speed: float
    learning_gain: float
    learning_sd: float
    part_correlation: float
    difficulty_sd: float
    ceiling: float
    practice_weight: float
    ready_chance: float
    refresh_chance: float
    interval_share: float
    certificate_days: float

    def half_life(self, memory: Literal["accuracy", "mixed", "speed"]) -> float:
        """Days of disuse that halve a topic of this kind of memory."""
        return {
            "accuracy": self.half_life_accuracy,
            "mixed": self.half_life_mixed,
            "speed": self.half_life_speed,
        }[memory]

    @property
    def version(self) -> str:
        """A word that changes with every number of the model, or with its form."""
        text = json.dumps(asdict(self), sort_keys=True)
        return f"{FORM}-{hashlib.sha256(text.encode()).hexdigest()[:16]}"


@cache
def entries() -> Mapping[str, Evidenced]:
    """Every number of the model with how we know it; raises ContentError."""
    file = read(_File, paths.content() / "competence.toml")
    return MappingProxyType({name: getattr(file, name) for name in _File.model_fields})


@cache
def load() -> CompetenceModel:
    """The model as content has it now; raises ContentError."""
    return CompetenceModel(**{name: entry.value for name, entry in entries().items()})
