"""What a certificate is given for, and what still lacks.

Two things, both recent and of the same class of header: an assessment whose newest
decision is "pass" and about which nobody disputes, and a yard sign-off on the real
machine by somebody else. It holds until the earlier of the blueprint's days and the day
on which what was shown has faded to an even chance.

That lapse day is counted from the assessment alone, as the decision is: one belief over
all its scored parts, fading at the pace of the topic that fades fastest. A pass that a
person gave on appeal, where the rule gave none, holds as long as one that only just
reaches the limit: the shortest that a pass by points alone can hold on such questions
(``competence/least_pass.py``). The days that the appeal waited are not counted, so that
nobody loses by the wait, but no more of them than an answer may take.

One that was given anew, after another for the same assessment was taken back, holds no
longer than that one.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import groupby

from academy.catalog import assessment, blueprints, competence
from academy.catalog.assessment import Bar
from academy.catalog.blueprints import Blueprint
from academy.catalog.shelf import Catalog
from academy.competence import belief, readiness
from academy.competence.belief import Scored
from academy.competence.item_curve import item_for, part_weight
from academy.competence.least_pass import least_pass
from academy.records.connection import Connection
from academy.records.queries import appeals, assessments, sign_offs
from academy.records.queries import certificates as rows
from academy.records.queries.assessments import Assessment, Decision
from academy.records.queries.certificates import Certificate, Judged
from academy.records.queries.sign_offs import SignOff, TakeOver
from academy.service import assessment_rules, farm
from academy.service.sign_off_standing import leads


@dataclass(frozen=True, slots=True)
class Grounds:
    """How a person stands with one certificate.

    ``assessment`` is a word: passed, or what keeps it from counting: none, failed,
    disputed (an appeal waits), unsettled (a dangerous mistake was not put right),
    old-rules (and the plan it was released with is not kept), faded. ``blueprint`` is
    that plan, content's without an assessment. ``yard`` is done, none, not-yet, or old.
    The rows are those that count, None where the word says why not. ``leads`` are the
    ids of all who had the yard list, who took it over and from whom. ``given`` is the
    certificate in force, ``taken_back`` the newest of this assessment that is not.
    """

    person_id: str
    key: str
    blueprint: Blueprint
    assessment: str
    yard: str
    assessed: Assessment | None = None
    decision: Decision | None = None
    signed: SignOff | None = None
    valid_until: date | None = None
    given: Certificate | None = None
    taken_back: Certificate | None = None
    leads: tuple[str, ...] = ()

    @property
    def complete(self) -> bool:
        """Whether a certificate can be given, while none is in force."""
        both = self.assessment == "passed" and self.yard == "done"
        return both and self.given is None

    @property
    def begun(self) -> bool:
        """Whether there is anything at all to tell."""
        return (self.assessment, self.yard) != ("none", "none") or bool(self.given)


@dataclass(frozen=True, slots=True)
class _Kept:
    """Rows of some people, read once."""

    ended: tuple[Assessment, ...]
    decisions: Mapping[str, list[Decision]]
    disputed: frozenset[str]
    signed: tuple[SignOff, ...]
    taken: Mapping[str, tuple[TakeOver, ...]]
    given: tuple[Certificate, ...]

    def leads(self, signed: SignOff | None) -> tuple[str, ...]:
        """Everybody who had a sign-off, the first first; empty without one."""
        return leads(signed, self.taken.get(signed.id, ())) if signed else ()

    def for_one(
        self, assessment_id: str
    ) -> tuple[Certificate | None, tuple[Certificate, ...]]:
        """Its certificate in force, and those taken back, the newest first."""
        mine = [one for one in self.given if one.assessment_id == assessment_id]
        holds = next((one for one in mine if one.revoked_at is None), None)
        return holds, tuple(one for one in mine if one.revoked_at is not None)


def grounds(
    connection: Connection, catalog: Catalog, people: Sequence[str], now: datetime
) -> dict[str, tuple[Grounds, ...]]:
    """How each of some people stands with every certificate."""
    today = farm.day_at(connection, now)
    kept = _read(connection, people)
    return {
        person_id: tuple(
            _one(connection, catalog, kept, person_id, key, today)
            for key in blueprints.known()
        )
        for person_id in people
    }


def lapse_day(
    shown: Iterable[Judged],
    blueprint: Blueprint,
    catalog: Catalog,
    assessed: date,
    on_appeal: Bar | None = None,
) -> date:
    """The first day on which what was shown has faded to less than an even chance.

    At most the blueprint's days after the assessment; its very day when it was never
    more than even. ``on_appeal`` is the bar of an assessment that a person decided was
    passed: then only what was asked counts, as if it had just been enough.
    """
    model, parts = competence.load(), tuple(shown)
    scored = _evidence(parts)
    if on_appeal is not None:
        stems = len({part.scenario_id for part in parts})
        scored = least_pass(scored, stems, on_appeal)
    grid = belief.update(belief.prior(model), scored)
    half_life = min(catalog.half_life(topic) for topic in blueprint.weights)
    most = int(blueprint.valid_days.value)
    days = readiness.lapse_days(grid, half_life, model, most)
    return assessed + timedelta(days=days)


def _evidence(shown: Iterable[Judged]) -> list[Scored]:
    """Each part as the decision counts it: parts of one stem share a weight."""
    model = competence.load()
    found = []
    for _scenario, parts in groupby(shown, key=lambda part: part.scenario_id):
        told = list(parts)
        weight = part_weight(len(told), model)
        found += [
            Scored(item_for(part.par, part.floor, model), part.score, weight)
            for part in told
        ]
    return found


def _read(connection: Connection, people: Sequence[str]) -> _Kept:
    ended = rows.ended(connection, people)
    ids = [one.id for one in ended]
    signed = rows.sign_offs(connection, people)
    return _Kept(
        ended=ended,
        decisions=assessments.decisions(connection, ids),
        disputed=rows.disputed(connection, ids),
        signed=signed,
        taken=sign_offs.taken_over(connection, [one.id for one in signed]),
        given=rows.of_people(connection, people),
    )


def _one(
    connection: Connection,
    catalog: Catalog,
    kept: _Kept,
    person_id: str,
    key: str,
    today: date,
) -> Grounds:
    mine = (
        one
        for one in kept.ended
        if (one.person_id, one.certificate) == (person_id, key)
    )
    newest = next(mine, None)
    blueprint = _blueprint(connection, newest, key)
    yard, signed = _yard(connection, kept, person_id, blueprint, today)
    if newest is None:
        return Grounds(person_id, key, blueprint, "none", yard, signed=signed)
    decided = kept.decisions.get(newest.id, [])
    word = _assessed(connection, kept, newest, blueprint)
    given, taken_back = kept.for_one(newest.id)
    until = None
    if word == "passed":
        until = _until(connection, catalog, newest, blueprint, decided)
        until = min([until, *(one.valid_until for one in taken_back)])
    if until is not None and until <= today:
        word = "faded"
    return Grounds(
        person_id=person_id,
        key=key,
        blueprint=blueprint,
        assessment=word,
        yard=yard,
        assessed=newest,
        decision=decided[-1] if decided else None,
        signed=signed,
        valid_until=until,
        given=given,
        taken_back=taken_back[0] if taken_back else None,
        leads=kept.leads(signed),
    )


def _blueprint(
    connection: Connection, newest: Assessment | None, key: str
) -> Blueprint:
    """The plan that the assessment was released with; else content's."""
    kept = newest if newest is not None and newest.rules is not None else None
    plan = assessment_rules.plan(connection, kept)
    return plan or blueprints.load(key)


