"""What a certificate says, on paper and in its digital file, in one language."""

import json
import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from academy.catalog import assessment, blueprints, headers, roles, topics
from academy.catalog.blueprints import Blueprint
from academy.errors import AcademyError
from academy.exchange import credential
from academy.exchange.certificate_pdf import Paper
from academy.exchange.credential import Stated
from academy.language import Language, gettext, marked, number, show_date
from academy.records.connection import Connection
from academy.records.queries import assessments
from academy.records.queries import certificates as rows
from academy.records.queries.assessments import Assessment
from academy.records.queries.certificates import Certificate
from academy.records.queries.farm import Farm
from academy.records.queries.sign_offs import SignOff
from academy.service import error_rates
from academy.service.certificate_standing import by_a_person
from academy.service.house import House
from academy.units import System

PROGRAM = "Even Stubble"
CAUTION = marked(
    "This certificate says what was answered and shown. It is no licence and no "
    "substitute for supervised work. The machine's own book, local law and licensed "
    "trainers come first."
)
COUNTED = marked(
    "Tried out with %(people)s simulated people: of those clearly below the line "
    "%(passed)s %% passed, of those clearly above it %(failed)s %% failed. No real "
    "people have been counted."
)
AIMED = marked(
    "The rules aim at this: of people clearly below the line at most %(passed)s %% "
    "pass, of those clearly above it at most %(failed)s %% fail. No real people have "
    "been counted."
)
MODEL_LINE = marked(
    "A model set the line that counts as a pass. No three people who teach have rated "
    "all its questions."
)
ONE_PERSON = marked(
    "The person who trained also decided on this certificate. The farm allows that."
)
ON_APPEAL = marked(
    "After an appeal a person decided on the assessment, otherwise than the rule. The "
    "shares above are those of the rule. The certificate holds only as long as one "
    "whose points just reach the limit; the days that the appeal waited, at "
    "most %(days)s, are not counted."
)
CRITERIA = marked(
    "Passed a supervised assessment: the safety gate, then %(scenarios)s scenarios. "
    "Did the yard sign-off on a real machine while a lead looked on. Kind of header: "
    "%(header)s."
)
VERSIONS = marked("engine %(engine)s, question bank %(bank)s, plan %(plan)s")
BY = marked("%(day)s, by %(name)s")
BY_ON = marked("%(day)s, seen by %(name)s, on the %(header)s")
GATE_FIRST = marked("%(day)s: the safety gate, then scenarios")
ERASED = marked("name erased")


@dataclass(frozen=True, slots=True)
class Making:
    """A certificate about to be given; ``holder`` is a name, ``salt`` fresh."""

    certificate_id: str
    key: str
    blueprint: Blueprint
    language: Language
    holder: str
    salt: str
    assessed: Assessment
    signed: SignOff
    scenarios: int
    valid_until: date
    one_person: bool
    model_line: bool
    on_appeal: bool
    now: datetime


@dataclass(frozen=True, slots=True)
class Names:
    """Who holds, saw the sign-off and gave it, as they are called now; what by."""

    holder: str | None
    leads: tuple[str | None, ...]
    issuer: str | None
    on_appeal: bool  # whether a person decided otherwise than the rule
    plan: Blueprint | None  # of the assessment, as it was released


@dataclass(frozen=True, slots=True)
class Titled:
    """What a certificate is about, as its digital file says."""

    title: str
    scope: str
    versions: str


def end_of(day: date, zone: str) -> datetime:
    """The last second of a day on the farm's clock, in UTC."""
    after = datetime.combine(day + timedelta(days=1), time(), ZoneInfo(zone))
    return after.astimezone(UTC) - timedelta(seconds=1)


def stated(connection: Connection, house: House, farm: Farm, made: Making) -> Stated:
    """What the digital file of a certificate states."""
    language, blueprint = made.language, made.blueprint
    return Stated(
        certificate_id=made.certificate_id,
        site=house.settings.address,
        issuer_name=farm.name,
        language=language,
        key=made.key,
        title=blueprint.title.for_language(language),
        scope=blueprint.scope.for_language(language),
        narrative=" ".join(_narrative(house, blueprint, made)),
        remark=gettext(CAUTION, language),
        versions=_versions(connection, made),
        holder_hash=credential.hash_of_name(made.holder, made.salt),
        salt=made.salt,
        evidence=(
            (gettext(marked("assessment"), language), made.assessed.id),
            (gettext(marked("yard sign-off"), language), made.signed.id),
        ),
        valid_from=made.now,
        valid_until=end_of(made.valid_until, farm.zone),
    )


def titled(kept: Certificate) -> Titled:
    """What a kept certificate is about, whatever the content says since."""
    told = json.loads(kept.credential)
    achieved = told["credentialSubject"]["achievement"]
    return Titled(achieved["name"], achieved["description"], achieved["version"])


def titled_for(kept: Certificate, language: Language) -> Titled:
    """The same in another language, as long as the content says the same still."""
    about = titled(kept)
    known = blueprints.known().get(kept.certificate)
    if known is None or known.title.for_language(kept.language) != about.title:
        return about
    if known.scope.for_language(kept.language) != about.scope:
        return about
    found = re.findall(r"\b[0-9a-f]{12}\b|\b\d+\b", about.versions)
    told = dict(zip(("engine", "bank", "plan"), found, strict=False))
    return Titled(
        known.title.for_language(language),
        known.scope.for_language(language),
        gettext(VERSIONS, language) % told if len(found) == 3 else about.versions,
    )


