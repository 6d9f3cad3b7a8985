"""Certificates that today's engine and coefficients would have decided otherwise.

Each answer behind a certificate is marked as if its question were made today: same
facts, today's key, par and coefficients. What may not be asked any more drops out. The
terms of the decision stay those it had. Nothing is changed: people decide what to do.
"""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

from academy.catalog import coefficients, competence
from academy.catalog.families import known
from academy.competence import judging
from academy.competence.judging import Given
from academy.competence.line_setting import moved
from academy.engine.version import VERSION
from academy.errors import AcademyError
from academy.records.connection import Connection
from academy.records.copying import refuse_other_release
from academy.records.queries import replaying, standard
from academy.records.queries.answers import SCORE_DECIMALS
from academy.records.queries.assessments import Assessment
from academy.service import making, marking, replayed
from academy.service.installation import Installation
from academy.service.problems import Made
from academy.service.replayed import PartAgain, Replayed, StepAgain

_UNREADABLE = (AcademyError, LookupError, TypeError, ValueError)


@dataclass(frozen=True, slots=True)
class Otherwise:
    """A certificate that would be decided otherwise today, or about which none can say.

    ``today`` is an outcome, ``open`` when what is left is not enough for one, or None
    with the reason ``why``. ``dropped`` questions would not be asked any more.
    """

    certificate_id: str
    certificate: str
    kept: str
    today: str | None
    evidence_kept: float
    evidence_today: float | None
    dropped: int
    why: str = ""


@dataclass(frozen=True, slots=True)
class Report:
    """How many were looked at, how many rest on other coefficients, and the list."""

    certificates: int
    older: int
    otherwise: tuple[Otherwise, ...]

    def as_plain(self) -> dict[str, Any]:
        """The report as plain data."""
        return {"engine_version": VERSION} | asdict(self)


class _Unclear(Exception):
    """What stands in the way of judging one today."""


def certificates(installed: Installation) -> Report:
    """Judge what is behind every certificate that was not taken back, as of today.

    Raises NotFound without a database, Conflict for tables of another release.
    """
    installed.check_there()
    with installed.database.snapshot() as connection:
        refuse_other_release(connection, installed.database)
        found = replaying.in_force(connection)
        told, older = [], 0
        for certificate_id, row in found.items():
            again = replayed.replay(connection, row)
            if not any(_older(part) for one in again.steps for part in one.parts):
                continue
            older += 1
            one = _otherwise(connection, certificate_id, again)
            if one is not None:
                told.append(one)
    return Report(len(found), older, tuple(told))


def _otherwise(
    connection: Connection, certificate_id: str, again: Replayed
) -> Otherwise | None:
    """The line of one certificate; None when it would be decided the same."""
    if not again.decisions:
        return None
    kept = again.decisions[-1]
    one = Otherwise(
        certificate_id=certificate_id,
        certificate=again.row.certificate,
        kept=kept.outcome,
        today=None,
        evidence_kept=kept.evidence,
        evidence_today=None,
        dropped=0,
    )
    if again.terms is None:
        return replace(one, why="terms_not_known")
    try:
        given, dropped = _given(connection, again)
        judged = judging.judge(again.terms, again.row.credit, given)
    except _Unclear as found:
        return replace(one, why=str(found))
    if judged.outcome == kept.outcome:
        return None
    return replace(
        one,
        today=judged.outcome or "open",
        evidence_today=judged.evidence,
        dropped=dropped,
    )


def _given(connection: Connection, again: Replayed) -> tuple[list[Given], int]:
    """The steps that counted, marked as of today, and how many dropped out."""
    given, dropped = [], 0
    for one in again.steps:
        if one.running is None:
            continue
        if one.step.stage != "scenario" or not any(_older(p) for p in one.parts):
            given.append(replayed.given(one.step.stage, one.parts))
            continue
        today = _today(connection, again.row, one)
        if today is None:
            dropped += 1
        else:
            given.append(Given(one.step.stage, True, today))
    return given, dropped


def _older(part: PartAgain) -> bool:
    """Whether a part was made by another engine, or with other coefficients."""
    if part.asked.engine_version != VERSION:
        return True
    try:
        digest = coefficients.load(part.facts["crop"]).digest
    except _UNREADABLE:
        return True
    return part.asked.coefficient_digest != digest


def _today(
    connection: Connection, row: Assessment, one: StepAgain
) -> tuple[tuple[float, float, float], ...] | None:
    """Par, chance floor and score of each part as of today; None when not asked."""
    try:
        made = [_made(part) for part in one.parts]
        if any(each is None for each in made):
            return None
        found = [each for each in made if each is not None]
        pairs = list(zip(one.parts, found, strict=True))
        scores = [_score(part, each) for part, each in pairs]
        pars = _pars(connection, row, one.parts[0].asked.family, found)
    except _UNREADABLE as problem:
        key = (
            problem.key if isinstance(problem, AcademyError) else type(problem).__name__
        )
        raise _Unclear(key) from problem
    floors = [each.floor for each in found]
    return tuple(zip(pars, floors, scores, strict=True))


def _made(part: PartAgain) -> Made | None:
    asked = known()[part.asked.family].parts[part.asked.position - 1]
    if asked.kind != part.asked.kind:
        raise LookupError(part.asked.kind)
    return making.made_part(asked, part.facts, part.asked.position)


def _score(part: PartAgain, made: Made) -> float:
    kept: Mapping[str, Any] = part.stored
    today = {"kind": kept["kind"], "topic": kept["topic"]} | made.key
    return round(
        marking.mark(today, part.facts, part.asked.answer).score, SCORE_DECIMALS
    )


def _pars(
    connection: Connection, row: Assessment, family: str, made: Sequence[Made]
) -> Sequence[float]:
    """Pars as of today, moved to the line that this assessment was released under."""
    pars = [one.par for one in made]
    found = None if row.line is None else standard.version(connection, row.line)
    told = found.body["families"].get(family) if found else None
    if told is None:
        return pars
    floors = [one.floor for one in made]
    return moved(pars, floors, told["expected"], competence.load())
