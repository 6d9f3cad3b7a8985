"""The result of an assessment: outcome, points above par, topics, and what now.

Only this assessment's answers are looked at. Whoever supervises sees it, too, but no
answer beyond those that have to be put right face to face.
"""

import json
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from academy.catalog import blueprints
from academy.catalog.competence import CompetenceModel
from academy.competence import belief as believing
from academy.competence import decision
from academy.competence.assessment_course import scored
from academy.competence.belief import Scored
from academy.competence.item_curve import item_for
from academy.errors import NotFound
from academy.language import Language
from academy.records.connection import Connection
from academy.records.queries import assessments, scenarios
from academy.records.queries import people as persons
from academy.records.queries.assessments import Assessment
from academy.service import (
    assessment_release,
    assessment_state,
    line,
    misconceptions,
)
from academy.service.assessment_lead import Miss, misses_of
from academy.service.assessment_release import looks_after
from academy.service.assessment_state import Answered, State
from academy.service.assessment_told import title_of
from academy.service.beliefs import Ledger
from academy.service.house import House
from academy.service.practice import reader_of
from academy.service.viewer import Viewer

POINT = 3.0
"""Evidence in one point above par: what a four-part scenario, all right where half
was due, brings at the usual par."""


@dataclass(frozen=True, slots=True)
class Points:
    """Running points above par, the limits, and where the last one passes."""

    start: float
    running: tuple[float, ...]
    passes: float
    fails: float
    last: float
    least: int
    most: int


@dataclass(frozen=True, slots=True)
class TopicResult:
    """One topic: scenarios, mean score (0 to 1), level and 90 % interval in logits."""

    name: str
    parts: int
    score: float
    level: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Thought:
    """A mistaken thought that was met, and how often."""

    text: str
    times: int


@dataclass(frozen=True, slots=True)
class Again:
    """What holds for another attempt: from when, what to practise, who releases."""

    start: datetime
    topics: tuple[str, ...]
    instructor: bool
    chance: float


@dataclass(frozen=True, slots=True)
class Verdict:
    """One decision: by the rule, or by a person who gave a reason."""

    outcome: str
    when: datetime
    by_person: bool
    reason: str


@dataclass(frozen=True, slots=True)
class Result:
    """The whole page; ``explained`` are scenarios for the person alone to look at.

    ``undone``: a second person overturned the safety gate, and it counts for nothing;
    ``harder_one``: another one was released meanwhile, as if it still counted.
    """

    assessment_id: str
    person_id: str
    own: bool
    name: str
    title: str
    verdicts: tuple[Verdict, ...]
    attempt: int
    scenarios: int
    minutes: int
    voided: int
    points: Points | None
    topics: tuple[TopicResult, ...]
    thoughts: tuple[Thought, ...]
    misses: tuple[Miss, ...]
    explained: tuple[str, ...]
    again: Again | None
    model_line: bool
    undone: bool
    harder_one: bool

    @property
    def outcome(self) -> str:
        """The decision that holds; void for a gate that an appeal undid."""
        return "void" if self.undone else self.verdicts[-1].outcome


def result(house: House, looking: Viewer, assessment_id: str, now: datetime) -> Result:
    """The result, for the person and who supervises; raises NotFound before the end."""
    with house.db.read() as connection:
        row = assessments.get(connection, assessment_id)
        if row is None or not _may_see(connection, looking, row):
            raise NotFound("no_such_assessment")
        told = assessments.decisions(connection, [row.id]).get(row.id)
        if row.state not in ("ended", "cancelled") or not told:
            raise NotFound("no_such_assessment")
        state = assessment_state.kept(connection, row)
        ledger = Ledger.of(connection, house.catalog)
        person = persons.get(connection, row.person_id)
        own = row.person_id == looking.person_id
        verdicts = tuple(
            Verdict(
                one.outcome,
                one.decided_at,
                one.decided_by is not None,
                one.reason or "",
            )
            for one in told
        )
        return Result(
            assessment_id=row.id,
            person_id=row.person_id,
            own=own,
            name=(person.name if person else "") or "",
            title=title_of(row.certificate, looking.language),
            verdicts=verdicts,
            attempt=row.attempt,
            scenarios=told[-1].scenarios,
            minutes=_minutes(state),
            voided=sum(one.voided_at is not None for one in state.steps),
            points=points_of(state),
            topics=_topics(state, ledger, looking.language),
            thoughts=_thoughts(connection, state, looking),
            misses=misses_of(connection, state, reader_of(looking)),
            explained=_explained(state) if own else (),
            again=_again(connection, ledger, row, looking, now)
            if verdicts[-1].outcome != "pass"
            else None,
            model_line=line.model_judged(connection, row),
            undone=row.state == "cancelled",
            harder_one=_harder_one(connection, row),
        )


