"""An assessment as its person goes through it: begin, be asked, answer, go on.

It goes on wherever it stood after a crash, a lost signal or signing out, on the one
device it was begun on. Nothing is said about answers before the end.
"""

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from hmac import compare_digest

from academy.catalog.assessment import Gate
from academy.errors import Conflict, NotFound
from academy.records.connection import Connection
from academy.records.queries import answers as answer_rows
from academy.records.queries import assessments, scenarios
from academy.records.queries.assessments import Assessment, Step
from academy.records.queries.scenarios import Part
from academy.service import (
    answering,
    as_asked,
    assessment_asking,
    assessment_rules,
    assessment_state,
    log,
    shown_question,
)
from academy.service.answering import Answers
from academy.service.assessment_asking import Went
from academy.service.assessment_state import State
from academy.service.assessment_told import title_of
from academy.service.house import House
from academy.service.practice import reader_of
from academy.service.tokens import kept
from academy.service.viewer import Viewer
from academy.service.views import Question


@dataclass(frozen=True, slots=True)
class Place:
    """How far an assessment is: no score, only what stage and which question.

    ``kind`` is question, go-on, correct (a lead must put a miss right first), window
    (the time it was released for is over), elsewhere (it goes on on another device),
    released, lapsed, ended, cancelled or changed (rules of the certificate).
    ``stage`` is gate, fresh or scenario; ``number`` the question in it, ``of`` how
    many there are, 0 where that is open.
    """

    assessment_id: str
    title: str
    kind: str
    stage: str = "gate"
    number: int = 1
    of: int = 0
    position: int = 0
    why: str = ""


@dataclass(frozen=True, slots=True)
class AskedNow:
    """A question by its position, with the token that its answer must bring.

    ``waits``: it is the one that waits for its answer, here and now.
    """

    row: Assessment
    step: Step
    payload: str
    place: Place
    question: Question
    token: str
    waits: bool


def begin(house: House, looking: Viewer, assessment_id: str, now: datetime) -> int:
    """Begin on this device, or go on here after a lead has let go of the other one.

    The position of the question that is asked now, 0 when none is. Raises NotFound, and
    Conflict when it is over, not open any more, or bound to another device.
    """
    if looking.device_id is None:
        raise Conflict("assessment_needs_device")
    with house.db.write() as connection:
        row = _own_held(connection, looking, assessment_id)
        if row.device_id not in (None, looking.device_id):
            raise Conflict("assessment_other_device")
        bound = row
        if row.device_id is None:
            bound = _bind(connection, row, looking.device_id, now)
        if row.state == "released":
            state = assessment_state.nothing_asked(connection, bound)
            went = assessment_asking.go_on(connection, house, looking, state, now)
        else:
            went = _next(connection, house, looking, bound, now)
    return _asked_now(house, looking, assessment_id, went, now)


def go_on(house: House, looking: Viewer, assessment_id: str, now: datetime) -> int:
    """Ask what comes next, where nothing is asked yet; its position, 0 for none.

    Raises NotFound, Conflict.
    """
    with house.db.write() as connection:
        row = _own_held(connection, looking, assessment_id)
        _refuse_elsewhere(row, looking)
        went = _next(connection, house, looking, row, now)
    return _asked_now(house, looking, assessment_id, went, now)


def place(house: House, looking: Viewer, assessment_id: str, now: datetime) -> Place:
    """Where the viewer's own assessment stands; raises NotFound."""
    with house.db.read() as connection:
        row = _own(connection, looking, assessment_id)
        return _place(connection, row, looking, now)


def asked(
    house: House, looking: Viewer, assessment_id: str, position: int, now: datetime
) -> AskedNow:
    """The question that was asked at a position, as it was shown; raises NotFound.

    In the reader's own language and units, unless the question was rewritten or dropped
    since: then it stays word for word as it was first shown.
    """
    with house.db.read() as connection:
        row = _own(connection, looking, assessment_id)
        found = assessments.sent(connection, row.id, position)
        if found is None:
            raise NotFound("no_such_assessment")
        step, shown, issued = found
        steps = assessments.steps(connection, row.id)
        gate = _gate_of(connection, row)
        parts = scenarios.parts(connection, issued.id)
    reader = reader_of(looking)
    question = (
        shown_question.question(shown)
        if shown_question.is_for(shown, reader)
        or as_asked.rewritten(issued.family, parts[0].family_key)
        else assessment_asking.seen_at(step.stage, issued, reader)
    )
    title = title_of(row.certificate, looking.language)
    waits = not _kind_of_row(row, looking, now) and not (
        step.answered_at or step.voided_at
    )
    here = _place_of(row, title, "question", step.stage, steps, step.position, gate)
    token = assessment_asking.token_of(house, step.id)
    return AskedNow(row, step, issued.payload, here, question, token, waits)


def take(
    house: House,
    looking: Viewer,
    asked: AskedNow,
    token: str,
    answers: Answers,
    now: datetime,
    client_key: str | None = None,
) -> int:
    """Keep the answer to what was asked; it counts once, and nothing is said about it.

    The position that is asked now, 0 when none is or that has to be looked up. When
    this returns it outlives the process. The very same answer sent twice is taken
    as one. Raises NotFound, NotUnderstood, OutOfRange; Conflict for a token that is
    stale or used up, another device, and a question that was voided.
    """
    if not compare_digest(kept(token), asked.step.token_hash or ""):
        raise Conflict("answer_stale")
    if not asked.step.answered_at:
        _refuse_closed(asked.row, asked.step, looking)
    marks = answering.marked(json.loads(asked.payload), answers)
    with house.db.write() as connection:
        row = _own_held(connection, looking, asked.row.id)
        rows = assessment_state.rows(connection, row)
        step = next(one for one in rows.steps if one.id == asked.step.id)
        parts = rows.parts[step.scenario_id]
        if step.answered_at:
            _refuse_other_answer(connection, step, parts, answers)
            return 0
        _refuse_closed(row, step, looking)
        answering.keep(
            connection, row.person_id, parts, answers, marks, now, client_key
        )
        assessments.change_step(connection, step.id, answered_at=now)
        log.tell(connection, "answered", now, step.id, assessment=row.id)
        after = rows.answered(step.id, now)
        state = after.state(assessments.answers(connection, row.id))
        went = assessment_asking.go_on(connection, house, looking, state, now)
    return _asked_now(house, looking, row.id, went, now)


