"""Who is looking, and what that person may see and do.

A hire sees only the own record, a lead the competence of the own crew, an owner
everything of competence; an instructor sees the answers of own labs, no competence.
What one may not see is not there: NotFound. What one sees but may not do is
NotAllowed.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from academy.errors import NotAllowed, NotFound
from academy.records.connection import Connection
from academy.records.queries import people
from academy.records.queries.people import Person


@dataclass(frozen=True, slots=True)
class Viewer:
    """The signed-in person of one request; ``shared`` is a device of several people."""

    person_id: str
    name: str
    roles: frozenset[str]
    crew_id: str
    language: str
    units: str
    sign_in_id: str
    csrf: str
    device_id: str | None = None
    shared: bool = False

    @property
    def owns(self) -> bool:
        """Whether this is an owner."""
        return "owner" in self.roles

    @property
    def leads(self) -> bool:
        """Whether this person leads a crew or owns the farm."""
        return self.owns or "lead" in self.roles

    @property
    def teaches(self) -> bool:
        """Whether this person lays out labs: instructors, leads and owners."""
        return self.leads or "instructor" in self.roles


def require_owner(viewer: Viewer) -> None:
    """Refuse everyone but an owner; raises NotAllowed."""
    if not viewer.owns:
        raise NotAllowed("only_owners")


def require_lead(viewer: Viewer) -> None:
    """Refuse everyone but leads and owners; raises NotAllowed."""
    if not viewer.leads:
        raise NotAllowed("only_leads")


def require_teacher(viewer: Viewer) -> None:
    """For everyone who lays out no labs there are none; raises NotFound."""
    if not viewer.teaches:
        raise NotFound("no_such_lab")


def crew_seen(viewer: Viewer, crew_id: str | None) -> str:
    """The crew to look at, the own one by default; raises NotFound, NotAllowed."""
    require_lead(viewer)
    if crew_id is None or crew_id == viewer.crew_id:
        return viewer.crew_id
    if not viewer.owns:
        raise NotFound("no_such_crew")
    return crew_id


def person_seen(connection: Connection, viewer: Viewer, person_id: str) -> Person:
    """A person whose competence the viewer may see; raises NotFound.

    Who was erased is nobody's to see.
    """
    found = people.get(connection, person_id)
    if found is None or found.name is None or not _may_see(viewer, found):
        raise NotFound("no_such_person")
    return found


def may_hand_slip(viewer: Viewer, roles: Iterable[str]) -> bool:
    """Whether the viewer may make a slip for a person of these roles.

    A slip opens the person's whole account: a lead makes them for hires only.
    """
    return viewer.owns or ("lead" in viewer.roles and set(roles) <= {"hire"})


def _may_see(viewer: Viewer, person: Person) -> bool:
    if viewer.owns or person.id == viewer.person_id:
        return True
    return viewer.leads and person.crew_id == viewer.crew_id