def _assessed(
    connection: Connection, kept: _Kept, row: Assessment, blueprint: Blueprint
) -> str:
    """What the newest assessment of a certificate is worth, in a word."""
    decided = kept.decisions.get(row.id, [])
    if not decided or decided[-1].outcome != "pass":
        return "failed"
    if row.id in kept.disputed:
        return "disputed"
    if row.blueprint_digest != blueprints.digest_of(blueprint):
        return "old-rules"
    if row.header_key not in blueprint.headers:
        return "old-rules"
    return "unsettled" if rows.unsettled(connection, row.id) else "passed"


def by_a_person(decided: Sequence[Decision]) -> bool:
    """Whether the pass that holds is a person's, where the rule gave none."""
    if not decided or decided[-1].decided_by is None:
        return False
    ruled = [one.outcome for one in decided if one.decided_by is None]
    return decided[-1].outcome == "pass" and "pass" not in ruled


def _until(
    connection: Connection,
    catalog: Catalog,
    row: Assessment,
    blueprint: Blueprint,
    decided: Sequence[Decision],
) -> date:
    shown = rows.judged(connection, row.id)
    assessed = farm.day_at(connection, row.ended_at or row.released_at)
    if not by_a_person(decided):
        return lapse_day(shown, blueprint, catalog, assessed)
    rules = assessment_rules.of(connection, row)
    bar = assessment_rules.measures(rules).bar_of(row)
    lapses = lapse_day(shown, blueprint, catalog, assessed, bar)
    most = timedelta(days=int(blueprint.valid_days.value))
    return min(lapses + _waited(connection, row), assessed + most)


def _waited(connection: Connection, row: Assessment) -> timedelta:
    """How long the appeal that was granted waited, at most as long as it may."""
    found = appeals.of_assessment(connection, row.id)
    told = [one for one in found if one.overturned and one.answered_at]
    if not told or told[-1].answered_at is None:
        return timedelta()
    raised = farm.day_at(connection, told[-1].raised_at)
    answered = farm.day_at(connection, told[-1].answered_at)
    return min(answered - raised, timedelta(days=assessment.appeal_days()))


def _yard(
    connection: Connection,
    kept: _Kept,
    person_id: str,
    blueprint: Blueprint,
    today: date,
) -> tuple[str, SignOff | None]:
    """The newest signed sign-off of the list on this class of header, in a word."""
    mine = (
        one
        for one in kept.signed
        if (one.person_id, one.list_key) == (person_id, blueprint.sign_off)
        and one.header_key in blueprint.headers
        and one.lead_id != person_id
    )
    newest = next(mine, None)
    if newest is None:
        return "none", None
    if newest.outcome != "done" or newest.signed_at is None:
        return "not-yet", None
    signed = farm.day_at(connection, newest.signed_at)
    if (today - signed).days > blueprint.valid_days.value:
        return "old", None
    return "done", newest
