"""What a certificate is given for, and what still lacks.

Two things, both recent and of the same class of header: an assessment whose newest
decision is "pass" and about which nobody disputes, and a yard sign-off on the real
machine by somebody else. It holds until the earlier of the blueprint's days and the day
on which what was shown has faded to an even chance.

That lapse day is counted from the assessment alone, as the decision is: one belief over
all its scored parts, fading at the pace of the topic that fades fastest.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import groupby

from academy.catalog import blueprints, competence
from academy.catalog.blueprints import Blueprint
from academy.catalog.shelf import Catalog
from academy.competence import belief, readiness
from academy.competence.belief import Scored
from academy.competence.item_curve import item_for, part_weight
from academy.records.connection import Connection
from academy.records.queries import assessments, sign_offs
from academy.records.queries import certificates as rows
from academy.records.queries.assessments import Assessment, Decision
from academy.records.queries.certificates import Certificate, Judged
from academy.records.queries.sign_offs import SignOff, TakeOver
from academy.service import assessment_rules, farm


@dataclass(frozen=True, slots=True)
class Grounds:
    """How a person stands with one certificate.

    ``assessment`` is a word: passed, or what keeps it from counting: none, failed,
    disputed (an appeal waits), unsettled (a dangerous mistake was not put right),
    old-rules (and the plan it was released with is not kept), faded. ``blueprint`` is
    that plan, content's without an assessment. ``yard`` is done, none, not-yet, or old.
    The rows are those that count, None where the word says why not. ``leads`` are the
    ids of all who had the yard list, who took it over and from whom.
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
    leads: tuple[str, ...] = ()

    @property
    def complete(self) -> bool:
        """Whether a certificate can be given that was not given yet."""
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
    given: Mapping[str, Certificate]

    def leads(self, signed: SignOff | None) -> tuple[str, ...]:
        """Everybody who had a sign-off, the first first."""
        if signed is None:
            return ()
        before = (one.from_id for one in self.taken.get(signed.id, ()))
        return tuple(dict.fromkeys([*before, signed.lead_id]))


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
    shown: Iterable[Judged], blueprint: Blueprint, catalog: Catalog, assessed: date
) -> date:
    """The first day on which what was shown has faded to less than an even chance.

    At most the blueprint's days after the assessment; its very day when it was never
    more than even.
    """
    model = competence.load()
    grid = belief.update(belief.prior(model), _evidence(shown))
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
        given={one.assessment_id: one for one in rows.of_people(connection, people)},
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
    until = _until(connection, catalog, newest, blueprint) if word == "passed" else None
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
        given=kept.given.get(newest.id),
        leads=kept.leads(signed),
    )


def _blueprint(
    connection: Connection, newest: Assessment | None, key: str
) -> Blueprint:
    """The plan that the assessment was released with; else content's."""
    if newest is not None and newest.rules is not None:
        rules = assessment_rules.of(connection, newest)
        if rules is not None:
            return rules.blueprint
    return blueprints.load(key)


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


def _until(
    connection: Connection, catalog: Catalog, row: Assessment, blueprint: Blueprint
) -> date:
    shown = rows.judged(connection, row.id)
    assessed = farm.day_at(connection, row.ended_at or row.released_at)
    return lapse_day(shown, blueprint, catalog, assessed)


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
