"""The trade's list of troubles: symptoms, and which computed faults bring them.

A trouble that the engine cannot bring about says why, with its cause and cure, so that
it is taught and not asked by its signs.
"""

from functools import cache
from typing import Self

from pydantic import RootModel, model_validator

from academy import paths
from academy.catalog.evidence import EvidenceClass
from academy.catalog.toml_files import Record, Twin, Words, read


class Trouble(Record):
    """One trouble: the faults that bring it, or cause, cure and why it is not run."""

    symptom: Twin
    faults: tuple[Words, ...] = ()
    cause: Twin | None = None
    cure: Twin | None = None
    reason: Twin | None = None
    evidence: EvidenceClass
    source: Words

    @model_validator(mode="after")
    def _told(self) -> Self:
        told = (self.cause, self.cure, self.reason)
        if (self.faults and any(told)) or (not self.faults and not all(told)):
            raise ValueError("a trouble names faults, or cause, cure and reason")
        return self


class _Troubles(RootModel[dict[str, Trouble]]):
    pass


@cache
def load() -> dict[str, Trouble]:
    """Troubles by key; raises ContentError."""
    return read(_Troubles, paths.content() / "troubles.toml").root


def of_fault(key: str) -> tuple[Trouble, ...]:
    """Troubles that a fault brings."""
    return tuple(one for one in load().values() if key in one.faults)
