"""Findings of a walk-round: what is looked at or measured, good and bad, and why."""

from functools import cache
from typing import Self

from pydantic import RootModel, model_validator

from academy import paths
from academy.catalog.evidence import EvidenceClass
from academy.catalog.families import Grid
from academy.catalog.fitting import Needs
from academy.catalog.toml_files import Record, Twin, Words, read


class Beliefs(Record):
    """The mistaken thought of one who passed a fault over, or doubted a sound thing."""

    passed: Twin
    doubted: Twin


class Finding(Record):
    """One thing of ``content/walk_round.toml``.

    Either measured (``kind`` of quantity, with the values ``good`` and ``bad`` ones are
    drawn from, both in the unit of the gauge) or seen (``fine`` and ``faulty`` words).
    ``needs`` says which headers have it; it is drawn on no other.
    ``rule`` is what must hold; a ``safety_critical`` one whose rule was read in a
    source fails a person who starts without putting it right.
    """

    name: Twin
    kind: str = ""
    good: Grid | None = None
    bad: Grid | None = None
    fine: Twin | None = None
    faulty: Twin | None = None
    rule: Twin
    belief: Beliefs
    evidence: EvidenceClass
    source: Words
    safety_critical: bool
    needs: Needs = Needs()

    @model_validator(mode="after")
    def _either(self) -> Self:
        measured = bool(self.kind and self.good and self.bad)
        seen = bool(self.fine and self.faulty)
        if measured == seen:
            raise ValueError("a finding is either measured or seen, good and bad")
        return self

    @property
    def critical(self) -> bool:
        """Whether starting with it is a critical miss."""
        return self.safety_critical and self.evidence == "published"


class _Findings(RootModel[dict[str, Finding]]):
    pass


@cache
def load() -> dict[str, Finding]:
    """Findings by key; raises ContentError."""
    return read(_Findings, paths.content() / "walk_round.toml").root
