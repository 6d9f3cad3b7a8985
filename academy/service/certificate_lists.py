"""Certificates as they are listed, and the public page that confirms one.

A certificate is valid, expired, revoked, or in doubt: an appeal overturned what it was
given for, and somebody should take it back.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from academy.catalog import blueprints
from academy.errors import NotFound
from academy.language import Language
from academy.records.connection import Connection
from academy.records.queries import assessments
from academy.records.queries import certificates as rows
from academy.records.queries import farm as farms
from academy.records.queries import people as persons
from academy.records.queries.certificates import Certificate
from academy.records.queries.farm import Farm
from academy.records.queries.people import Person
from academy.service import certificate_words as words
from academy.service import farm, yard_access
from academy.service.certificate_standing import Grounds, grounds
from academy.service.certificates import may_be_given_here, trainers
from academy.service.house import House
from academy.service.viewer import Viewer


@dataclass(frozen=True, slots=True)
class CertificateRow:
    """One certificate; ``state`` is valid, expired, revoked or doubt."""

    certificate_id: str
    title: str
    state: str
    given_on: date
    valid_until: date
    reason: str
    may_revoke: bool


@dataclass(frozen=True, slots=True)
class GroundsRow:
    """What is there for a certificate and what lacks, in the words of ``Grounds``.

    ``may`` is yes, or why the viewer cannot give it: given, lacks, trainer, address.
    ``taken_back`` is why an earlier one for the same assessment was, else empty.
    """

    key: str
    title: str
    assessment: str
    yard: str
    valid_until: date | None
    may: str
    taken_back: str = ""

    @property
    def nothing(self) -> bool:
        """Whether there is nothing at all to tell."""
        return self.may == "lacks" and (self.assessment, self.yard) == ("none", "none")


@dataclass(frozen=True, slots=True)
class PersonRow:
    """A person's certificates, newest first, and how they stand with the others."""

    person_id: str
    name: str
    language: str
    certificates: tuple[CertificateRow, ...]
    grounds: tuple[GroundsRow, ...]

    @property
    def blank(self) -> bool:
        """Whether this person has begun nothing."""
        return not self.certificates and all(one.nothing for one in self.grounds)


@dataclass(frozen=True, slots=True)
class Public:
    """What anybody may know of a certificate: nothing about its holder."""

    certificate_id: str
    title: str
    scope: str
    header_class: str
    farm: str
    state: str
    given_on: date
    valid_until: date
    revoked_on: date | None
    versions: str
    notes: tuple[str, ...]


def own(house: House, looking: Viewer, now: datetime) -> PersonRow:
    """The viewer's own certificates."""
    return of_person(house, looking, looking.person_id, now)


def of_person(
    house: House, looking: Viewer, person_id: str, now: datetime
) -> PersonRow:
    """Certificates of the viewer or of somebody looked after; raises NotFound."""
    with house.db.read() as connection:
        person = yard_access.seen(connection, looking, person_id)
        return _people(connection, house, looking, [person], now)[0]


def crew(house: House, looking: Viewer, now: datetime) -> tuple[PersonRow, ...]:
    """Everybody the viewer looks after; raises NotFound for who looks after nobody."""
    if not looking.teaches:
        raise NotFound("no_such_certificate")
    with house.db.read() as connection:
        whose = None if looking.owns else looking.crew_id
        return _people(
            connection, house, looking, persons.active(connection, whose), now
        )


def public(
    house: House, certificate_id: str, now: datetime, language: Language
) -> Public:
    """What the public page confirms; raises NotFound."""
    with house.db.read() as connection:
        kept = rows.get(connection, certificate_id)
        known = farms.get(connection)
        if kept is None or known is None:
            raise NotFound("no_such_certificate")
        today = farm.day_at(connection, now)
        failed = overturned(connection, [kept])
        on_appeal = words.decided_on_appeal(connection, kept.assessment_id)
        given_on = farm.day_at(connection, kept.issued_at)
        revoked = kept.revoked_at
        revoked_on = farm.day_at(connection, revoked) if revoked else None
    about = words.titled_for(kept, language)
    return Public(
        certificate_id=kept.id,
        title=about.title,
        scope=about.scope,
        header_class=_header_class(kept, language),
        farm=known.name,
        state=state_of(kept, today, kept.assessment_id in failed),
        given_on=given_on,
        valid_until=kept.valid_until,
        revoked_on=revoked_on,
        versions=about.versions,
        notes=words.notes(
            house,
            kept.certificate,
            language,
            model_line=kept.model_line,
            one_person=kept.one_person,
            on_appeal=on_appeal,
        ),
    )


