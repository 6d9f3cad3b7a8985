"""How an assessment was judged, rule by rule, from what was stored with it.

The terms stand in the log's entry of the release: bar, safety gate and model as plain
numbers. A rule reads these and the stored scores, never content, and it never changes
once assessments were judged by it. When a way of judging changes: freeze here what the
old one did, raise ``RULE``, and add the new function under the new number.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any, Literal, TypeAlias

from academy.catalog.assessment import Bar, Gate
from academy.catalog.competence import CompetenceModel
from academy.competence import curtailment, decision, safety_gate
from academy.competence.assessment_course import scored
from academy.errors import NotUnderstood

RULE = 1
"""The rule that assessments released now are judged by; kept with their terms."""

Terms: TypeAlias = Mapping[str, Any]
Outcome: TypeAlias = Literal["pass", "fail", "gate"]


@dataclass(frozen=True, slots=True)
class Given:
    """A finished step that was not voided, in the order of asking.

    ``stage`` is gate, fresh or scenario; ``right`` whether a safety question was all
    right; ``parts`` are (par, chance floor, score), stored.
    """

    stage: str
    right: bool
    parts: tuple[tuple[float, float, float], ...]


@dataclass(frozen=True, slots=True)
class Judged:
    """What the rule says: the outcome (None while it is open), and the way there.

    ``running`` is the evidence after each step, ``scenarios`` how many were counted.
    """

    outcome: Outcome | None
    evidence: float
    scenarios: int
    running: tuple[float, ...]


def terms(bar: Bar, gate: Gate, model: CompetenceModel) -> dict[str, Any]:
    """What is kept at the release, as plain data; ``bar`` that of the attempt."""
    return {
        "judging": RULE,
        "bar": asdict(bar),
        "gate": asdict(gate),
        "model": asdict(model),
    }


def judge(kept: Terms, credit: float, given: Sequence[Given]) -> Judged:
    """Judge an assessment again by its own terms; raises NotUnderstood."""
    try:
        rule = _RULES[kept["judging"]]
    except (KeyError, TypeError) as found:
        raise NotUnderstood("terms_not_known") from found
    return rule(kept, credit, given)


@dataclass(frozen=True, slots=True)
class Limits:
    """Evidence that passes and fails at once, that passes at the end, and lengths."""

    passes: float
    fails: float
    last: float
    least: int
    most: int


def limits(kept: Terms) -> Limits:
    """The limits of an assessment's own terms."""
    bar = _bar(kept)
    return Limits(
        decision.pass_limit(bar),
        decision.fail_limit(bar),
        bar.last_evidence,
        bar.least_scenarios,
        bar.most_scenarios,
    )


def _judge_1(kept: Terms, credit: float, given: Sequence[Given]) -> Judged:
    """Safety gate, then evidence added up, until it is settled either way."""
    bar, model = _bar(kept), _model(kept)
    most = curtailment.reach(bar, model)
    first = [one.right for one in given if one.stage == "gate"]
    fresh = [one.right for one in given if one.stage == "fresh"]
    gate = safety_gate.state(first, fresh, Gate(**kept["gate"]))
    total, counted = credit, 0
    said: decision.Verdict = "more"
    running: list[float] = []
    for one in given:
        if one.stage == "scenario" and said == "more":
            total += decision.evidence(scored(one.parts, model), bar)
            counted += 1
            said = curtailment.settled(total, counted, bar, most)
        running.append(total)
    outcome: Outcome | None = None
    if gate == "closed":
        outcome = "gate"
    elif gate == "clear" and said != "more":
        outcome = said
    return Judged(outcome, total, counted, tuple(running))


def _bar(kept: Terms) -> Bar:
    return Bar(**kept["bar"])


def _model(kept: Terms) -> CompetenceModel:
    return CompetenceModel(**kept["model"])


_RULES: Mapping[int, Callable[[Terms, float, Sequence[Given]], Judged]] = {1: _judge_1}
