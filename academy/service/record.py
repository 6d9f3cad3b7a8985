"""The record of an ended assessment, as an appeal is answered from it.

Everything comes from what was kept: questions as they were shown, answers, keys, marks
by their rule, points, decisions, appeals. The engine is only asked whether it still
says the same.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from academy.competence import judging
from academy.engine.coefficients import Coefficients
from academy.errors import NotFound
from academy.language import Reader, gettext, marked
from academy.records.connection import Connection
from academy.records.queries import appeals as appeal_rows
from academy.records.queries import assessments, chain
from academy.records.queries import people as persons
from academy.records.queries.appeals import Appeal
from academy.records.queries.assessments import Assessment, Decision
from academy.service import (
    appeals,
    line,
    record_engine,
    record_words,
    regrade,
    replayed,
    shown_question,
)
from academy.service.assessment_result import POINT
from academy.service.assessment_told import title_of
from academy.service.house import House
from academy.service.practice import reader_of
from academy.service.replayed import PartAgain, Replayed, StepAgain
from academy.service.viewer import Viewer
from academy.service.views import PartView, Question, Table

_NOBODY = marked("a person whose name was erased")


@dataclass(frozen=True, slots=True)
class Verdict:
    """One decision; ``by`` is empty for what the rule decided."""

    outcome: str
    points: float
    by: str
    when: datetime
    reason: str


@dataclass(frozen=True, slots=True)
class AppealTold:
    """One appeal; ``due`` is the day by which it has to be answered."""

    by: str
    raised: datetime
    due: date
    reason: str
    answered_by: str
    answered: datetime | None
    overturned: bool
    answer: str


@dataclass(frozen=True, slots=True)
class Line:
    """One question in the list: mean score and par (0 to 1), points, whether it counts.

    ``points`` and ``running`` are None where it brought none: the safety gate, a void.
    """

    position: int
    stage: str
    title: str
    right: bool
    score: float | None
    par: float
    points: float | None
    running: float | None
    seconds: int | None
    void_reason: str


@dataclass(frozen=True, slots=True)
class Logged:
    """One entry of the assessment's log; ``position`` of the question, if it is one."""

    kind: str
    when: datetime
    position: int | None
    hash: str


@dataclass(frozen=True, slots=True)
class Limits:
    """Points that pass and fail at once, that pass at the end, fewest and most."""

    passes: float
    fails: float
    last: float
    least: int
    most: int
    start: float


@dataclass(frozen=True, slots=True)
class Record:
    """The whole record; ``same`` when everything comes out again as it is kept."""

    assessment_id: str
    person_id: str
    own: bool
    name: str
    title: str
    attempt: int
    started: datetime | None
    ended: datetime | None
    released_by: str
    blueprint: str
    line: int | None
    model_line: bool
    verdicts: tuple[Verdict, ...]
    void_reason: str
    same: bool
    limits: Limits | None
    questions: tuple[Line, ...]
    appeals: tuple[AppealTold, ...]
    log: tuple[Logged, ...]
    may_appeal: bool
    may_answer: bool
    waits: bool

    @property
    def gate_only(self) -> bool:
        """Whether the decision that holds ended it at the safety gate."""
        return bool(self.verdicts) and self.verdicts[-1].outcome == "gate"

    @property
    def undone(self) -> bool:
        """Whether a person overturned a closed safety gate, so that nothing counts."""
        return bool(self.verdicts) and self.verdicts[-1].outcome == "void"


@dataclass(frozen=True, slots=True)
class PartTold:
    """One part: what was answered, the key, its mark again, and how sure the key is."""

    shown: PartView
    answer: Table
    score: float | None
    again: float | None
    par: float
    floor: float
    critical: bool
    stability: tuple[tuple[str, str], ...]
    engine: str
    readings: Table | None
    agrees: bool


@dataclass(frozen=True, slots=True)
class Asked:
    """One question of the record, in the language it was shown in."""

    assessment_id: str
    language: str
    question: Question
    told: Line
    asked: datetime
    answered: datetime | None
    corrected: datetime | None
    engine_version: int
    coefficient_digest: str
    parts: tuple[PartTold, ...]
    before: int | None
    after: int | None


def record(house: House, looking: Viewer, assessment_id: str) -> Record:
    """The record of an ended assessment; raises NotFound."""
    with house.db.read() as connection:
        row = appeals.seen(connection, looking, assessment_id)
        again = replayed.replay(connection, row)
        found = appeal_rows.of_assessment(connection, row.id)
        waiting = appeals.open_one(found)
        may = appeals.may_decide(connection, looking, row)
        names = _Names(connection, looking)
        person = persons.get(connection, row.person_id)
        return Record(
            assessment_id=row.id,
            person_id=row.person_id,
            own=row.person_id == looking.person_id,
            name=(person.name if person else "") or "",
            title=title_of(row.certificate, looking.language),
            attempt=row.attempt,
            started=row.started_at,
            ended=row.ended_at,
            released_by=names.of(row.released_by),
            blueprint=row.blueprint_digest,
            line=row.line,
            model_line=line.model_judged(connection, row),
            verdicts=tuple(_verdict(one, names) for one in again.decisions),
            void_reason=row.void_reason or "",
            same=again.same,
            limits=_limits(again, row),
            questions=_lines(connection, again),
            appeals=tuple(_appeal(connection, one, names) for one in found),
            log=_log(connection, again),
            may_appeal=waiting is None and bool(again.decisions),
            may_answer=waiting is not None and may,
            waits=waiting is not None,
        )