def paper(
    house: House,
    farm: Farm,
    kept: Certificate,
    signed: SignOff,
    assessed: Assessment,
    names: Names,
    units: System,
) -> Paper:
    """The page of a certificate, in its language, on the paper of its reader."""
    language: Language = "es" if kept.language == "es" else "en"
    about = titled(kept)

    def say(text: str) -> str:
        return gettext(text, language)

    return Paper(
        language=language,
        paper="us-letter" if units == "us" else "a4",
        program=PROGRAM,
        farm=farm.name,
        label=say(marked("Certificate")),
        title=about.title,
        scope=about.scope,
        holder=say(marked("Held by")),
        name=names.holder or say(ERASED),
        facts=_facts(farm, kept, signed, assessed, names),
        tasks_title=say(marked("What the questions and the yard sign-off are about")),
        tasks=_tasks(names.plan, language),
        notes=notes(
            house,
            kept.certificate,
            language,
            model_line=kept.model_line,
            one_person=kept.one_person,
            on_appeal=names.on_appeal,
        ),
        caution=say(CAUTION),
        check=say(marked("Anybody can check it here:")),
        address=public_address(house, kept),
        number=say(marked("Number %(number)s")) % {"number": kept.id},
        missing=say(marked("An open square stands for a sign that cannot be printed.")),
        made_at=kept.issued_at,
    )


def notes(
    house: House,
    key: str,
    language: Language,
    *,
    model_line: bool,
    one_person: bool,
    on_appeal: bool,
) -> tuple[str, ...]:
    """How often it goes wrong, who set the line, who decided."""
    told = [rates_sentence(house, key, language)]
    if on_appeal:
        said = gettext(ON_APPEAL, language)
        told.append(said % {"days": assessment.appeal_days()})
    if model_line:
        told.append(gettext(MODEL_LINE, language))
    if one_person:
        told.append(gettext(ONE_PERSON, language))
    return tuple(told)


def decided_on_appeal(connection: Connection, assessment_id: str) -> bool:
    """Whether a person, not the rule, made the pass that holds."""
    made = assessments.decisions(connection, [assessment_id])
    return by_a_person(made.get(assessment_id, ()))


def rates_sentence(house: House, key: str, language: Language) -> str:
    """How often simulated people were wrongly passed and failed; else the aim."""
    run = error_rates.newest(house.instance)
    mine = [one for one in run.certificates if one.key == key] if run else []
    if not mine:
        bar = assessment.bar()
        said = gettext(AIMED, language)
        return said % _shares(bar.false_pass, bar.false_fail, language)
    shares = _shares(mine[0].false_pass, mine[0].false_fail, language)
    people = number(mine[0].people, 0, language)
    return gettext(COUNTED, language) % {**shares, "people": people}


def public_address(house: House, kept: Certificate) -> str:
    """Where anybody can check it: on the address it was issued under."""
    told = json.loads(kept.credential)
    address: str = told["id"]
    return address or f"{house.settings.address}/c/{kept.id}"


def header_name(key: str, language: Language) -> str:
    """A header in words; its key when content no longer knows it."""
    try:
        return headers.load(key).name.for_language(language)
    except AcademyError:
        return key


def _shares(passed: float, failed: float, language: Language) -> dict[str, str]:
    return {
        "passed": number(100 * passed, 1, language),
        "failed": number(100 * failed, 1, language),
    }


def _narrative(house: House, blueprint: Blueprint, made: Making) -> tuple[str, ...]:
    said = gettext(CRITERIA, made.language) % {
        "scenarios": made.scenarios,
        "header": blueprint.header_class.for_language(made.language),
    }
    more = notes(
        house,
        made.key,
        made.language,
        model_line=made.model_line,
        one_person=made.one_person,
        on_appeal=made.on_appeal,
    )
    return (said, *more)


def _versions(connection: Connection, made: Making) -> str:
    return gettext(VERSIONS, made.language) % {
        "engine": rows.engine_version(connection, made.assessed.id),
        "bank": error_rates.bank(),
        "plan": made.assessed.blueprint_digest[:12],
    }


def _facts(
    farm: Farm,
    kept: Certificate,
    signed: SignOff,
    assessed: Assessment,
    names: Names,
) -> tuple[tuple[str, str], ...]:
    language: Language = "es" if kept.language == "es" else "en"
    blueprint = blueprints.known().get(kept.certificate)

    def say(text: str, **values: object) -> str:
        said = gettext(text, language)
        return said % values if values else said

    def day(moment: datetime | None) -> str:
        zone = ZoneInfo(farm.zone)
        return show_date(moment.astimezone(zone).date(), language) if moment else ""

    seen = {
        "day": day(signed.signed_at),
        "name": ", ".join(one or say(ERASED) for one in names.leads),
        "header": header_name(signed.header_key, language),
    }
    given = {"day": day(kept.issued_at), "name": names.issuer or say(ERASED)}
    kind = blueprint.header_class.for_language(language) if blueprint else ""
    return (
        (say(marked("Kind of header")), kind or header_name(kept.header_key, language)),
        (say(marked("Jobs")), _jobs(blueprint, language)),
        (say(marked("Assessment passed")), say(GATE_FIRST, day=day(assessed.ended_at))),
        (say(marked("Yard sign-off")), say(BY_ON, **seen)),
        (say(marked("Given")), say(BY, **given)),
        (say(marked("Valid until")), show_date(kept.valid_until, language)),
        (say(marked("Versions")), titled(kept).versions),
    )


def _jobs(blueprint: Blueprint | None, language: Language) -> str:
    if blueprint is None:
        return "–"
    known = roles.load(topics.load())
    named = [known[job].name.for_language(language) for job in blueprint.jobs]
    return ", ".join(named)


def _tasks(plan: Blueprint | None, language: Language) -> tuple[str, ...]:
    """What one does in the job; nothing when the plan of then is gone."""
    return tuple(one.does.for_language(language) for one in plan.tasks) if plan else ()
