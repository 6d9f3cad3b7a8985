"""Appeals: somebody doubts a decision, a second person looks at the record and decides.

The second person had no part in it: released nothing, voided or corrected nothing,
signed and issued nothing, did not raise the appeal and was not assessed. Every decision
stays in the record; the newest holds.
"""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from academy.catalog import assessment as rules
from academy.errors import Conflict, NotAllowed, NotFound, NotUnderstood, OutOfRange
from academy.records.connection import Connection
from academy.records.queries import appeals, assessments, certificates
from academy.records.queries import people as persons
from academy.records.queries.appeals import Appeal
from academy.records.queries.assessments import Assessment, Decision
from academy.records.rows import new_id
from academy.service import farm, log
from academy.service.assessment_release import looks_after
from academy.service.assessment_told import title_of
from academy.service.house import House
from academy.service.viewer import Viewer

LONGEST = 2000
_LONGEST_REVOKE = 400
_LISTED = 20
_OTHER = {"pass": "fail", "fail": "pass", "gate": "void", "void": "gate"}

_STATES = {"void": "cancelled", "gate": "ended"}


@dataclass(frozen=True, slots=True)
class Row:
    """One appeal in the list; ``may_decide`` when the viewer had no part in it."""

    assessment_id: str
    name: str
    title: str
    raised: date
    due: date
    answered: date | None
    overturned: bool
    may_decide: bool


def may_see(connection: Connection, looking: Viewer, row: Assessment) -> bool:
    """Whether the record of an ended assessment is the viewer's to see.

    The person's own; their lead's; an owner's; and any instructor's, because a second
    person has to be found.
    """
    if row.state not in ("ended", "cancelled"):
        return False
    own = row.person_id == looking.person_id
    teaches = "instructor" in looking.roles
    return own or teaches or looks_after(connection, looking, row)


def seen(connection: Connection, looking: Viewer, assessment_id: str) -> Assessment:
    """An ended assessment whose record the viewer may see; raises NotFound."""
    found = assessments.get(connection, assessment_id)
    if found is None or not may_see(connection, looking, found):
        raise NotFound("no_such_assessment")
    return found


def listed(house: House, looking: Viewer) -> tuple[Row, ...]:
    """Appeals the viewer may see, the open ones first; raises NotFound for hires."""
    if not looking.teaches:
        raise NotFound("no_such_page")
    with house.db.read() as connection:
        pairs = [
            (one, assessments.get(connection, one.assessment_id))
            for one in appeals.newest(connection, _LISTED)
        ]
        return tuple(
            _row(connection, looking, one, row)
            for one, row in pairs
            if row is not None and may_see(connection, looking, row)
        )


def to_decide(house: House, looking: Viewer) -> tuple[Row, ...]:
    """Appeals that wait and that the viewer may decide; none for hires."""
    if not looking.teaches:
        return ()
    return tuple(one for one in listed(house, looking) if one.may_decide)


def raise_one(
    house: House, looking: Viewer, assessment_id: str, reason: str, now: datetime
) -> str:
    """Doubt a decision, for a reason; the appeal's id.

    Raises NotFound, NotUnderstood without a reason, OutOfRange for a long one, Conflict
    while another waits and where nothing was decided.
    """
    told = _said(reason, "appeal_needs_reason")
    with house.db.write() as connection:
        assessments.held(connection, assessment_id)
        row = seen(connection, looking, assessment_id)
        if not assessments.decisions(connection, [row.id]):
            raise Conflict("nothing_decided")
        if open_one(appeals.of_assessment(connection, row.id)):
            raise Conflict("appeal_waits")
        appeal_id = appeals.add(connection, row.id, looking.person_id, told, now)
        log.tell(connection, "appealed", now, appeal_id)
    return appeal_id