def _harder_one(connection: Connection, row: Assessment) -> bool:
    """Whether one waits to be begun that would be easier to pass if released anew."""
    past = assessment_release.past_of(connection, row.person_id, row.certificate)
    return any(
        one.certificate == row.certificate
        and one.state == "released"
        and one.attempt > past.attempt
        for one in assessments.of_person(connection, row.person_id)
    )


def points_of(state: State) -> Points | None:
    """The running points; None when no scenario was answered."""
    bar = state.bar
    running, total = [], state.row.credit
    for one in _scenarios(state):
        total += decision.evidence(evidence_of(one, state.measures.model), bar)
        running.append(total / POINT)
    if not running:
        return None
    return Points(
        state.row.credit / POINT,
        tuple(running),
        decision.pass_limit(bar) / POINT,
        decision.fail_limit(bar) / POINT,
        bar.last_evidence / POINT,
        bar.least_scenarios,
        bar.most_scenarios,
    )


def evidence_of(one: Answered, model: CompetenceModel) -> tuple[Scored, ...]:
    """What a scenario's answers say, all of its parts sharing one weight."""
    pairs = zip(one.parts, one.answers, strict=True)
    return scored([(part.par, part.floor, kept.score) for part, kept in pairs], model)


def _may_see(connection: Connection, looking: Viewer, row: Assessment) -> bool:
    return row.person_id == looking.person_id or looks_after(connection, looking, row)


def _scenarios(state: State) -> list[Answered]:
    return [one for one in state.done if one.step.stage == "scenario"]


def _minutes(state: State) -> int:
    """Minutes that questions stood open until their answers, together."""
    seconds = sum(
        (one.step.answered_at - one.step.asked_at).total_seconds()
        for one in state.done
        if one.step.answered_at
    )
    return round(seconds / 60)


def _topics(state: State, ledger: Ledger, language: str) -> tuple[TopicResult, ...]:
    """Each topic from these answers alone, starting as for somebody never tested."""
    model = ledger.catalog.model
    found: dict[str, list[tuple[float, Scored]]] = {}
    for one in _scenarios(state):
        for part, kept in zip(one.parts, one.answers, strict=True):
            item = item_for(part.par, part.floor, model)
            said = Scored(item, kept.score, part.weight)
            found.setdefault(part.topic, []).append((kept.score, said))
    rows = []
    for key in [topic for topic in ledger.catalog.topics if topic in found]:
        grid = believing.update(
            believing.prior(model), [said for _score, said in found[key]]
        )
        told = believing.summary(grid, model)
        scores = [score for score, _said in found[key]]
        name = ledger.catalog.topics[key].name.for_language(language)
        mean = sum(scores) / len(scores)
        rows.append(TopicResult(name, len(scores), mean, told.eap, told.low, told.high))
    return tuple(rows)


def _thoughts(
    connection: Connection, state: State, looking: Viewer
) -> tuple[Thought, ...]:
    language: Language = "es" if looking.language == "es" else "en"
    met: Counter[str] = Counter()
    for one in state.done:
        issued = scenarios.get(connection, one.step.scenario_id, state.row.person_id)
        if issued is not None:
            met.update(_met(one, json.loads(issued.payload)))
    said = ((misconceptions.thought(key), times) for key, times in met.most_common())
    return tuple(
        Thought(twin.for_language(language), times)
        for twin, times in said
        if twin is not None
    )


def _met(one: Answered, payload: Mapping[str, Any]) -> list[str]:
    return [
        key
        for part, kept in zip(payload["parts"], one.answers, strict=True)
        for key in misconceptions.met(part, payload["facts"], kept.answer, kept.marks)
    ]


def _explained(state: State) -> tuple[str, ...]:
    """The ids of all answered scenarios, in order."""
    return tuple(one.step.scenario_id for one in state.done)


def _again(
    connection: Connection,
    ledger: Ledger,
    row: Assessment,
    looking: Viewer,
    now: datetime,
) -> Again | None:
    past = assessment_release.past_of(connection, row.person_id, row.certificate)
    blueprint = blueprints.known().get(row.certificate)
    start = assessment_release.wait_until(blueprint, past) if blueprint else None
    if blueprint is None or start is None:
        return None
    weak = assessment_release.lacking(connection, ledger, row.person_id, blueprint, now)
    return Again(
        start,
        assessment_release.topic_names(ledger, weak, looking.language),
        assessment_release.needs_instructor(blueprint, past),
        blueprint.retake.practice_chance.value,
    )