def question(house: House, looking: Viewer, assessment_id: str, position: int) -> Asked:
    """One question of the record; raises NotFound."""
    reader = reader_of(looking)
    with house.db.read() as connection:
        row = appeals.seen(connection, looking, assessment_id)
        again = replayed.replay(connection, row)
        lines = {one.position: one for one in _lines(connection, again)}
        step = next((one for one in again.steps if one.step.position == position), None)
        if step is None:
            raise NotFound("no_such_assessment")
        shown = assessments.shown(connection, step.step.id)
        sets = regrade.coefficient_sets(connection)
    first = step.parts[0].asked
    asked = shown_question.question(shown)
    pairs = zip(asked.parts, step.parts, strict=True)
    return Asked(
        assessment_id=row.id,
        language=shown["language"],
        question=asked,
        told=lines[position],
        asked=step.step.asked_at,
        answered=step.step.answered_at,
        corrected=step.step.corrected_at,
        engine_version=first.engine_version,
        coefficient_digest=first.coefficient_digest,
        parts=tuple(_part(view, part, sets, reader) for view, part in pairs),
        before=position - 1 if position - 1 in lines else None,
        after=position + 1 if position + 1 in lines else None,
    )


class _Names:
    """Names of people by id, each read once."""

    def __init__(self, connection: Connection, looking: Viewer) -> None:
        self._connection, self._known = connection, dict[str, str]()
        language = reader_of(looking).language
        self._erased = gettext(_NOBODY, language)

    def of(self, person_id: str | None) -> str:
        """The name; empty for nobody."""
        if person_id is None:
            return ""
        if person_id not in self._known:
            found = persons.get(self._connection, person_id)
            self._known[person_id] = (found.name if found else None) or self._erased
        return self._known[person_id]


def _verdict(one: Decision, names: _Names) -> Verdict:
    return Verdict(
        outcome=one.outcome,
        points=one.evidence / POINT,
        by=names.of(one.decided_by),
        when=one.decided_at,
        reason=one.reason or "",
    )


def _appeal(connection: Connection, one: Appeal, names: _Names) -> AppealTold:
    return AppealTold(
        by=names.of(one.raised_by),
        raised=one.raised_at,
        due=appeals.due(connection, one),
        reason=one.reason,
        answered_by=names.of(one.answered_by),
        answered=one.answered_at,
        overturned=bool(one.overturned),
        answer=one.answer or "",
    )


def _log(connection: Connection, again: Replayed) -> tuple[Logged, ...]:
    positions = {one.step.id: one.step.position for one in again.steps}
    return tuple(
        Logged(one.kind, one.at, positions.get(one.body.get("step", "")), one.hash)
        for one in chain.entries(connection, again.row.id)
    )


def _limits(again: Replayed, row: Assessment) -> Limits | None:
    if again.terms is None:
        return None
    told = judging.limits(again.terms)
    return Limits(
        told.passes / POINT,
        told.fails / POINT,
        told.last / POINT,
        told.least,
        told.most,
        row.credit / POINT,
    )


def _lines(connection: Connection, again: Replayed) -> tuple[Line, ...]:
    before, lines = again.row.credit, []
    for one in again.steps:
        counts = one.step.stage == "scenario" and one.running is not None
        points = running = None
        if counts and one.running is not None:
            points, running = (one.running - before) / POINT, one.running / POINT
            before = one.running
        title = assessments.shown(connection, one.step.id)["title"]
        lines.append(_line(one, title, points, running))
    return tuple(lines)


def _line(
    one: StepAgain, title: str, points: float | None, running: float | None
) -> Line:
    step, scores = one.step, [part.asked.score for part in one.parts]
    given = [score for score in scores if score is not None]
    took = None
    if step.answered_at is not None:
        took = round((step.answered_at - step.asked_at).total_seconds())
    return Line(
        position=step.position,
        stage=step.stage,
        title=title,
        right=bool(given) and replayed.given(step.stage, one.parts).right,
        score=sum(given) / len(scores) if given else None,
        par=sum(part.asked.par for part in one.parts) / len(one.parts),
        points=points,
        running=running,
        seconds=took,
        void_reason=step.void_reason or "",
    )


def _part(
    shown: PartView,
    part: PartAgain,
    sets: Mapping[str, Coefficients | None],
    reader: Reader,
) -> PartTold:
    engine = record_engine.said(part, sets, reader)
    return PartTold(
        shown=shown,
        answer=record_words.answer_and_key(shown, part, reader),
        score=part.asked.score,
        again=None if part.mark is None else part.mark.score,
        par=part.asked.par,
        floor=part.asked.floor,
        critical=bool(part.mark and part.mark.critical_miss),
        stability=record_words.stability(part, reader),
        engine=engine.sentence,
        readings=engine.readings,
        agrees=engine.agrees and part.same,
    )
