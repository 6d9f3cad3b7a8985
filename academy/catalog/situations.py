"""Situations near the machine: go on, or stop, why, and how that is known."""

from functools import cache
from typing import Literal

from academy.catalog.evidence import EvidenceClass
from academy.catalog.toml_files import Record, Twin, Words, path_of, read

Call = Literal["go", "stop"]
CALLS: tuple[Call, ...] = ("go", "stop")


class Situation(Record):
    """One situation: what one sees, the call, why, and how that is known."""

    key: Words
    call: Call
    text: Twin
    why: Twin
    evidence: EvidenceClass
    source: Words
    safety_critical: bool = True  # going on can hurt somebody at once

    @property
    def critical(self) -> bool:
        """Whether going on is a critical miss: it can hurt, and a source says stop."""
        stops = self.call == "stop" and self.safety_critical
        return stops and self.evidence == "published"


class Beliefs(Record):
    """The mistaken thought of one who goes on, or stops, where the other is right."""

    go: Twin
    stop: Twin


class Pool(Record):
    """Situations of one kind, of ``content/situations``; one of them is drawn.

    ``asked_as``: prompts that contradict none of the cases. A family asks in one of
    them; who adds a case or a prompt reads each against all of the others.
    """

    topic: Words
    go: Twin
    stop: Twin
    asked_as: tuple[Twin, ...]
    belief: Beliefs
    cases: tuple[Situation, ...]

    def case(self, key: str) -> Situation:
        """The situation of that key; raises StopIteration for an unknown one."""
        return next(case for case in self.cases if case.key == key)


@cache
def load(key: str) -> Pool:
    """Pool by key; raises NotFound, ContentError."""
    return read(Pool, path_of("situations", key))
