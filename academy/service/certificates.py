"""Certificates: given by somebody else, taken back with a reason, handed out as files.

Who gives one decides. So who trained – signed the yard sign-off or released the
assessment – gives none, unless the farm says that one person may do both; then the
certificate says so.

After one was taken back, for a wrong name say, another can be given for the same
assessment: a new number and a new file, and it holds no longer than the first.
"""

import secrets
from datetime import datetime

from academy.catalog import demo_farm
from academy.errors import Conflict, NotAllowed, NotFound, NotUnderstood, OutOfRange
from academy.exchange import certificate_pdf, credential
from academy.language import Language
from academy.records.connection import Connection
from academy.records.queries import assessments, sign_offs
from academy.records.queries import certificates as rows
from academy.records.queries import farm as farms
from academy.records.queries import people as persons
from academy.records.queries.certificates import Certificate
from academy.records.queries.farm import Farm
from academy.service import (
    assessment_rules,
    line,
    log,
    signing_keys,
    written,
    yard_access,
)
from academy.service import certificate_words as words
from academy.service.certificate_standing import Grounds, grounds
from academy.service.certificate_words import Making, Names
from academy.service.house import House
from academy.service.practice import reader_of
from academy.service.sign_off_standing import leads
from academy.service.viewer import Viewer

LONGEST_REASON = 400
LACKS = {
    "none": "no_assessment_passed",
    "failed": "no_assessment_passed",
    "disputed": "assessment_disputed",
    "unsettled": "dangerous_mistake_open",
    "old-rules": "assessment_of_old_rules",
    "faded": "assessment_faded",
}
LACKS_IN_THE_YARD = {
    "none": "no_yard_sign_off",
    "not-yet": "no_yard_sign_off",
    "old": "yard_sign_off_too_old",
}


def issue(
    house: House,
    looking: Viewer,
    person_id: str,
    key: str,
    language: str,
    now: datetime,
) -> str:
    """Give a person a certificate; its id. Twice gives the one that is in force.

    Raises NotFound for whom one may not see, NotAllowed for oneself and for who trained
    this person, Conflict for what lacks and for a site without an address.
    """
    written.choice(language, written.LANGUAGES, "language")
    chosen: Language = "es" if language == "es" else "en"
    with house.db.read() as connection:
        person = _led(connection, looking, person_id)
        known = _farm(connection)
        found = _standing(connection, house, person_id, key, now)
        if found.given is not None:
            return found.given.id
        _check(house, known, found)
        made = _making(connection, looking, found, chosen, person.name, now)
        told = words.stated(connection, house, known, made)
    signing = signing_keys.current(house.instance, now)
    signed = credential.sign(told, signing.secret, now)
    with house.db.write() as connection:
        kept = _certificate(looking, made, signing.id, signed)
        if rows.add(connection, kept):
            log.tell(connection, "certificate-issued", now, kept.id)
            return kept.id
        given = rows.in_force(connection, made.assessed.id)
    return given.id if given else kept.id


def revoke(
    house: House, looking: Viewer, certificate_id: str, reason: str, now: datetime
) -> None:
    """Take a certificate back; the first reason stays.

    Raises NotFound for one that is not the viewer's to look after, NotAllowed for one's
    own, NotUnderstood without a reason, OutOfRange for one too long.
    """
    tidy = " ".join(reason.split())
    if not tidy:
        raise NotUnderstood("reason_needed")
    if len(tidy) > LONGEST_REASON:
        raise OutOfRange("reason_too_long", value=len(tidy), most=LONGEST_REASON)
    with house.db.write() as connection:
        kept = _seen(connection, looking, certificate_id)
        if kept.person_id == looking.person_id:
            raise NotAllowed("certificate_own_not_taken_back")
        if not yard_access.looks_after(looking, _person(connection, kept.person_id)):
            raise NotAllowed("only_leads")
        if rows.revoke(connection, kept.id, looking.person_id, tidy, now):
            log.tell(connection, "certificate-revoked", now, kept.id)


def as_pdf(house: House, looking: Viewer, certificate_id: str) -> bytes:
    """A certificate on paper: the viewer's own, or of somebody looked after.

    Raises NotFound, Conflict for one taken back, Unavailable.
    """
    with house.db.read() as connection:
        kept = _holding(connection, looking, certificate_id)
        known = _farm(connection)
        signed = sign_offs.get(connection, kept.sign_off_id)
        assessed = assessments.get(connection, kept.assessment_id)
        had = leads(signed, sign_offs.takes_of(connection, signed.id)) if signed else ()
        names = Names(
            holder=_name(connection, kept.person_id),
            leads=tuple(_name(connection, one) for one in had),
            issuer=_name(connection, kept.issued_by),
            on_appeal=words.decided_on_appeal(connection, kept.assessment_id),
            plan=assessment_rules.plan(connection, assessed),
        )
    if signed is None or assessed is None:
        raise NotFound("no_such_certificate")
    units = reader_of(looking).units
    page = words.paper(house, known, kept, signed, assessed, names, units)
    return certificate_pdf.made(page)


