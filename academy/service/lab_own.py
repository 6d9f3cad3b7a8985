"""A lab as one of its group sees it: find it, open a field, wait for the debrief.

With one field for all, answers are explained with the debrief, so that nobody learns
the best from a neighbour; with one field each they are explained at once. Once the
debrief is open no more answers are taken.
"""

from dataclasses import dataclass
from datetime import datetime
from secrets import randbelow

from academy.catalog import coefficients
from academy.catalog.families import known as known_families
from academy.errors import Conflict, NotFound
from academy.records.connection import Connection
from academy.records.queries import answered, labs, scenarios
from academy.records.queries import coefficients as coefficient_rows
from academy.records.queries.labs import Lab, LabField
from academy.records.queries.scenarios import Issue, Scenario
from academy.service.house import House
from academy.service.lab import titles
from academy.service.making import family, make
from academy.service.viewer import Viewer

PURPOSE = "lab"
LISTED = 3
_SEEDS = 2**53
_FRESH_TRIES = 20


@dataclass(frozen=True, slots=True)
class OwnField:
    """One field: ``state`` is answered, begun or waiting; an id once it was opened."""

    position: int
    title: str
    state: str
    scenario_id: str


@dataclass(frozen=True, slots=True)
class OwnLab:
    """One lab of the viewer's; ``explains`` what was answered."""

    lab_id: str
    number: int
    fields: tuple[OwnField, ...]
    same: bool
    over: bool

    @property
    def explains(self) -> bool:
        """Whether answers are explained by now."""
        return self.over or not self.same

    @property
    def titles(self) -> tuple[str, ...]:
        """The fields in words."""
        return tuple(field.title for field in self.fields)


def own_labs(house: House, looking: Viewer) -> tuple[OwnLab, ...]:
    """The viewer's labs that take answers, then the last ones that were debriefed."""
    with house.db.read() as connection:
        mine = labs.of_person(connection, looking.person_id)
        going = [one for one in mine if one.debriefed_at is None]
        over = [one for one in mine if one.debriefed_at is not None][:LISTED]
        found = [_own(connection, looking, one) for one in (*going, *over)]
    return tuple(one for one in found if not one.over or _did(one))


def own_lab(house: House, looking: Viewer, lab_id: str) -> OwnLab:
    """One lab that the viewer belongs to; raises NotFound."""
    with house.db.read() as connection:
        return _own(connection, looking, _member(connection, looking, lab_id))


def open_field(
    house: House, looking: Viewer, lab_id: str, position: int, now: datetime
) -> str:
    """Hand out the viewer's scenario of a field, once; its id.

    Raises NotFound, Conflict when the debrief is open already or these very facts were
    had elsewhere since.
    """
    with house.db.write() as connection:
        answered.hold(connection, looking.person_id)
        found, field, kept = _opening(connection, looking, lab_id, position)
        if kept:
            return kept
        issued = _issue_ready(connection, found, field, _issue(found, looking, now))
        if issued is not None:
            labs.give(connection, lab_id, position, looking.person_id, issued.id)
            return issued.id
    return _open_made(house, looking, (lab_id, position), now)


def held_back(house: House, looking: Viewer, scenario_id: str) -> str | None:
    """The lab to look at in place of this scenario, when it has nothing to show now."""
    with house.db.read() as connection:
        issued = scenarios.get(connection, scenario_id, looking.person_id)
        found = labs.of_scenario(connection, scenario_id)
    if issued is None or found is None:
        return None
    over = found.debriefed_at is not None
    if issued.answered_at is None:
        return found.id if over else None
    return None if over or found.fields == "each" else found.id


def refuse_late(connection: Connection, issued: Scenario) -> None:
    """Refuse an answer once the debrief is open; raises Conflict.

    What was answered before may come a second time.
    """
    if issued.purpose != PURPOSE or issued.answered_at is not None:
        return
    found = labs.of_scenario(connection, issued.id)
    if found is not None and found.debriefed_at is not None:
        raise Conflict("lab_is_over")