def held(
    connection: Connection, people: Sequence[str], today: date
) -> Mapping[str, Mapping[str, date]]:
    """Valid certificates: by person, key and the day they hold until.

    These are facts; the board's chances are a forecast. One in doubt does not count.
    """
    found: dict[str, dict[str, date]] = {}
    all_ = rows.of_people(connection, people)
    failed = overturned(connection, all_)
    for kept in all_:
        if state_of(kept, today, kept.assessment_id in failed) == "valid":
            mine = found.setdefault(kept.person_id, {})
            mine[kept.certificate] = max(
                kept.valid_until, mine.get(kept.certificate, kept.valid_until)
            )
    return found


def state_of(kept: Certificate, today: date, overturned: bool) -> str:
    """Valid, expired, revoked or doubt, on a day."""
    if kept.revoked_at is not None:
        return "revoked"
    if overturned:
        return "doubt"
    return "valid" if today <= kept.valid_until else "expired"


def overturned(connection: Connection, given: Sequence[Certificate]) -> frozenset[str]:
    """Those of the certificates' assessments that do not count as passed any more."""
    ids = [one.assessment_id for one in given]
    decided = assessments.decisions(connection, ids)
    return frozenset(
        one for one in ids if one in decided and decided[one][-1].outcome != "pass"
    )


def _people(
    connection: Connection,
    house: House,
    looking: Viewer,
    people: Sequence[Person],
    now: datetime,
) -> tuple[PersonRow, ...]:
    ids = [person.id for person in people]
    known = farms.get(connection)
    if known is None:
        raise NotFound("no_farm_yet")
    standing = grounds(connection, house.catalog, ids, now)
    desk = _Desk(connection, house, looking, known, now)
    given = rows.of_people(connection, ids)
    failed = overturned(connection, given)
    return tuple(
        PersonRow(
            person_id=person.id,
            name=person.name or "",
            language=person.language,
            certificates=desk.sorted_rows(
                [kept for kept in given if kept.person_id == person.id], person, failed
            ),
            grounds=tuple(desk.grounds(one, person) for one in standing[person.id]),
        )
        for person in people
    )


class _Desk:
    """Turns rows into what one viewer is shown of them."""

    def __init__(
        self,
        connection: Connection,
        house: House,
        looking: Viewer,
        known: Farm,
        now: datetime,
    ) -> None:
        self.connection, self.looking = connection, looking
        self.today = farm.day_at(connection, now)
        self.here = may_be_given_here(house, known)
        self.one_may = farms.one_person_may(connection)
        self.language: Language = "es" if looking.language == "es" else "en"

    def sorted_rows(
        self, given: Sequence[Certificate], person: Person, failed: frozenset[str]
    ) -> tuple[CertificateRow, ...]:
        """Certificates, those that hold first, each kind newest first."""
        rows_ = [self.row(kept, person, kept.assessment_id in failed) for kept in given]
        return tuple(sorted(rows_, key=lambda one: one.state != "valid"))

    def row(self, kept: Certificate, person: Person, failed: bool) -> CertificateRow:
        """A certificate; the reason it was taken back is for who looks after people."""
        may = yard_access.looks_after(self.looking, person)
        mine = person.id == self.looking.person_id
        return CertificateRow(
            certificate_id=kept.id,
            title=_title(kept, self.language),
            state=state_of(kept, self.today, failed),
            given_on=farm.day_at(self.connection, kept.issued_at),
            valid_until=kept.valid_until,
            reason=kept.revoke_reason or "",
            may_revoke=may and not mine and kept.revoked_at is None,
        )

    def grounds(self, found: Grounds, person: Person) -> GroundsRow:
        """How a person stands with a certificate; whether the viewer may give it."""
        return GroundsRow(
            key=found.key,
            title=found.blueprint.title.for_language(self.language),
            assessment=found.assessment,
            yard=found.yard,
            valid_until=found.valid_until,
            may=self._may(found, person),
            taken_back=(found.taken_back and found.taken_back.revoke_reason) or "",
        )

    def _may(self, found: Grounds, person: Person) -> str:
        if found.given is not None:
            return "given"
        if not found.complete or not yard_access.may_keep(self.looking, person):
            return "lacks"
        if self.looking.person_id in trainers(found) and not self.one_may:
            return "trainer"
        return "yes" if self.here else "address"


def _title(kept: Certificate, language: Language) -> str:
    known = blueprints.known().get(kept.certificate)
    return known.title.for_language(language) if known else words.titled(kept).title


def _header_class(kept: Certificate, language: Language) -> str:
    known = blueprints.known().get(kept.certificate)
    if known is None:
        return words.header_name(kept.header_key, language)
    return known.header_class.for_language(language)
