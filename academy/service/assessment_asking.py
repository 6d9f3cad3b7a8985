"""The next question of an assessment: issued off the shelf or made, asked, or the end.

A question is one that this person never had and nobody in this sitting. What was asked
is kept just as it was shown. A step's token is made from the house's own secret; only
its hash is kept, so that who reads the tables cannot answer for anybody.
"""

import hashlib
import hmac
import json
from dataclasses import dataclass, replace
from datetime import datetime
from secrets import randbelow

from academy.catalog import coefficients
from academy.errors import Conflict
from academy.language import Reader
from academy.records.connection import Connection
from academy.records.queries import assessments, scenarios
from academy.records.queries import coefficients as coefficient_rows
from academy.records.queries.assessments import Assessment
from academy.records.queries.scenarios import Issue, Scenario
from academy.records.rows import new_id
from academy.service import (
    answering,
    assessment_state,
    assessment_void,
    line,
    log,
    shown_question,
)
from academy.service.assessment_state import Planned, State
from academy.service.farm import day_at
from academy.service.house import House
from academy.service.making import family, make
from academy.service.practice import ASSESSMENT, reader_of
from academy.service.tokens import kept
from academy.service.viewer import Viewer
from academy.service.views import Question

_SEEDS = 2**53
_FRESH_TRIES = 20


def token_of(house: House, step_id: str) -> str:
    """The one-time token of a step, made from the house's secret."""
    text = f"step of an assessment: {step_id}".encode()
    return hmac.new(house.pepper, text, hashlib.sha256).hexdigest()


@dataclass(frozen=True, slots=True)
class Went:
    """The position that is asked now, 0 for none; what the shelf could not give."""

    position: int = 0
    lacking: Planned | None = None


def go_on(
    connection: Connection, house: House, looking: Viewer, state: State, now: datetime
) -> Went:
    """Decide, or ask what comes next off the shelf.

    Call it in the write that changed the assessment, with its state after that. Nothing
    is asked after the time it was released for. One that cannot go on, because its
    rules are gone or the bank has nothing left to ask, is voided: it never counts.
    """
    if state.kept is None:
        assessment_void.void(connection, house, state, assessment_void.RULES_GONE, now)
        return Went()
    if _settled(connection, house, state, now) or now > state.row.open_until:
        return Went()
    planned = assessment_state.plan(state)
    if planned is None:
        return Went(state.open.position if state.open else 0)
    if planned.family is None:
        reason = assessment_void.NOTHING_LEFT
        assessment_void.void(connection, house, state, reason, now, slot=planned.slot)
        return Went()
    to = _issue_to(connection, looking, now)
    issued = scenarios.consume_ready(connection, planned.family, to)
    if issued is None:
        return Went(lacking=planned)
    _ask(connection, house, looking, state.row, planned, issued)
    return Went(planned.position)


def make_and_ask(
    house: House, looking: Viewer, row_id: str, planned: Planned, now: datetime
) -> int:
    """Make the planned question on the spot and ask it, unless another was meanwhile.

    The position that is asked now, 0 when that is not this one.

    Raises Conflict when no unseen one could be made.
    """
    for _ in range(_FRESH_TRIES):
        draft = make(str(planned.family), randbelow(_SEEDS))
        known_set = coefficients.load(family(draft.family).crop)
        with house.db.write() as connection:
            state = running(connection, row_id)
            if state is None or assessment_state.plan(state) != planned:
                return 0
            to = _issue_to(connection, looking, now)
            coefficient_rows.keep(connection, known_set.digest, known_set.body)
            if scenarios.had(connection, draft.digest, to.person_id, to.sitting):
                continue
            issued = scenarios.issue_draft(connection, draft, to)
            _ask(connection, house, looking, state.row, planned, issued)
            return planned.position
    raise Conflict("no_fresh_scenario")


def running(connection: Connection, row_id: str) -> State | None:
    """A running assessment, held for this write; None when it may not go on."""
    row = assessments.held(connection, row_id)
    if row is None or row.state != "running":
        return None
    found = assessment_state.kept(connection, row)
    return None if found.kept is None else found


def _issue_to(connection: Connection, looking: Viewer, now: datetime) -> Issue:
    """To whom and in which sitting a question goes out."""
    sitting = f"{looking.crew_id[:24]}/{day_at(connection, now).isoformat()}"
    return Issue(looking.person_id, sitting, ASSESSMENT, now)


def seen_at(stage: str, issued: Scenario, reader: Reader) -> Question:
    """A question as it is seen; no field matters to those of the safety gate."""
    seen = answering.view(issued, json.loads(issued.payload), reader)
    return seen if stage == "scenario" else replace(seen, facts=())


def _settled(connection: Connection, house: House, state: State, now: datetime) -> bool:
    """Whether the assessment is over; if so, decide it."""
    following = assessment_state.ending(state)
    if following is None or following.outcome is None:
        return False
    decision_id = assessments.add_decision(
        connection,
        state.row.id,
        following.outcome,
        following.evidence,
        following.scenarios,
        now,
    )
    assessments.change(connection, state.row.id, state="ended", ended_at=now)
    terms = assessment_state.terms(state)
    log.tell(connection, "decided", now, decision_id, terms=terms)
    assessment_void.count_answers(connection, house, state.row, state.topics)
    return True


def _ask(
    connection: Connection,
    house: House,
    looking: Viewer,
    row: Assessment,
    planned: Planned,
    issued: Scenario,
) -> None:
    line.move_pars(connection, issued.id, row.line)
    reader = reader_of(looking)
    seen = seen_at(planned.stage, issued, reader)
    step_id = new_id()
    assessments.add_step(
        connection,
        step_id=step_id,
        assessment_id=row.id,
        position=planned.position,
        stage=planned.stage,
        slot=planned.slot,
        scenario_id=issued.id,
        shown=shown_question.plain(seen, reader),
        token_hash=kept(token_of(house, step_id)),
        now=issued.issued_at,
    )
    log.tell(connection, "asked", issued.issued_at, step_id, assessment=row.id)