def refuse_early(connection: Connection, issued: Scenario) -> None:
    """Refuse to explain the one field of all before its debrief; raises Conflict."""
    if issued.purpose != PURPOSE:
        return
    found = labs.of_scenario(connection, issued.id)
    if found is not None and found.debriefed_at is None and found.fields == "same":
        raise Conflict("lab_not_debriefed")


def _did(lab: OwnLab) -> bool:
    return any(field.state == "answered" for field in lab.fields)


def _member(connection: Connection, looking: Viewer, lab_id: str) -> Lab:
    found = labs.get(connection, lab_id)
    number = labs.number_of(connection, lab_id, looking.person_id)
    if found is None or number is None:
        raise NotFound("no_such_lab")
    return found


def _own(connection: Connection, looking: Viewer, found: Lab) -> OwnLab:
    families = labs.families(connection, [found.id])[found.id]
    given = {
        one.position: one for one in labs.given(connection, found.id, looking.person_id)
    }
    fields = []
    for position, title in enumerate(titles(families, looking.language), start=1):
        one = given.get(position)
        state = "waiting" if one is None else "answered" if one.answered_at else "begun"
        fields.append(OwnField(position, title, state, one.scenario_id if one else ""))
    return OwnLab(
        lab_id=found.id,
        number=labs.number_of(connection, found.id, looking.person_id) or 0,
        fields=tuple(fields),
        same=found.fields == "same",
        over=found.debriefed_at is not None,
    )


def _opening(
    connection: Connection, looking: Viewer, lab_id: str, position: int
) -> tuple[Lab, LabField, str]:
    """Lab, field and the scenario handed out before, if any."""
    found = _member(connection, looking, lab_id)
    for one in labs.given(connection, lab_id, looking.person_id):
        if one.position == position:
            return found, labs.fields(connection, lab_id)[position - 1], one.scenario_id
    if found.debriefed_at is not None:
        raise Conflict("lab_is_over")
    fields = {field.position: field for field in labs.fields(connection, lab_id)}
    if position not in fields or fields[position].draft.family not in known_families():
        raise NotFound("no_such_lab")
    return found, fields[position], ""


def _issue(found: Lab, looking: Viewer, now: datetime) -> Issue:
    """In a lab with one field for all each sits alone, else all sit together."""
    alone = f"{found.id[:24]}/{looking.person_id}"
    sitting = alone if found.fields == "same" else found.id
    return Issue(looking.person_id, sitting, PURPOSE, now)


def _issue_ready(
    connection: Connection, found: Lab, field: LabField, to: Issue
) -> Scenario | None:
    """The one field of all, or one off the shelf; None when none lies there."""
    if found.fields == "each":
        return scenarios.consume_ready(connection, field.draft.family, to)
    if scenarios.had(connection, field.draft.digest, to.person_id, to.sitting):
        raise Conflict("lab_field_known")
    return scenarios.issue_draft(connection, field.draft, to)


def _open_made(
    house: House, looking: Viewer, place: tuple[str, int], now: datetime
) -> str:
    for _ in range(_FRESH_TRIES):
        with house.db.read() as connection:
            _, field, kept = _opening(connection, looking, *place)
        if kept:
            return kept
        draft = make(field.draft.family, randbelow(_SEEDS))
        known_set = coefficients.load(family(draft.family).crop)
        with house.db.write() as connection:
            answered.hold(connection, looking.person_id)
            found, _, kept = _opening(connection, looking, *place)
            if kept:
                return kept
            to = _issue(found, looking, now)
            coefficient_rows.keep(connection, known_set.digest, known_set.body)
            if not scenarios.had(connection, draft.digest, to.person_id, to.sitting):
                issued = scenarios.issue_draft(connection, draft, to)
                labs.give(connection, *place, looking.person_id, issued.id)
                return issued.id
    raise Conflict("no_fresh_scenario")
