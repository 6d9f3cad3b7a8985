"""Whose yard sign-offs and instruction one may see, and whose one may keep.

Leads look after their own crew, owners and instructors after everybody; a person sees
the own record. Nobody signs for themselves.
"""

from academy.errors import NotAllowed, NotFound
from academy.records.connection import Connection
from academy.records.queries import people
from academy.records.queries.people import Person
from academy.records.queries.sign_offs import SignOff
from academy.service.viewer import Viewer


def require_keeper(looking: Viewer) -> None:
    """Refuse everyone but owners, leads and instructors; raises NotAllowed."""
    if not looking.teaches:
        raise NotAllowed("only_who_leads_or_teaches")


def looks_after(looking: Viewer, person: Person) -> bool:
    """Whether the viewer leads or teaches this person."""
    if looking.owns or "instructor" in looking.roles:
        return True
    return looking.leads and person.crew_id == looking.crew_id


def seen(connection: Connection, looking: Viewer, person_id: str) -> Person:
    """A person whose record the viewer may see; raises NotFound."""
    found = people.get(connection, person_id)
    if found is None or found.name is None:
        raise NotFound("no_such_person")
    if found.id != looking.person_id and not looks_after(looking, found):
        raise NotFound("no_such_person")
    return found


def led(connection: Connection, looking: Viewer, person_id: str) -> Person:
    """An active person whose record the viewer may keep.

    Raises NotFound for whom one may not see, NotAllowed for oneself.
    """
    found = seen(connection, looking, person_id)
    if found.id == looking.person_id:
        raise NotAllowed("no_record_of_oneself")
    if not found.active:
        raise NotFound("no_such_person")
    return found


def may_keep(looking: Viewer, person: Person) -> bool:
    """Whether ``led`` would give this person."""
    return (
        person.active
        and person.id != looking.person_id
        and looks_after(looking, person)
    )


def may_enter(looking: Viewer, kept: SignOff, person: Person) -> bool:
    """Whether the viewer has this sign-off now and may still go on with it."""
    return (
        kept.lead_id == looking.person_id
        and kept.signed_at is None
        and may_keep(looking, person)
    )


def may_take_over(looking: Viewer, kept: SignOff, person: Person) -> bool:
    """Whether the viewer may take an open sign-off over from who has it."""
    return (
        kept.lead_id != looking.person_id
        and kept.signed_at is None
        and may_keep(looking, person)
    )
