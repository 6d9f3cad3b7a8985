"""Where an assessment stands, read from its rows: what is done, what comes next.

Only rows go in, and the rules kept at the release: no name, no practice, no clock. The
same rows give the same next step and the same decision for ever.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, Self

from academy.catalog.assessment import Bar
from academy.catalog.competence import CompetenceModel
from academy.competence import form, judging
from academy.competence.assessment_course import Done, Next, scored, what_next
from academy.competence.safety_gate import answered_safely
from academy.errors import Conflict
from academy.grading.mark import Mark
from academy.records.connection import Connection
from academy.records.queries import assessments
from academy.records.queries.answers import Answer
from academy.records.queries.assessments import Assessment, Step
from academy.records.queries.scenarios import Part
from academy.service import assessment_rules
from academy.service.assessment_rules import Measures, Rules

GATE_STAGES = ("gate", "fresh")


@dataclass(frozen=True, slots=True)
class Answered:
    """A step with its family, its parts and their answers, as they were marked."""

    step: Step
    family: str
    parts: tuple[Part, ...]
    answers: tuple[Answer, ...]

    @property
    def marks(self) -> tuple[Mark, ...]:
        """The marks as they are kept."""
        return tuple(
            Mark(one.score, one.marks["reason"], bool(one.marks["critical_miss"]))
            for one in self.answers
        )

    @property
    def safe(self) -> bool:
        """Whether a question of the safety gate is right."""
        return answered_safely([part.kind for part in self.parts], self.marks)

    @property
    def critical(self) -> bool:
        """Whether it has to be put right face to face."""
        if self.step.stage in GATE_STAGES:
            return not self.safe
        return any(mark.critical_miss for mark in self.marks)


@dataclass(frozen=True, slots=True)
class State:
    """An assessment with all its steps; ``done`` are those answered and not voided.

    ``kept`` are the rules it was released with; None when it cannot go on by them.
    """

    row: Assessment
    kept: Rules | None
    steps: tuple[Step, ...]
    done: tuple[Answered, ...]
    families: tuple[str, ...]  # of all steps, voided ones too

    @property
    def open(self) -> Step | None:
        """The step that waits for its answer."""
        waiting = (
            one for one in self.steps if not one.answered_at and not one.voided_at
        )
        return next(waiting, None)

    @property
    def rules(self) -> Rules:
        """The rules it was released with; raises Conflict where none are left."""
        if self.kept is None:
            raise Conflict("assessment_rules_changed")
        return self.kept

    @property
    def measures(self) -> Measures:
        """What its answers are judged by."""
        return assessment_rules.measures(self.kept)

    @property
    def bar(self) -> Bar:
        """The bar of this attempt."""
        return self.measures.bar_of(self.row)

    @property
    def topics(self) -> frozenset[str]:
        """Topics of the parts answered."""
        return frozenset(part.topic for one in self.done for part in one.parts)

    @property
    def following(self) -> Next:
        """What comes after the steps done."""
        return next_of(self.row, self.rules, self.done)


@dataclass(frozen=True, slots=True)
class Rows:
    """An assessment's rows; families and parts by the scenario's id."""

    row: Assessment
    kept: Rules | None
    steps: tuple[Step, ...]
    families: Mapping[str, str]
    parts: Mapping[str, Sequence[Part]]

    def answered(self, step_id: str, now: datetime) -> Self:
        """The same with one step answered now."""
        steps = tuple(
            replace(one, answered_at=now) if one.id == step_id else one
            for one in self.steps
        )
        return replace(self, steps=steps)

    def state(self, answers: Mapping[str, Answer]) -> State:
        """The state, with the answers by the part's id."""
        done = tuple(
            Answered(
                step,
                self.families[step.scenario_id],
                tuple(self.parts[step.scenario_id]),
                tuple(answers[part.id] for part in self.parts[step.scenario_id]),
            )
            for step in self.steps
            if step.answered_at and not step.voided_at
        )
        families = tuple(self.families[one.scenario_id] for one in self.steps)
        return State(self.row, self.kept, self.steps, done, families)


