"""What a person is told of their assessments: which there are, and by which rules."""

from dataclasses import dataclass
from datetime import datetime

from academy.catalog import blueprints
from academy.errors import NotFound
from academy.records.queries import assessments
from academy.service import assessment_state, line
from academy.service.house import House
from academy.service.viewer import Viewer


@dataclass(frozen=True, slots=True)
class OwnRow:
    """One of the viewer's assessments; ``outcome`` is empty before the end.

    ``undone``: it counts for nothing any more, and no other was released since.
    """

    assessment_id: str
    title: str
    state: str
    open_until: datetime
    outcome: str
    undone: bool


@dataclass(frozen=True, slots=True)
class Rules:
    """What a person is told before beginning: lengths, and the rules after a fail."""

    title: str
    scope: str
    attempt: int
    gate: int
    fresh: int
    least: int
    most: int
    wait_hours: int
    chance: float
    attempts: int
    open_until: datetime
    model_line: bool


def is_own(house: House, looking: Viewer, assessment_id: str) -> bool:
    """Whether there is such an assessment and it is the viewer's own."""
    with house.db.read() as connection:
        row = assessments.get(connection, assessment_id)
    return row is not None and row.person_id == looking.person_id


def rules_of(house: House, looking: Viewer, assessment_id: str) -> Rules:
    """The rules of the viewer's own assessment; raises NotFound, Conflict."""
    with house.db.read() as connection:
        row = assessments.get(connection, assessment_id)
        if row is None or row.person_id != looking.person_id:
            raise NotFound("no_such_assessment")
        state = assessment_state.kept(connection, row)
        by_model = row.line is None or line.model_set(connection, row.certificate)
    blueprint, bar, gate = state.rules.blueprint, state.bar, state.measures.gate
    retake = blueprint.retake
    return Rules(
        title=blueprint.title.for_language(looking.language),
        scope=blueprint.scope.for_language(looking.language),
        attempt=row.attempt,
        gate=gate.questions,
        fresh=gate.fresh,
        least=bar.least_scenarios,
        most=bar.most_scenarios,
        wait_hours=round(retake.wait_hours.value),
        chance=retake.practice_chance.value,
        attempts=int(retake.attempts.value),
        open_until=row.open_until,
        model_line=by_model,
    )


def own(house: House, looking: Viewer) -> tuple[OwnRow, ...]:
    """The viewer's assessments, the newest first."""
    with house.db.read() as connection:
        found = assessments.of_person(connection, looking.person_id)
        told = assessments.decisions(connection, [one.id for one in found])
    newest: dict[str, str] = {}
    for one in sorted(found, key=lambda row: row.state not in ("released", "running")):
        newest.setdefault(one.certificate, one.id)
    return tuple(
        OwnRow(
            one.id,
            title_of(one.certificate, looking.language),
            one.state,
            one.open_until,
            told[one.id][-1].outcome if one.id in told else "",
            undone=newest[one.certificate] == one.id
            and one.state == "cancelled"
            and (one.void_reason is not None or one.id in told),
        )
        for one in found
    )


def title_of(certificate: str, language: str) -> str:
    """The certificate in words; its key when content no longer knows it."""
    known = blueprints.known().get(certificate)
    return known.title.for_language(language) if known else certificate
