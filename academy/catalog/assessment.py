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
    most_parts: Evidenced
    hardest_par: Evidenced
    easiest_par: Evidenced
    again_least: Evidenced
    again_most: Evidenced
    again_odds: Evidenced
    gate_questions: Evidenced
    gate_fresh: Evidenced
    appeal_days: Evidenced
    lapse_notice_days: Evidenced


@dataclass(frozen=True, slots=True)
class Bar:
    """Chances of a wrong verdict, the clear distance (logits), and the lengths.

    A scenario has at most ``most_parts``, a part's par lies from ``hardest_par`` to
    ``easiest_par``.
    """

    false_pass: float
    false_fail: float
    clearly: float
    least_scenarios: int
    most_scenarios: int
    last_evidence: float
    most_parts: int
    hardest_par: float
    easiest_par: float


@dataclass(frozen=True, slots=True)
class Again:
    """Lengths when a certificate is renewed, and the most credit (odds)."""

    least_scenarios: int
    most_scenarios: int
    odds: float


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
        most_parts=int(known["most_parts"].value),
        hardest_par=known["hardest_par"].value,
        easiest_par=known["easiest_par"].value,
    )


@cache
def again() -> Again:
    """What holds when a certificate is renewed; raises ContentError."""
    known = entries()
    return Again(
        least_scenarios=int(known["again_least"].value),
        most_scenarios=int(known["again_most"].value),
        odds=known["again_odds"].value,
    )


@cache
def gate() -> Gate:
    """The safety gate; raises ContentError."""
    known = entries()
    return Gate(int(known["gate_questions"].value), int(known["gate_fresh"].value))


def appeal_days() -> int:
    """Days within which a second person answers an appeal; raises ContentError."""
    return int(entries()["appeal_days"].value)


def lapse_notice_days() -> int:
    """Days before its end from which a certificate is told to lapse; ContentError."""
    return int(entries()["lapse_notice_days"].value)
