"""Faults that one reads off the stubble: cause, cure, and how that is known."""

from functools import cache

from academy import paths
from academy.catalog.evidence import EvidenceClass, Evidenced
from academy.catalog.toml_files import Record, Twin, Words, read


class Fault(Record):
    """One fault of ``content/faults.toml``; the engine draws what it leaves behind."""

    cause: Twin
    shows: Twin  # how one tells it by the stubble
    cure: Twin
    evidence: EvidenceClass
    source: Words
    amount: Evidenced | None = None  # how far wrong, where the engine needs to know


class Visible(Record):
    """How much of each trait of a stubble an eye can just tell apart."""

    height: Evidenced
    tilt: Evidenced
    wave: Evidenced
    ragged: Evidenced
    strip: Evidenced
    ends: Evidenced
    soil: Evidenced


class _Reading(Record):
    faults: dict[str, Fault]
    visible: Visible
    apart: Evidenced  # in the above, that two faults must differ by to be asked


@cache
def _read() -> _Reading:
    return read(_Reading, paths.content() / "faults.toml")


def load() -> dict[str, Fault]:
    """Faults by key; raises ContentError."""
    return _read().faults


def visible() -> dict[str, float]:
    """What an eye can just tell apart by trait, in SI; raises ContentError."""
    traits = _read().visible
    return {name: getattr(traits, name).si()[1] for name in Visible.model_fields}


def apart() -> float:
    """How many just-visible steps must lie between two faults that are offered."""
    return _read().apart.value
