"""The bar of an assessment and the safety gate, as ``content/assessment.toml`` says."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from academy import paths
from academy.catalog.evidence import Evidenced
from academy.catalog.toml_files import Record, read


class _File(Record):
    false_pass: Evidenced
    false_fail: Evidenced
    clearly: Evidenced
    least_scenarios: Evidenced
    most_scenarios: Evidenced
    last_evidence: Evidenced
    gate_questions: Evidenced
    gate_fresh: Evidenced


@dataclass(frozen=True, slots=True)
class Bar:
    """Chances of a wrong verdict, the clear distance (logits), and the lengths."""

    false_pass: float
    false_fail: float
    clearly: float
    least_scenarios: int
    most_scenarios: int
    last_evidence: float


@dataclass(frozen=True, slots=True)
class Gate:
    """How many safety questions there are, and how many more after one miss."""

    questions: int
    fresh: int


@cache
def entries() -> Mapping[str, Evidenced]:
    """Every number with how we know it; raises ContentError."""
    file = read(_File, paths.content() / "assessment.toml")
    return MappingProxyType({name: getattr(file, name) for name in _File.model_fields})


@cache
def bar() -> Bar:
    """The bar of a first attempt; raises ContentError."""
    known = entries()
    return Bar(
        false_pass=known["false_pass"].value,
        false_fail=known["false_fail"].value,
        clearly=known["clearly"].value,
        least_scenarios=int(known["least_scenarios"].value),
        most_scenarios=int(known["most_scenarios"].value),
        last_evidence=known["last_evidence"].value,
    )


@cache
def gate() -> Gate:
    """The safety gate; raises ContentError."""
    known = entries()
    return Gate(int(known["gate_questions"].value), int(known["gate_fresh"].value))