def as_file(house: House, looking: Viewer, certificate_id: str) -> bytes:
    """The signed digital file, byte by byte as it was issued.

    Raises NotFound, and Conflict for one that was taken back.
    """
    with house.db.read() as connection:
        return _holding(connection, looking, certificate_id).credential.encode()


def may_be_given_here(house: House, known: Farm) -> bool:
    """Whether this site has an address that others can check a certificate at."""
    return bool(house.settings.site_address) or known.name == demo_farm.load().name


def trainers(found: Grounds) -> frozenset[str]:
    """Who trained: had the yard sign-off, or released the assessment."""
    released = [found.assessed.released_by] if found.assessed else []
    return frozenset([*found.leads, *released])


def _standing(
    connection: Connection, house: House, person_id: str, key: str, now: datetime
) -> Grounds:
    mine = grounds(connection, house.catalog, [person_id], now)[person_id]
    found = next((one for one in mine if one.key == key), None)
    if found is None:
        raise NotFound("no_such_certificate")
    return found


def _check(house: House, known: Farm, found: Grounds) -> None:
    """Raise Conflict for the first thing that lacks."""
    if found.assessment != "passed":
        raise Conflict(LACKS[found.assessment])
    if found.yard != "done":
        raise Conflict(LACKS_IN_THE_YARD[found.yard])
    if not may_be_given_here(house, known):
        raise Conflict("site_address_not_set")


def _making(
    connection: Connection,
    looking: Viewer,
    found: Grounds,
    language: Language,
    name: str | None,
    now: datetime,
) -> Making:
    """All that a certificate is made from; raises NotAllowed for who trained."""
    one_person = looking.person_id in trainers(found)
    if one_person and not farms.one_person_may(connection):
        raise NotAllowed("trainer_does_not_decide")
    assert found.assessed is not None  # noqa: S101 - the standing was checked
    assert found.signed is not None  # noqa: S101
    assert found.valid_until is not None  # noqa: S101
    return Making(
        certificate_id=secrets.token_hex(16),
        key=found.key,
        blueprint=found.blueprint,
        language=language,
        holder=name or "",
        salt=secrets.token_hex(16),
        assessed=found.assessed,
        signed=found.signed,
        scenarios=found.decision.scenarios if found.decision else 0,
        valid_until=found.valid_until,
        one_person=one_person,
        model_line=line.model_judged(connection, found.assessed),
        on_appeal=words.decided_on_appeal(connection, found.assessed.id),
        now=now,
    )


def _certificate(
    looking: Viewer, made: Making, key_id: str, signed: str
) -> Certificate:
    return Certificate(
        id=made.certificate_id,
        person_id=made.assessed.person_id,
        certificate=made.key,
        assessment_id=made.assessed.id,
        sign_off_id=made.signed.id,
        header_key=made.signed.header_key,
        issued_by=looking.person_id,
        issued_at=made.now,
        valid_until=made.valid_until,
        language=made.language,
        one_person=made.one_person,
        model_line=made.model_line,
        key_id=key_id,
        credential=signed,
    )


def _led(connection: Connection, looking: Viewer, person_id: str) -> persons.Person:
    found = yard_access.seen(connection, looking, person_id)
    if found.id == looking.person_id:
        raise NotAllowed("certificate_not_to_oneself")
    if not found.active:
        raise NotFound("no_such_person")
    return found


def _seen(connection: Connection, looking: Viewer, certificate_id: str) -> Certificate:
    kept = rows.get(connection, certificate_id)
    if kept is None:
        raise NotFound("no_such_certificate")
    yard_access.seen(connection, looking, kept.person_id)
    return kept


def _holding(
    connection: Connection, looking: Viewer, certificate_id: str
) -> Certificate:
    kept = _seen(connection, looking, certificate_id)
    if kept.revoked_at is not None:
        raise Conflict("certificate_taken_back")
    return kept


def _person(connection: Connection, person_id: str) -> persons.Person:
    found = persons.get(connection, person_id)
    if found is None:
        raise NotFound("no_such_person")
    return found


def _name(connection: Connection, person_id: str) -> str | None:
    found = persons.get(connection, person_id)
    return found.name if found else None


def _farm(connection: Connection) -> Farm:
    found = farms.get(connection)
    if found is None:
        raise NotFound("no_farm_yet")
    return found