def _next(
    connection: Connection,
    house: House,
    looking: Viewer,
    row: Assessment,
    now: datetime,
) -> Went:
    """Decide or ask."""
    if row.state != "running":
        return Went()
    state = assessment_state.kept(connection, row)
    return assessment_asking.go_on(connection, house, looking, state, now)


def _asked_now(
    house: House, looking: Viewer, row_id: str, went: Went, now: datetime
) -> int:
    if went.lacking is None:
        return went.position
    return assessment_asking.make_and_ask(house, looking, row_id, went.lacking, now)


def _bind(
    connection: Connection, row: Assessment, device_id: str, now: datetime
) -> Assessment:
    """From now on only this device goes on; a released assessment begins."""
    if row.state not in ("released", "running"):
        raise Conflict("assessment_over")
    if now > row.open_until:
        raise Conflict("assessment_not_open")
    bound = replace(
        row, device_id=device_id, state="running", started_at=row.started_at or now
    )
    assessments.change(
        connection,
        row.id,
        device_id=device_id,
        state=bound.state,
        started_at=bound.started_at,
    )
    log.tell(connection, "started", now, row.id, device=device_id)
    return bound


def _own(connection: Connection, looking: Viewer, assessment_id: str) -> Assessment:
    return _of(assessments.get(connection, assessment_id), looking)


def _own_held(
    connection: Connection, looking: Viewer, assessment_id: str
) -> Assessment:
    return _of(assessments.held(connection, assessment_id), looking)


def _of(found: Assessment | None, looking: Viewer) -> Assessment:
    if found is None or found.person_id != looking.person_id:
        raise NotFound("no_such_assessment")
    return found


def _refuse_elsewhere(row: Assessment, looking: Viewer) -> None:
    if row.device_id is None or row.device_id != looking.device_id:
        raise Conflict("assessment_other_device")


def _refuse_closed(row: Assessment, step: Step, looking: Viewer) -> None:
    if step.voided_at:
        raise Conflict("question_voided")
    if row.state != "running":
        raise Conflict("assessment_over")
    _refuse_elsewhere(row, looking)


def _refuse_other_answer(
    connection: Connection, step: Step, parts: Sequence[Part], answers: Answers
) -> None:
    """Let the same answer pass that came before; raises Conflict for another one."""
    before = answer_rows.for_scenario(connection, step.scenario_id)
    same = all(
        json.dumps(before[part.id].answer, sort_keys=True)
        == json.dumps(dict(answers.get(part.position, {})), sort_keys=True)
        for part in parts
    )
    if not same:
        raise Conflict("answer_stale")


def _place(
    connection: Connection, row: Assessment, looking: Viewer, now: datetime
) -> Place:
    title = title_of(row.certificate, looking.language)
    kind = _kind_of_row(row, looking, now)
    if kind == "cancelled":
        decided = bool(assessments.decisions(connection, [row.id]))
        kind = "ended" if decided else "voided" if row.void_reason else kind
    if kind:
        return Place(row.id, title, kind, why=row.void_reason or "")
    steps = assessments.steps(connection, row.id)
    for one in steps:
        if not one.answered_at and not one.voided_at:
            gate = _gate_of(connection, row)
            return _place_of(
                row, title, "question", one.stage, steps, one.position, gate
            )
    return standing(assessment_state.kept(connection, row), title, now)


def _kind_of_row(row: Assessment, looking: Viewer, now: datetime) -> str:
    """What the row alone says; empty when its steps have to be looked at."""
    if row.state == "released" and now > row.open_until:
        return "lapsed"
    if row.state != "running":
        return row.state
    return "elsewhere" if row.device_id != looking.device_id else ""


def _gate_of(connection: Connection, row: Assessment) -> Gate:
    """The safety gate that it was released with."""
    return assessment_rules.measures(assessment_rules.of(connection, row)).gate


def standing(state: State, title: str, now: datetime) -> Place:
    """How far a running assessment is; "go-on" too where going on will void it."""
    waiting = state.open
    following = None if waiting or state.kept is None else state.following
    stage = waiting.stage if waiting else following.stage if following else "gate"
    if following is not None and following.kind == "correct":
        kind = "correct"
    elif waiting is not None:
        kind = "question"
    else:
        kind = "window" if now > state.row.open_until else "go-on"
    position = waiting.position if waiting else 0
    gate = state.measures.gate
    return _place_of(state.row, title, kind, stage, state.steps, position, gate)


def _place_of(
    row: Assessment,
    title: str,
    kind: str,
    stage: str,
    steps: Sequence[Step],
    position: int,
    gate: Gate,
) -> Place:
    answered = [one for one in steps if one.answered_at and not one.voided_at]
    return Place(
        row.id,
        title,
        kind,
        stage,
        number=sum(one.stage == stage for one in answered) + 1,
        of={"gate": gate.questions, "fresh": gate.fresh}.get(stage, 0),
        position=position,
    )