def answer(
    house: House,
    looking: Viewer,
    assessment_id: str,
    *,
    overturn: bool,
    reason: str,
    now: datetime,
) -> None:
    """Answer the appeal that waits: the decision stands, or is overturned.

    Overturning turns pass into fail and fail into pass by a further decision; a
    certificate given for it is taken back. What ended at the safety gate cannot become
    a pass, because nothing after it was asked: it becomes void, which counts for
    nothing, so that the next one is asked at the same bar and at once. Raises NotFound,
    NotAllowed for who had a part in it, NotUnderstood, OutOfRange, and Conflict when
    none waits.
    """
    told = _said(reason, "answer_needs_reason")
    with house.db.write() as connection:
        assessments.held(connection, assessment_id)
        row = seen(connection, looking, assessment_id)
        waiting = open_one(appeals.of_assessment(connection, row.id))
        if waiting is None:
            raise Conflict("no_appeal_waits")
        if not may_decide(connection, looking, row):
            raise NotAllowed("appeal_needs_second_person")
        appeals.answer(
            connection,
            waiting.id,
            by=looking.person_id,
            overturned=overturn,
            told=told,
            now=now,
        )
        log.tell(connection, "appeal-answered", now, waiting.id)
        if overturn:
            _overturn(connection, looking, row, told, now)


def open_one(found: tuple[Appeal, ...]) -> Appeal | None:
    """The appeal that waits for its answer."""
    return next((one for one in found if one.answered_at is None), None)


def may_decide(connection: Connection, looking: Viewer, row: Assessment) -> bool:
    """Whether the viewer leads or teaches and had no part in this assessment."""
    if not looking.teaches or not may_see(connection, looking, row):
        return False
    return looking.person_id not in had_part_in(connection, row)


def had_part_in(connection: Connection, row: Assessment) -> set[str]:
    """Everybody who had a part in an assessment, its certificate or its appeals."""
    steps = assessments.steps(connection, row.id)
    by_steps = {who for one in steps for who in (one.voided_by, one.corrected_by)}
    raised = appeals.of_assessment(connection, row.id)
    by_appeals = {who for one in raised for who in (one.raised_by, one.answered_by)}
    signed = appeals.had_part_in(connection, [row.id])
    everybody = {row.person_id, row.released_by} | by_steps | by_appeals | signed
    return {who for who in everybody if who is not None}


def due(connection: Connection, waiting: Appeal) -> date:
    """The day by which an appeal has to be answered."""
    days = timedelta(days=rules.appeal_days())
    return farm.day_at(connection, waiting.raised_at) + days


def _overturn(
    connection: Connection, looking: Viewer, row: Assessment, told: str, now: datetime
) -> None:
    last = assessments.decisions(connection, [row.id])[row.id][-1]
    made = Decision(
        id=new_id(),
        assessment_id=row.id,
        outcome=_OTHER[last.outcome],
        evidence=last.evidence,
        scenarios=last.scenarios,
        decided_by=looking.person_id,
        decided_at=now,
        reason=told,
    )
    appeals.decide(connection, made)
    log.tell(connection, "decided", now, made.id)
    if made.outcome in _STATES:
        assessments.change(connection, row.id, state=_STATES[made.outcome])
    given = certificates.in_force(connection, row.id)
    if made.outcome == "fail" and given is not None:
        short = told[:_LONGEST_REVOKE]
        if certificates.revoke(connection, given.id, looking.person_id, short, now):
            log.tell(connection, "certificate-revoked", now, given.id)


def _said(reason: str, missing: str) -> str:
    """The reason, tidy; raises NotUnderstood, OutOfRange."""
    told = "\n".join(" ".join(line.split()) for line in reason.strip().splitlines())
    if not told:
        raise NotUnderstood(missing)
    if len(told) > LONGEST:
        raise OutOfRange("reason_too_long", most=LONGEST, value=len(told))
    return told


def _row(connection: Connection, looking: Viewer, one: Appeal, row: Assessment) -> Row:
    person = persons.get(connection, row.person_id)
    waits = one.answered_at is None
    return Row(
        assessment_id=row.id,
        name=(person.name if person else "") or "",
        title=title_of(row.certificate, looking.language),
        raised=farm.day_at(connection, one.raised_at),
        due=due(connection, one),
        answered=None
        if one.answered_at is None
        else farm.day_at(connection, one.answered_at),
        overturned=bool(one.overturned),
        may_decide=waits and may_decide(connection, looking, row),
    )
