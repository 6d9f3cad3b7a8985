"""An ended assessment judged again from stored values alone: no engine, no content.

Every mark by the rule it was marked by (``grading/rules.py``), the decision by its own
terms (``competence/judging.py``). The same scores, points and decision for ever.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from academy.competence import judging
from academy.competence.judging import Given, Judged
from academy.competence.safety_gate import answered_safely
from academy.errors import AcademyError
from academy.grading.mark import Mark
from academy.records.connection import Connection
from academy.records.queries import assessments, replaying
from academy.records.queries.answers import SCORE_DECIMALS
from academy.records.queries.assessments import Assessment, Decision, Step
from academy.records.queries.replaying import Asked
from academy.service.problems import rounded
from academy.service.regrade_kinds import KINDS

FIRST_RULE = 1  # of marks kept before the rule was kept with them
_UNREADABLE = (AcademyError, LookupError, TypeError, ValueError)


@dataclass(frozen=True, slots=True)
class PartAgain:
    """One part with its stored key, and the mark that comes out again.

    ``mark`` is None where it was not answered or cannot be marked again.
    """

    asked: Asked
    stored: Mapping[str, Any]
    facts: Mapping[str, Any]
    mark: Mark | None

    @property
    def same(self) -> bool:
        """Whether score, reason and critical miss come out as they are kept."""
        if self.asked.marks is None:
            return True
        return self.mark is not None and (
            self.mark.score,
            self.mark.reason,
            self.mark.critical_miss,
        ) == (
            self.asked.score,
            self.asked.marks["reason"],
            self.asked.marks["critical_miss"],
        )


@dataclass(frozen=True, slots=True)
class StepAgain:
    """One step; ``running`` is the evidence after it, None where it did not count."""

    step: Step
    parts: tuple[PartAgain, ...]
    running: float | None


@dataclass(frozen=True, slots=True)
class Replayed:
    """An assessment judged again; ``ruled`` is what the rule decided at the time.

    ``judged`` and ``terms`` are None when its terms are not known.
    """

    row: Assessment
    steps: tuple[StepAgain, ...]
    terms: Mapping[str, Any] | None
    judged: Judged | None
    ruled: Decision | None
    decisions: tuple[Decision, ...]

    @property
    def same(self) -> bool:
        """Whether every mark and the decision come out as they are kept."""
        marks = all(part.same for one in self.steps for part in one.parts)
        return marks and self.decision_same

    @property
    def decision_same(self) -> bool:
        """Whether outcome, points and count of the rule's decision come out."""
        if self.ruled is None:
            return True
        if self.judged is None:
            return False
        told, again = self.ruled, self.judged
        return (told.outcome, rounded(told.evidence), told.scenarios) == (
            again.outcome,
            rounded(again.evidence),
            again.scenarios,
        )


def replay(connection: Connection, row: Assessment) -> Replayed:
    """Judge an assessment again from its rows."""
    steps = assessments.steps(connection, row.id)
    parts = replaying.asked(connection, row.id)
    again = {one.id: _parts(parts.get(one.id, [])) for one in steps}
    counted = [one for one in steps if one.answered_at and not one.voided_at]
    terms = replaying.terms(connection, row.id)
    judged = _judged(terms, row, [(one, again[one.id]) for one in counted])
    running = dict(
        zip(
            (one.id for one in counted),
            judged.running if judged else (),
            strict=judged is not None,
        )
    )
    made = assessments.decisions(connection, [row.id]).get(row.id, [])
    return Replayed(
        row=row,
        steps=tuple(
            StepAgain(one, again[one.id], running.get(one.id)) for one in steps
        ),
        terms=terms,
        judged=judged,
        ruled=next((one for one in made if one.decided_by is None), None),
        decisions=tuple(made),
    )


def given(stage: str, parts: Sequence[PartAgain]) -> Given:
    """A step as the rule of judging takes it, from its marks as they come out again."""
    kinds = [one.asked.kind for one in parts]
    marks = [one.mark or Mark(0.0, "not_marked") for one in parts]
    scores = zip(parts, marks, strict=True)
    return Given(
        stage=stage,
        right=answered_safely(kinds, marks),
        parts=tuple(
            (part.asked.par, part.asked.floor, mark.score) for part, mark in scores
        ),
    )


def _judged(
    terms: Mapping[str, Any] | None,
    row: Assessment,
    counted: Sequence[tuple[Step, Sequence[PartAgain]]],
) -> Judged | None:
    if terms is None:
        return None
    try:
        steps = [given(step.stage, parts) for step, parts in counted]
        return judging.judge(terms, row.credit, steps)
    except _UNREADABLE:
        return None


def _parts(asked: Sequence[Asked]) -> tuple[PartAgain, ...]:
    return tuple(_part(one, json.loads(one.payload)) for one in asked)


def _part(asked: Asked, payload: Mapping[str, Any]) -> PartAgain:
    stored = payload["parts"][asked.position - 1]
    mark = None if asked.marks is None else _mark(asked, stored)
    return PartAgain(asked, stored, payload["facts"], mark)


def _mark(asked: Asked, stored: Mapping[str, Any]) -> Mark | None:
    kept = asked.marks
    try:
        rule = KINDS[asked.kind].rules[kept.get("rule", FIRST_RULE)]
        again = rule(stored, asked.answer, kept["detail"])
    except _UNREADABLE:
        return None
    score = round(again.score, SCORE_DECIMALS)
    return Mark(score, again.reason, again.critical_miss)
