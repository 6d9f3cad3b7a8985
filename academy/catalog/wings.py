"""Wings by their design: how a state is shown and changed, and what comes of it."""

from functools import cache
from typing import Literal, Self, TypeAlias, get_args

from pydantic import model_validator

from academy import paths
from academy.catalog.evidence import EvidenceClass
from academy.catalog.toml_files import Record, Twin, Words, read
from academy.engine.wings import Hold, Task, Wing

Kind: TypeAlias = Literal["springs", "oil", "hinged"]
PAIRS = tuple(f"{task}-{wing}" for task in get_args(Task) for wing in get_args(Wing))


class Design(Record):
    """One design: in its own words, and what each state makes of a wing."""

    shown: Twin
    changed: Twin
    holds: dict[Wing, Hold]

    @model_validator(mode="after")
    def _every_state(self) -> Self:
        if set(self.holds) != set(get_args(Wing)):
            raise ValueError("holds must say what each of the three states does")
        return self


class Rule(Record):
    """One rule and where it is from."""

    text: Twin
    evidence: EvidenceClass
    source: Words


class Pair(Record):
    """What comes of one state in one task, on each design."""

    safety: bool
    evidence: EvidenceClass
    source: Words
    springs: Twin
    oil: Twin
    hinged: Twin

    def on(self, kind: Kind) -> Twin:
        """The text for one design."""
        found: Twin = getattr(self, kind)
        return found


class Wings(Record):
    """``content/wings.toml``."""

    designs: dict[Kind, Design]
    rules: dict[str, Rule]
    pairs: dict[str, Pair]

    @model_validator(mode="after")
    def _whole(self) -> Self:
        if set(self.designs) != set(get_args(Kind)):
            raise ValueError("a design is missing")
        if set(self.pairs) != set(PAIRS):
            raise ValueError("every pair of task and state is told, and no other")
        return self


@cache
def load() -> Wings:
    """Designs, rules and pairs; raises NotFound, ContentError."""
    return read(Wings, paths.content() / "wings.toml")
