"""Assessments as those see them who supervise: how far, what to put right, what failed.

Before the end there is no score to see, only how far somebody is. A miss at the safety
gate is told at once, with what was answered, because it has to be put right face to
face.
"""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from academy.errors import Conflict, NotFound, NotUnderstood, OutOfRange
from academy.language import Reader
from academy.records.connection import Connection
from academy.records.queries import assessments, scenarios
from academy.records.queries import people as persons
from academy.records.queries.assessments import Assessment, Decision
from academy.service import as_asked, assessment_state, explaining, log
from academy.service.assessment import Place, standing
from academy.service.assessment_release import held, looks_after, may_release
from academy.service.assessment_state import GATE_STAGES, Answered, State
from academy.service.assessment_told import title_of
from academy.service.house import House
from academy.service.practice import reader_of
from academy.service.viewer import Viewer
from academy.service.views import PartExplained

LISTED = 20
LONGEST_REASON = 400


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the list; ``outcome`` is empty before the end, voided without one.

    ``waits``: a miss is to be put right before it goes on; ``anew``: a person decided
    after an appeal.
    """

    assessment_id: str
    name: str
    title: str
    state: str
    place: Place | None
    waits: bool
    outcome: str
    anew: bool
    when: datetime


@dataclass(frozen=True, slots=True)
class Lists:
    """Those that go on, those that are released, those that are over, newest first."""

    running: tuple[Row, ...]
    released: tuple[Row, ...]
    over: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Miss:
    """What has to be put right face to face: the question, the answer, and why."""

    step_id: str
    stage: str
    title: str
    story: str
    parts: tuple[PartExplained, ...]
    corrected: bool


@dataclass(frozen=True, slots=True)
class StepRow:
    """A step that can be voided: its place, whether it was answered, its seconds."""

    step_id: str
    position: int
    stage: str
    answered: bool
    seconds: int | None
    void_reason: str


@dataclass(frozen=True, slots=True)
class Supervised:
    """One assessment as its supervisor sees it; ``decided`` also if undone since."""

    assessment_id: str
    person_id: str
    name: str
    title: str
    state: str
    attempt: int
    open_until: datetime
    lapsed: bool
    freed: bool
    void_reason: str
    decided: bool
    place: Place | None
    misses: tuple[Miss, ...]
    steps: tuple[StepRow, ...]

    @property
    def voidable(self) -> tuple[StepRow, ...]:
        """Steps that may be voided: of the safety gate only one that waits."""
        return tuple(
            one
            for one in self.steps
            if not one.void_reason and (one.stage == "scenario" or not one.answered)
        )


def lists(house: House, looking: Viewer, now: datetime) -> Lists:
    """Every assessment that the viewer looks after; raises NotFound for hires."""
    if not looking.teaches:
        raise NotFound("no_such_assessment")
    with house.db.read() as connection:
        names = {one.id: one.name or "" for one in persons.active(connection)}
        found = [
            one
            for one in _all(connection, looking, names)
            if looks_after(connection, looking, one)
        ]
        told = assessments.decisions(connection, [one.id for one in found])
        rows = [
            _row(connection, looking, one, names, told.get(one.id, ()), now)
            for one in found
        ]
    return Lists(
        tuple(row for row in rows if row.state == "running"),
        tuple(row for row in rows if row.state == "released"),
        tuple(row for row in rows if row.state in ("ended", "cancelled"))[:LISTED],
    )


def waiting(house: House, looking: Viewer, now: datetime) -> tuple[Row, ...]:
    """Those that wait until the viewer has put a miss right; none for hires."""
    if not looking.teaches:
        return ()
    return tuple(row for row in lists(house, looking, now).running if row.waits)


def people(house: House, looking: Viewer) -> tuple[tuple[str, str], ...]:
    """Id and name of everybody whom the viewer may release one for, by name."""
    with house.db.read() as connection:
        everybody = persons.active(connection)
    return tuple(
        (one.id, one.name or "")
        for one in everybody
        if one.id != looking.person_id and may_release(looking, one)
    )


def supervise(
    house: House, looking: Viewer, assessment_id: str, now: datetime
) -> Supervised:
    """One assessment to supervise; raises NotFound."""
    with house.db.read() as connection:
        row = _looked_after(connection, looking, assessment_id)
        person = persons.get(connection, row.person_id)
        state = assessment_state.kept(connection, row)
        misses = misses_of(connection, state, reader_of(looking))
        decided = bool(assessments.decisions(connection, [row.id]))
    title = title_of(row.certificate, looking.language)
    return Supervised(
        assessment_id=row.id,
        person_id=row.person_id,
        name=(person.name if person else "") or "",
        title=title,
        state=row.state,
        attempt=row.attempt,
        open_until=row.open_until,
        lapsed=now > row.open_until,
        freed=row.state == "running" and row.device_id is None,
        void_reason=row.void_reason or "",
        decided=decided,
        place=standing(state, title, now) if row.state == "running" else None,
        misses=misses,
        steps=_step_rows(state),
    )


def misses_of(connection: Connection, state: State, reader: Reader) -> tuple[Miss, ...]:
    """What has to be put right face to face; of scenarios only at the end."""
    over = state.row.state != "running"
    return tuple(
        _miss(connection, state, one, reader)
        for one in state.done
        if one.critical and (over or one.step.stage in GATE_STAGES)
    )


def correct(
    house: House, looking: Viewer, assessment_id: str, step_id: str, now: datetime
) -> None:
    """Note that a miss was put right face to face; once is enough.

    Raises NotFound, and Conflict while the safety gate still asks its first questions
    or the scenarios still go on: nothing is said about an answer before.
    """
    with house.db.write() as connection:
        assessments.held(connection, assessment_id)
        row = _looked_after(connection, looking, assessment_id)
        state = assessment_state.kept(connection, row)
        found = _critical(state, step_id)
        if found.step.corrected_at:
            return
        if not _may_be_corrected(state, found):
            raise Conflict("correct_later")
        assessments.change_step(
            connection, step_id, corrected_at=now, corrected_by=looking.person_id
        )
        log.tell(connection, "corrected", now, step_id)


def void(
    house: House,
    looking: Viewer,
    assessment_id: str,
    step_id: str,
    reason: str,
    now: datetime,
) -> None:
    """Void a step that failed for a technical reason; a fresh one takes its place.

    It never counts, and everything about it stays. A question of the safety gate can be
    voided while it waits for its answer, not afterwards. Raises NotFound,
    NotUnderstood without a step or a reason, OutOfRange, Conflict.
    """
    if not step_id:
        raise NotUnderstood("void_question_needed")
    said = " ".join(reason.split())
    if not said:
        raise NotUnderstood("void_reason_needed")
    if len(said) > LONGEST_REASON:
        raise OutOfRange("void_reason_too_long", most=LONGEST_REASON)
    with house.db.write() as connection:
        row = held(connection, looking, assessment_id)
        steps = assessments.steps(connection, row.id)
        found = next((one for one in steps if one.id == step_id), None)
        if found is None:
            raise NotFound("no_such_assessment")
        if found.voided_at:
            return
        if found.answered_at and found.stage in GATE_STAGES:
            raise Conflict("gate_answer_stays")
        assessments.change_step(
            connection,
            step_id,
            voided_at=now,
            voided_by=looking.person_id,
            void_reason=said,
        )
        log.tell(connection, "voided", now, step_id)


def _all(
    connection: Connection, looking: Viewer, names: dict[str, str]
) -> tuple[Assessment, ...]:
    if looking.owns:
        return assessments.of_people(connection, names)
    own = assessments.released_by(connection, looking.person_id)
    if not looking.leads:
        return own
    crew = [one.id for one in persons.active(connection, looking.crew_id)]
    found = {one.id: one for one in (*assessments.of_people(connection, crew), *own)}
    return tuple(sorted(found.values(), key=lambda one: one.released_at, reverse=True))


def _row(
    connection: Connection,
    looking: Viewer,
    row: Assessment,
    names: dict[str, str],
    told: Sequence[Decision],
    now: datetime,
) -> Row:
    title = title_of(row.certificate, looking.language)
    place = None
    if row.state == "running":
        place = standing(assessment_state.kept(connection, row), title, now)
    return Row(
        assessment_id=row.id,
        name=names.get(row.person_id, ""),
        title=title,
        state=row.state,
        place=place,
        waits=place is not None and place.kind == "correct",
        outcome=_outcome(row, told),
        anew=len(told) > 1,
        when=row.ended_at or row.started_at or row.released_at,
    )


def _outcome(row: Assessment, told: Sequence[Decision]) -> str:
    """The word of the list for how it ended."""
    if row.void_reason:
        return "voided"
    if told:
        return told[-1].outcome
    return "back" if row.state == "cancelled" and row.started_at is None else ""


def _looked_after(
    connection: Connection, looking: Viewer, assessment_id: str
) -> Assessment:
    found = assessments.get(connection, assessment_id)
    if found is None or not looks_after(connection, looking, found):
        raise NotFound("no_such_assessment")
    return found


def _critical(state: State, step_id: str) -> Answered:
    for one in state.done:
        if one.step.id == step_id and one.critical:
            return one
    raise NotFound("no_such_assessment")


def _may_be_corrected(state: State, found: Answered) -> bool:
    """At the gate once its first questions are through; in scenarios at the end."""
    if state.row.state != "running":
        return True
    if found.step.stage == "scenario" or state.open is not None:
        return False
    return state.kept is not None and state.following.kind == "correct"


def _miss(connection: Connection, state: State, one: Answered, reader: Reader) -> Miss:
    issued = scenarios.get(connection, one.step.scenario_id, state.row.person_id)
    if issued is None:
        raise NotFound("no_such_scenario")
    payload = json.loads(issued.payload)
    content = as_asked.family_of(one.family, payload)
    explained = explaining.parts(content, payload, list(one.answers), reader)
    return Miss(
        one.step.id,
        one.step.stage,
        content.title.for_language(reader.language),
        content.story.for_language(reader.language),
        tuple(part for part in explained if part.critical_miss or part.score < 1),
        one.step.corrected_at is not None,
    )


def _step_rows(state: State) -> tuple[StepRow, ...]:
    return tuple(
        StepRow(
            one.id,
            one.position,
            one.stage,
            one.answered_at is not None,
            round((one.answered_at - one.asked_at).total_seconds())
            if one.answered_at
            else None,
            one.void_reason or "",
        )
        for one in state.steps
    )
