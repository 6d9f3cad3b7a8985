"""Grading everything again, to show that it can be done; nothing is changed.

(a) Every mark from the stored values, by the rule it was marked by, every belief from
the answers, and every decision on an assessment by its own terms: exact. (b) The engine
again, for attempts of the present version with the coefficients they were made with:
equal to nine significant digits. (c) For other versions, what would be scored today.
"""

import json
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass, field
from typing import Any

from academy.catalog.shelf import Catalog
from academy.competence.belief import pack
from academy.engine.coefficients import Coefficients
from academy.engine.version import VERSION
from academy.errors import AcademyError
from academy.records.connection import Connection
from academy.records.copying import refuse_other_release
from academy.records.queries import beliefs as belief_rows
from academy.records.queries import coefficients as coefficient_rows
from academy.records.queries import replaying
from academy.records.queries.answers import SCORE_DECIMALS
from academy.records.queries.attempts import Attempt, every_attempt
from academy.service import beliefs, replayed, would_be
from academy.service.beliefs import Ledger
from academy.service.installation import Installation
from academy.service.problems import rounded
from academy.service.regrade_kinds import KINDS, Attempted, Kind
from academy.service.would_be import Change

FIRST_RULE = 1  # of marks kept before the rule was kept with them
_UNREADABLE = (AcademyError, LookupError, TypeError, ValueError)


@dataclass(frozen=True, slots=True)
class Difference:
    """One figure that came out otherwise than it is kept; names of things, no people.

    ``where`` is a scenario's id and the part's place, or a person's random id and the
    topic.
    """

    where: str
    what: str
    kept: Any
    found: Any


@dataclass(slots=True)
class Report:
    """How many were looked at, and all that differs."""

    answers: int = 0
    marks: list[Difference] = field(default_factory=list)
    beliefs: int = 0
    belief_differences: list[Difference] = field(default_factory=list)
    reruns: int = 0
    readings: list[Difference] = field(default_factory=list)
    decisions: int = 0
    decision_differences: list[Difference] = field(default_factory=list)
    other_versions: int = 0
    changes: list[Change] = field(default_factory=list)

    @property
    def clean(self) -> bool:
        """Whether (a) and (b) found nothing."""
        return not (
            self.marks
            or self.belief_differences
            or self.readings
            or self.decision_differences
        )

    def as_plain(self) -> dict[str, Any]:
        """The report as plain data."""
        return {"engine_version": VERSION, "clean": self.clean} | asdict(self)


def regrade(installed: Installation, catalog: Catalog) -> Report:
    """Grade everything again from one moment of the database.

    Raises NotFound without a database, Conflict for tables of another release.
    """
    installed.check_there()
    report = Report()
    with installed.database.snapshot() as connection:
        refuse_other_release(connection, installed.database)
        sets = coefficient_sets(connection)
        for attempt in every_attempt(connection):
            _look_at(attempt, sets, report)
        _look_at_beliefs(connection, catalog, report)
        _look_at_decisions(connection, report)
    return report


def coefficient_sets(connection: Connection) -> dict[str, Coefficients | None]:
    """The stored sets by digest; None for one of another engine's coefficients."""
    return {
        digest: _values(body) for digest, body in coefficient_rows.every(connection)
    }


def _values(body: str) -> Coefficients | None:
    triples = json.loads(body)
    try:
        return Coefficients(**{name: triple[1] for name, triple in triples.items()})
    except TypeError:
        return None


def _look_at(
    attempt: Attempt, sets: dict[str, Coefficients | None], report: Report
) -> None:
    report.answers += 1
    where = f"{attempt.scenario_id}/{attempt.position}"
    kind = KINDS.get(attempt.kind)
    report.marks += _differences(where, "marks", lambda: _marks(attempt, kind))
    if attempt.engine_version != VERSION:
        report.other_versions += 1
        report.changes.append(would_be.change(attempt, where))
    elif kind is not None and kind.rerun is not None:
        report.reruns += 1
        values = sets.get(attempt.coefficient_digest)
        report.readings += _differences(
            where, "run", lambda: _readings(attempt, kind, values)
        )


def _differences(
    where: str, what: str, look: Callable[[], dict[str, tuple[Any, Any]]]
) -> Iterator[Difference]:
    """What differs; what cannot be read at all is a difference too."""
    try:
        pairs = look()
    except _UNREADABLE as found:
        yield Difference(where, what, None, f"{type(found).__name__}: {found}")
        return
    for name, (kept, again) in pairs.items():
        if kept != again:
            yield Difference(where, name, kept, again)


def _attempted(attempt: Attempt, values: Any = None) -> Attempted:
    payload = json.loads(attempt.payload)
    return Attempted(
        facts=payload["facts"],
        place=attempt.position,
        part=payload["parts"][attempt.position - 1],
        answer=attempt.answer,
        detail=attempt.marks["detail"],
        values=values,
    )


def _marks(attempt: Attempt, kind: Kind | None) -> dict[str, tuple[Any, Any]]:
    tried, kept = _attempted(attempt), attempt.marks
    rule = (kind or KINDS[attempt.kind]).rules[kept.get("rule", FIRST_RULE)]
    again = rule(tried.part, tried.answer, tried.detail)
    return {
        "score": (attempt.score, round(again.score, SCORE_DECIMALS)),
        "reason": (kept["reason"], again.reason),
        "critical_miss": (kept["critical_miss"], again.critical_miss),
    }


def _readings(
    attempt: Attempt, kind: Kind, values: Coefficients | None
) -> dict[str, tuple[Any, Any]]:
    assert kind.rerun is not None  # noqa: S101 - the caller has looked
    if values is None:
        raise LookupError("coefficients")
    pairs = kind.rerun(_attempted(attempt, values))
    return {name: (nine(kept), nine(found)) for name, (kept, found) in pairs.items()}


def nine(value: Any) -> Any:
    """Every number in it to nine significant digits, and lists for all rows."""
    if isinstance(value, dict):
        return {name: nine(inside) for name, inside in value.items()}
    if isinstance(value, list | tuple):
        return [nine(inside) for inside in value]
    return rounded(value) if isinstance(value, float | int) else value


def _look_at_decisions(connection: Connection, report: Report) -> None:
    """Every decision of the rule, from stored values and its own terms."""
    for row in replaying.decided(connection):
        report.decisions += 1
        again = replayed.replay(connection, row)
        if not again.decision_same:
            kept = None if again.ruled is None else again.ruled.outcome
            found = None if again.judged is None else again.judged.outcome
            report.decision_differences.append(
                Difference(row.id, "decision", kept, found)
            )


def _look_at_beliefs(connection: Connection, catalog: Catalog, report: Report) -> None:
    kept = [
        one
        for one in belief_rows.every_belief(connection)
        if one.model_version == catalog.model.version and one.topic in catalog.topics
    ]
    if not kept:
        return
    ledger = Ledger.of(connection, catalog)
    for one in kept:
        report.beliefs += 1
        again = beliefs.counted(connection, ledger, one.person_id, one.topic)
        if (pack(again.grid), again.as_of) != (one.grid, one.as_of):
            where = f"{one.person_id}/{one.topic}"
            report.belief_differences.append(
                Difference(where, "belief", one.as_of.isoformat(), str(again.as_of))
            )
