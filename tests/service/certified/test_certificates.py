"""Certificates: what they are given for, by whom, how long they hold, how they end."""

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from math import exp, log, pi, sqrt
from typing import Any

import pytest
from sqlalchemy import insert, update

from academy.catalog import blueprints, competence, demo_farm, shelf
from academy.errors import Conflict, NotAllowed, NotFound, NotUnderstood, OutOfRange
from academy.exchange import credential
from academy.records.queries import certificates as rows
from academy.records.queries import chain
from academy.records.queries import farm as farms
from academy.records.queries import people as persons
from academy.records.queries.certificates import Judged
from academy.records.tables import assessments as tables
from academy.records.tables.certificates import certificate
from academy.service import (
    certificate_check,
    certificate_lists,
    certificate_standing,
    certificates,
    farm,
    log_check,
    people,
)
from academy.service.house import House
from academy.service.installation import Installation
from academy.service.settings import Settings
from academy.service.viewer import Viewer

START = datetime(2026, 9, 1, 15, 0, tzinfo=UTC)
TODAY = date(2026, 9, 1)
KEY = "soybean-on-the-ground"
SITE = "https://farm.example"
CATALOG = shelf.load()


@pytest.fixture
def given(
    house: House, hire: Viewer, lead: Viewer, trainer: Viewer, show: Callable[..., Any]
) -> str:
    """A certificate that the lead gave after somebody else had trained."""
    _show(show, hire, trainer)
    return certificates.issue(house, lead, hire.person_id, KEY, "es", START)


def _show(show: Callable[..., Any], hire: Viewer, by: Viewer, **other: Any) -> Any:
    told: dict[str, Any] = {"now": START, "released_by": by.person_id,
                            "seen_by": by.person_id}  # fmt: skip
    return show(hire.person_id, **{**told, **other})


def _kept(house: House, certificate_id: str) -> rows.Certificate:
    with house.db.read() as connection:
        found = rows.get(connection, certificate_id)
    assert found is not None
    return found


def _refused(house: House, looking: Viewer, hire: Viewer) -> str:
    with pytest.raises((Conflict, NotAllowed, NotFound)) as refused:
        certificates.issue(house, looking, hire.person_id, KEY, "en", START)
    return refused.value.key


# --- giving


def test_a_lead_gives_a_certificate_for_both_together(
    house: House, given: str, hire: Viewer, lead: Viewer
) -> None:
    kept = _kept(house, given)
    assert (kept.person_id, kept.issued_by) == (hire.person_id, lead.person_id)
    assert (kept.language, kept.one_person, kept.model_line) == ("es", False, True)
    assert TODAY < kept.valid_until <= TODAY + timedelta(days=365)


def test_its_file_says_the_same_and_holds_no_name(house: House, given: str) -> None:
    kept = _kept(house, given)
    told = json.loads(kept.credential)
    assert told["id"] == f"{SITE}/c/{given}"
    assert told["validFrom"] == "2026-09-01T15:00:00Z"
    # the farm's zone is five hours behind in summer, six in winter: its last second
    end = datetime.fromisoformat(told["validUntil"])
    hours = 6 if kept.valid_until.month in (12, 1, 2) else 5
    assert end == datetime(
        *(kept.valid_until + timedelta(days=1)).timetuple()[:3], tzinfo=UTC
    ) + timedelta(hours=hours, seconds=-1)
    assert "Ñusta" not in kept.credential
    (identity,) = told["credentialSubject"]["identifier"]
    assert identity["identityHash"] == credential.hash_of_name(
        "Ñusta Weir", identity["salt"]
    )
    ids = [one["id"].removeprefix("urn:uuid:").replace("-", "")
           for one in told["evidence"]]  # fmt: skip
    assert ids == [kept.assessment_id, kept.sign_off_id]
    version = told["credentialSubject"]["achievement"]["version"]
    assert "motor 7" in version
    assert blueprints.digest(KEY)[:12] in version


def test_asked_twice_it_is_given_once(
    house: House, given: str, hire: Viewer, lead: Viewer
) -> None:
    again = certificates.issue(house, lead, hire.person_id, KEY, "en", START)
    assert again == given
    with house.db.read() as connection:
        assert len(rows.of_people(connection, [hire.person_id])) == 1
        kinds = [one.kind for one in chain.entries(connection, chain.FARM)]
    assert kinds.count("certificate-issued") == 1