@dataclass(frozen=True, slots=True)
class Planned:
    """The step to ask now; no ``family`` where none is left that may be asked."""

    position: int
    stage: str
    slot: str
    family: str | None


def kept(connection: Connection, row: Assessment) -> State:
    """An assessment as its rows stand, whether it goes on or not."""
    return rows(connection, row).state(assessments.answers(connection, row.id))


def nothing_asked(connection: Connection, row: Assessment) -> State:
    """An assessment that was just begun."""
    return Rows(row, assessment_rules.of(connection, row), (), {}, {}).state({})


def rows(connection: Connection, row: Assessment) -> Rows:
    """An assessment's rows without the answers."""
    parts: dict[str, list[Part]] = {}
    for part in assessments.parts(connection, row.id):
        parts.setdefault(part.scenario_id, []).append(part)
    asked = assessments.with_families(connection, row.id)
    return Rows(
        row,
        assessment_rules.of(connection, row),
        tuple(step for step, _ in asked),
        {step.scenario_id: family for step, family in asked},
        parts,
    )


def terms(state: State) -> dict[str, Any]:
    """The terms it is judged by, to judge it again without content."""
    found = state.measures
    return judging.terms(state.bar, found.gate, found.model)


def next_of(row: Assessment, rules: Rules, done: Sequence[Answered]) -> Next:
    """What comes after some steps, by the rules alone."""
    found = rules.measures
    return what_next(
        [_done(one, found.model) for one in done],
        rules.blueprint.weights,
        rules.blueprint.concepts,
        found.bar_of(row),
        found.gate,
        row.credit,
        row.id,
        found.model,
    )


def plan(state: State) -> Planned | None:
    """The step to ask now; None while one is open, a miss waits, or at the end."""
    if state.row.state != "running" or state.open is not None:
        return None
    owed = _owed(state.steps)
    if owed is not None:
        return _planned(state, owed.stage, owed.slot)
    following = state.following
    if following.kind != "ask":
        return None
    return _planned(state, following.stage, following.slot)


def ending(state: State) -> Next | None:
    """The end, when what is done is enough and no voided step waits to be replaced."""
    if state.row.state != "running" or state.open or _owed(state.steps):
        return None
    following = state.following
    return following if following.kind == "ended" else None


def _planned(state: State, stage: str, slot: str) -> Planned:
    eligible = state.rules.eligible(stage, slot)
    voided = [bool(one.voided_at) for one in state.steps]
    counted = [
        family for family, gone in zip(state.families, voided, strict=True) if not gone
    ]
    again = state.rules.blueprint.repeats
    repeats = len(state.steps) + 1 if stage in GATE_STAGES else again
    seed = state.row.id
    family = (
        form.choice(eligible, state.families, repeats, seed)
        or form.choice(eligible, counted, repeats, seed)
        or form.choice(eligible, state.families, len(state.steps) + 1, seed)
    )
    return Planned(len(state.steps) + 1, stage, slot, family)


def _owed(steps: Sequence[Step]) -> Step | None:
    """A voided step that no fresh one in its slot has replaced yet."""
    claimed: set[str] = set()
    voided = [(one.voided_at, one) for one in steps if one.voided_at]
    for moment, gone in sorted(voided, key=lambda pair: (pair[0], pair[1].position)):
        wanted = (gone.stage, gone.slot)
        fresh = (
            one.id
            for one in steps
            if one.position > gone.position
            and one.asked_at >= moment
            and (one.stage, one.slot) == wanted
            and one.id not in claimed
        )
        found = next(fresh, None)
        if found is None:
            return gone
        claimed.add(found)
    return None


def _done(one: Answered, model: CompetenceModel) -> Done:
    gate_step = one.step.stage in GATE_STAGES
    pairs = zip(one.parts, one.answers, strict=True)
    evidence = [(part.par, part.floor, kept.score) for part, kept in pairs]
    return Done(
        stage=one.step.stage,  # type: ignore[arg-type]
        slot=one.step.slot,
        family=one.family,
        right=one.safe if gate_step else None,
        answers=() if gate_step else scored(evidence, model),
        corrected=one.step.corrected_at is not None,
    )