LACKING: list[tuple[dict[str, Any], str]] = [
    ({"outcome": "fail"}, "no_assessment_passed"),
    ({"outcome": "gate"}, "no_assessment_passed"),
    ({"critical": True}, "dangerous_mistake_open"),
    ({"signed": None}, "no_yard_sign_off"),
    ({"signed": "not-yet"}, "no_yard_sign_off"),
    ({"key": "yard-helper"}, "no_assessment_passed"),
    ({"score": 0.1}, "assessment_faded"),
    ({"now": START - timedelta(days=366)}, "assessment_faded"),
]


def test_what_lacks_is_said(
    house: House, owner: Viewer, hire: Viewer, show: Callable[..., Any]
) -> None:
    """The owner asks for a fresh person each time; somebody else has trained."""
    for number, (other, key) in enumerate(LACKING):
        name = f"Person {number}"
        new = people.add_person(house, owner, name, ["hire"], "en", "us", START)
        by = {"released_by": hire.person_id, "seen_by": hire.person_id, "now": START}
        show(new, **(by | other))
        with pytest.raises(Conflict) as refused:
            certificates.issue(house, owner, new, KEY, "en", START)
        assert refused.value.key == key, other


def test_an_old_sign_off_does_not_count(
    house: House, hire: Viewer, lead: Viewer, trainer: Viewer, show: Callable[..., Any]
) -> None:
    long_ago = START - timedelta(days=366)
    _show(show, hire, trainer, now=long_ago)
    _show(show, hire, trainer, signed=None)
    assert _refused(house, lead, hire) == "yard_sign_off_too_old"


def test_the_newest_assessment_and_the_newest_sign_off_count(
    house: House, hire: Viewer, lead: Viewer, trainer: Viewer, show: Callable[..., Any]
) -> None:
    _show(show, hire, trainer, now=START - timedelta(days=2))
    _show(show, hire, trainer, now=START - timedelta(days=1), outcome="fail")
    assert _refused(house, lead, hire) == "no_assessment_passed"
    _show(show, hire, trainer, signed="not-yet")
    assert _refused(house, lead, hire) == "no_yard_sign_off"


def test_an_appeal_that_waits_stops_it(
    house: House, hire: Viewer, lead: Viewer, trainer: Viewer, show: Callable[..., Any]
) -> None:
    shown = _show(show, hire, trainer)
    with house.db.write() as connection:
        connection.execute(
            insert(tables.appeal).values(
                id="e" * 32,
                assessment_id=shown.assessment_id,
                raised_by=hire.person_id,
                raised_at=START,
                reason="Wrong picture",
            )
        )
    assert _refused(house, lead, hire) == "assessment_disputed"


def test_an_assessment_by_older_rules_does_not_count(
    house: House, hire: Viewer, lead: Viewer, trainer: Viewer, show: Callable[..., Any]
) -> None:
    _show(show, hire, trainer)
    with house.db.write() as connection:
        connection.execute(update(tables.assessment).values(blueprint_digest="0" * 64))
    assert _refused(house, lead, hire) == "assessment_of_old_rules"


def test_who_trained_gives_none_unless_the_farm_says_so(
    house: House,
    owner: Viewer,
    hire: Viewer,
    lead: Viewer,
    trainer: Viewer,
    show: Callable[..., Any],
) -> None:
    _show(show, hire, trainer, released_by=lead.person_id)
    assert _refused(house, trainer, hire) == "trainer_does_not_decide"
    assert _refused(house, lead, hire) == "trainer_does_not_decide"
    with pytest.raises(NotAllowed):
        farm.allow_one_person(house, lead, True)
    farm.allow_one_person(house, owner, True)
    assert farm.one_person_may(house, owner)
    kept = _kept(
        house, certificates.issue(house, trainer, hire.person_id, KEY, "en", START)
    )
    assert kept.one_person
    assert "The person who trained also decided" in kept.credential


def test_nobody_gives_one_to_themselves_nor_across_crews(
    house: House,
    owner: Viewer,
    hire: Viewer,
    lead: Viewer,
    trainer: Viewer,
    join: Callable[..., Any],
    show: Callable[..., Any],
) -> None:
    _show(show, hire, trainer)
    _show(show, lead, trainer)
    assert _refused(house, hire, hire) == "certificate_not_to_oneself"
    assert _refused(house, lead, lead) == "certificate_not_to_oneself"
    assert _refused(house, join("Other Hire").viewer, hire) == "no_such_person"
    crew = farm.add_crew(house, owner, "Second crew")
    other = join("Other Lead", "lead", crew_id=crew).viewer
    assert _refused(house, other, hire) == "no_such_person"


def test_without_an_address_none_is_given_but_in_the_demonstration(
    house: House, hire: Viewer, lead: Viewer, trainer: Viewer, show: Callable[..., Any]
) -> None:
    _show(show, hire, trainer)
    nowhere = replace(house, settings=Settings())
    assert _refused(nowhere, lead, hire) == "site_address_not_set"
    with house.db.write() as connection:
        known = farms.get(connection)
        assert known is not None
        farms.put_farm(connection, replace(known, name=demo_farm.load().name))
    kept = certificates.issue(nowhere, lead, hire.person_id, KEY, "en", START)
    assert "http://localhost:8765/c/" in _kept(house, kept).credential


# --- how long it holds


def _all_right(parts: int, score: float) -> list[Judged]:
    """Scenarios of one part each, so that every answer has its full weight."""
    return [Judged(f"{number}", 0.6, 0.0, score) for number in range(parts)]


def test_it_never_holds_longer_than_the_blueprint_says() -> None:
    blueprint = blueprints.load(KEY)
    found = certificate_standing.lapse_day(
        _all_right(4000, 1.0), blueprint, CATALOG, TODAY
    )
    assert found == TODAY + timedelta(days=365)


def test_it_holds_until_an_even_chance_at_the_quickest_fading_topic() -> None:
    # The level above the untrained one halves every H days, so the mean reaches the
    # line, and with a belief symmetric about it the chance one half, on the day when
    # (m + 1) 2^(-t/H) = 1. With H = 200 and a narrow belief at m = 0.6: t = 135.6.
    # (assessment.md: lapse days after EAP 0.6, H = 200: 136 days)
    blueprint = blueprints.load(KEY)
    half_life = min(CATALOG.half_life(topic) for topic in blueprint.weights)
    assert half_life == 200
    level, ceiling = 0.6, competence.load().ceiling
    # the expected score at 0.6 of a question with par 0.6: its curve, by hand
    share = 0.6 / ceiling
    at = -log(share / (1 - share))
    slope = 1 / sqrt(1 + pi * competence.load().difficulty_sd ** 2 / 8)
    at /= slope
    score = ceiling / (1 + exp(-slope * (level - at)))
    found = certificate_standing.lapse_day(
        _all_right(2000, score), blueprint, CATALOG, TODAY
    )
    assert abs((found - TODAY).days - 136) <= 3


def test_who_answered_better_keeps_it_longer() -> None:
    blueprint = blueprints.load(KEY)
    days = [
        certificate_standing.lapse_day(_all_right(16, score), blueprint, CATALOG, TODAY)
        for score in (0.5, 0.6, 0.7, 0.8)
    ]
    assert days == sorted(days)
    assert days[0] < days[-1]


# --- taking back, and files


def test_it_is_taken_back_with_a_reason_and_the_first_reason_stays(
    house: House, given: str, hire: Viewer, lead: Viewer, trainer: Viewer
) -> None:
    with pytest.raises(NotUnderstood):
        certificates.revoke(house, lead, given, "  ", START)
    with pytest.raises(OutOfRange):
        certificates.revoke(house, lead, given, "x" * 401, START)
    with pytest.raises(NotAllowed):
        certificates.revoke(house, hire, given, "mine", START)
    certificates.revoke(house, trainer, given, "Signed by mistake", START)
    certificates.revoke(house, lead, given, "Another", START)
    kept = _kept(house, given)
    assert kept.revoke_reason == "Signed by mistake"
    assert kept.revoked_by == trainer.person_id
    listed = certificate_check.revocation_list(house)
    assert listed["revokedCredentials"] == [
        {"id": f"{SITE}/c/{given}", "revoked": True}
    ]
    assert "mistake" not in json.dumps(listed)
    with house.db.read() as connection:
        kinds = [one.kind for one in chain.entries(connection, chain.FARM)]
    assert kinds.count("certificate-revoked") == 1


def test_the_log_holds_what_was_given_and_taken_back(
    house: House, given: str, lead: Viewer
) -> None:
    certificates.revoke(house, lead, given, "Signed by mistake", START)
    installed = Installation(house.instance, house.db, house.instance / "pepper")
    flaws = [one.kind for one in log_check.verify(installed, None).flaws]
    assert "certificate-issued" not in flaws
    with house.db.write() as connection:
        connection.execute(update(certificate).values(valid_until=date(2099, 1, 1)))
    flaws = [one.kind for one in log_check.verify(installed, None).flaws]
    assert "certificate-issued" in flaws


def test_paper_and_file_are_for_the_holder_and_who_looks_after_them(
    house: House, given: str, hire: Viewer, lead: Viewer, join: Callable[..., Any]
) -> None:
    for looking in (hire, lead):
        pdf = certificates.as_pdf(house, looking, given)
        assert pdf.startswith(b"%PDF-1.")
        assert b"/Lang(es)" in pdf
        raw = certificates.as_file(house, looking, given)
        assert raw.decode() == _kept(house, given).credential
    stranger = join("Other Hire").viewer
    for deed in (certificates.as_pdf, certificates.as_file):
        with pytest.raises(NotFound):
            deed(house, stranger, given)
        with pytest.raises(NotFound):
            deed(house, lead, "0" * 32)


def test_one_that_was_taken_back_is_not_handed_out(
    house: House, given: str, hire: Viewer, lead: Viewer
) -> None:
    certificates.revoke(house, lead, given, "Signed by mistake", START)
    for deed in (certificates.as_pdf, certificates.as_file):
        with pytest.raises(Conflict):
            deed(house, hire, given)


def test_the_public_page_speaks_its_reader_s_language(house: House, given: str) -> None:
    english = certificate_lists.public(house, given, START, "en")
    spanish = certificate_lists.public(house, given, START, "es")
    blueprint = blueprints.load(KEY)
    assert (english.title, english.scope) == (blueprint.title.en, blueprint.scope.en)
    assert (spanish.title, spanish.scope) == (blueprint.title.es, blueprint.scope.es)
    assert english.versions.startswith("engine 7, question bank ")
    assert spanish.versions.startswith("motor 7, banco de preguntas ")
    assert english.versions.split()[-1] == spanish.versions.split()[-1]


def test_erasing_a_person_leaves_the_certificate_to_check_and_no_name(
    house: House, owner: Viewer, given: str, hire: Viewer
) -> None:
    people.erase(house, owner, hire.person_id, START)
    seen = certificate_lists.public(house, given, START, "en")
    assert seen.state == "valid"
    with pytest.raises(NotFound):
        certificates.as_pdf(house, owner, given)
    with house.db.read() as connection:
        assert persons.get(connection, hire.person_id).name is None  # type: ignore[union-attr]


# --- lists and the public page


def test_the_lead_sees_who_lacks_what(
    house: House, hire: Viewer, lead: Viewer, trainer: Viewer, show: Callable[..., Any]
) -> None:
    _show(show, hire, trainer)
    mine = {one.person_id: one for one in certificate_lists.crew(house, lead, START)}
    found = {one.key: one for one in mine[hire.person_id].grounds}
    assert (found[KEY].assessment, found[KEY].yard, found[KEY].may) == (
        "passed",
        "done",
        "yes",
    )
    assert found["yard-helper"].may == "lacks"
    theirs = certificate_lists.of_person(house, trainer, hire.person_id, START)
    assert {one.key: one.may for one in theirs.grounds}[KEY] == "trainer"
    with pytest.raises(NotFound):
        certificate_lists.crew(house, hire, START)


def test_the_public_page_tells_the_state_and_nobody(
    house: House, given: str, lead: Viewer, hire: Viewer
) -> None:
    kept = _kept(house, given)
    last = datetime(*kept.valid_until.timetuple()[:3], 12, tzinfo=UTC)
    seen = certificate_lists.public(house, given, last, "en")
    assert seen.state == "valid"
    later = certificate_lists.public(house, given, last + timedelta(days=1), "en")
    assert later.state == "expired"
    certificates.revoke(house, lead, given, "Signed by mistake", START)
    gone = certificate_lists.public(house, given, last, "en")
    assert (gone.state, gone.revoked_on) == ("revoked", TODAY)
    for told in (seen, later, gone):
        assert hire.person_id not in repr(told)
        assert not {"Ñusta", "Weir", "mistake"} & set(repr(told).split())
    with pytest.raises(NotFound):
        certificate_lists.public(house, "0" * 32, START, "en")


def test_an_overturned_decision_puts_it_in_doubt(
    house: House, given: str, hire: Viewer
) -> None:
    with house.db.write() as connection:
        connection.execute(
            insert(tables.decision).values(
                id="e" * 32,
                assessment_id=_kept(house, given).assessment_id,
                outcome="fail",
                evidence=4.0,
                scenarios=8,
                decided_at=START + timedelta(days=1),
                reason="The key was wrong",
            )
        )
    assert certificate_lists.public(house, given, START, "en").state == "doubt"
    with house.db.read() as connection:
        assert certificate_lists.held(connection, [hire.person_id], TODAY) == {}
    raw = _kept(house, given).credential.encode()
    assert certificate_check.check(house, raw, START).state == "doubt"


def test_who_holds_what_is_a_fact_of_its_own(
    house: House, given: str, hire: Viewer
) -> None:
    until = _kept(house, given).valid_until
    with house.db.read() as connection:
        held = certificate_lists.held(connection, [hire.person_id], TODAY)
        after = certificate_lists.held(
            connection, [hire.person_id], until + timedelta(days=1)
        )
    assert held == {hire.person_id: {KEY: until}}
    assert after == {}
