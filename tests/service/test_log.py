"""The log: appended safely, sealed by the day, and any tampering is found."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from hashlib import sha256
from threading import Event
from time import sleep

import pytest
from sqlalchemy import delete, insert, select, text, update

from academy.records.queries import answers, chain, coefficients, scenarios, stock
from academy.records.rows import new_id
from academy.records.tables.answers import answer
from academy.records.tables.assessments import assessment, assessment_step, decision
from academy.records.tables.ledger import log_entry, log_seal
from academy.records.tables.people import person_role
from academy.records.tables.scenarios import part, scenario
from academy.service import log, people
from academy.service import log_seal as sealing
from academy.service.house import seal_log
from academy.service.log_check import check

DAY = timedelta(days=1)
START = datetime(2026, 9, 1, 15, 0, tzinfo=UTC)


def verify(house, noted=None):
    with house.db.read() as connection:
        return check(connection, noted)


def whats(house):
    return [(one.what, one.kind) for one in verify(house).flaws]


def change(house, *statements):
    with house.db.write() as connection:
        for statement in statements:
            assert connection.execute(statement).rowcount != 0


def tampered(house, *statements):
    """What verifying finds after these statements, which are then taken back."""
    with house.db.read() as connection:
        for statement in statements:
            assert connection.execute(statement).rowcount != 0
        return check(connection).flaws


def entries(house, *kinds):
    query = select(log_entry).order_by(log_entry.c.chain, log_entry.c.place)
    with house.db.read() as connection:
        rows = connection.execute(query).all()
    return [row for row in rows if not kinds or row.kind in kinds]


@pytest.fixture
def assessed(house, owner, join):
    """One question asked, answered and decided upon, each told in its write."""
    hire = join("Hedda Ames").viewer
    now, digest = house.clock(), "c" * 64
    drafted = stock.PartDraft("number", "reel", "made@1", 0.6, 0.0, 1, 1.0)
    draft = stock.Draft("made", 7, "d" * 64, "{}", 1, digest, parts=[drafted])
    ids = {name: new_id() for name in ("assessment", "step", "decision")}
    with house.db.write() as connection:
        coefficients.keep(connection, digest, "{}")
        connection.execute(
            insert(assessment).values(
                id=ids["assessment"],
                person_id=hire.person_id,
                certificate="made",
                blueprint_digest="e" * 64,
                header_key=house_header(connection),
                attempt=1,
                credit=0.0,
                released_by=owner.person_id,
                released_at=now,
                open_until=now + DAY,
                state="running",
            )
        )
        log.tell(connection, "released", now, ids["assessment"])
        issue = scenarios.Issue(hire.person_id, ids["assessment"], "assessment", now)
        issued = scenarios.issue_draft(connection, draft, issue)
        connection.execute(
            insert(assessment_step).values(
                id=ids["step"],
                assessment_id=ids["assessment"],
                position=1,
                stage="scenario",
                slot="reel",
                scenario_id=issued.id,
                shown={"text": "How fast?"},
                asked_at=now,
            )
        )
        log.tell(connection, "asked", now, ids["step"])
    with house.db.write() as connection:
        (kept,) = scenarios.parts(connection, issued.id)
        given = {"value": [38, "rpm"]}
        answers.record(
            connection, kept.id, answer=given, score=0.5, marks={"rule": 1}, now=now
        )
        connection.execute(
            update(assessment_step)
            .where(assessment_step.c.id == ids["step"])
            .values(answered_at=now)
        )
        log.tell(connection, "answered", now, ids["step"])
        connection.execute(
            insert(decision).values(
                id=ids["decision"],
                assessment_id=ids["assessment"],
                outcome="fail",
                evidence=-2.5,
                scenarios=1,
                decided_at=now,
            )
        )
        log.tell(connection, "decided", now, ids["decision"])
    return ids | {"scenario": issued.id, "hire": hire.person_id}


def house_header(connection):
    return connection.scalar(text("SELECT header_key FROM farm"))


@pytest.mark.usefixtures("assessed")
def test_a_log_nobody_touched_is_clean(house):
    report = verify(house)
    assert report.clean
    # owner's and hire's role; released, asked, answered, decided
    assert (report.entries, report.chains) == (6, 2)
    assert report.rows == 6


def test_an_answer_is_told_by_digest_and_scores_without_words(house, assessed):
    (told,) = entries(house, "answered")
    by_hand = sha256(b'[[1,{"value":[38,"rpm"]}]]').hexdigest()
    assert told.body["answers"] == by_hand
    assert told.body["scores"] == [0.5]
    assert told.chain == assessed["assessment"]
    assert told.body["step"] == assessed["step"]
    assert told.body["scenario"] == assessed["scenario"]


def test_a_hash_is_that_of_the_canonical_text_written_by_hand():
    at = datetime(2026, 9, 1, 15, 0, 0, 250_000, tzinfo=UTC)
    by_hand = (
        '{"at":"2026-09-01T15:00:00.250000+00:00","before":"' + "0" * 64 + '",'
        '"body":{"a":1,"b":"ñ"},"chain":"c","kind":"k","place":1}'
    )
    found = chain.hash_of("c", 1, "k", at, {"b": "ñ", "a": 1}, chain.NOTHING)
    assert found == sha256(by_hand.encode()).hexdigest()


def test_an_edited_entry_is_caught(house, assessed):
    for values in (
        {"body": {"outcome": "pass"}},
        {"kind": "decided-otherwise"},
        {"at": datetime(2026, 8, 1, tzinfo=UTC)},
        {"hash": "f" * 64},
    ):
        edit = update(log_entry).where(log_entry.c.kind == "decided").values(values)
        flaw = tampered(house, edit)[0]
        where = (flaw.what, flaw.chain, flaw.place)
        assert where == ("changed", assessed["assessment"], 4), values


@pytest.mark.usefixtures("assessed")
def test_a_deleted_entry_is_caught(house):
    change(house, delete(log_entry).where(log_entry.c.kind == "answered"))
    assert whats(house) == [("missing", "decided"), ("not_logged", "answered")]


@pytest.mark.usefixtures("assessed")
def test_a_deleted_last_entry_is_caught_by_its_row(house):
    change(house, delete(log_entry).where(log_entry.c.kind == "decided"))
    assert whats(house) == [("not_logged", "decided")]


def test_an_entry_put_between_is_caught(house, assessed):
    last = entries(house, "decided")[-1]
    body = {"step": assessed["step"]}
    at = house.clock()
    found = chain.hash_of(last.chain, last.place, "voided", at, body, last.before)
    forged = insert(log_entry).values(
        chain=last.chain,
        place=last.place,
        kind="voided",
        at=at,
        body=body,
        before=last.before,
        hash=found,
    )
    moved = update(log_entry).where(log_entry.c.id == last.id)
    change(house, moved.values(place=last.place + 1), forged)
    assert "changed" in [what for what, _kind in whats(house)]


@pytest.mark.usefixtures("assessed")
def test_entries_that_changed_places_are_caught(house):
    second, third = entries(house, "asked", "answered")

    def place(row, number):
        return update(log_entry).where(log_entry.c.id == row.id).values(place=number)

    change(house, place(second, 99), place(third, 2), place(second, 3))
    assert [what for what, _kind in whats(house)][:2] == ["changed", "changed"]


@pytest.mark.usefixtures("assessed")
def test_a_chain_written_anew_from_its_middle_is_caught_by_the_seal(house):
    seal_tomorrow(house)
    last = entries(house, "decided")[-1]
    body = last.body | {"outcome": "pass"}
    found = chain.hash_of(last.chain, last.place, last.kind, last.at, body, last.before)
    anew = update(log_entry).where(log_entry.c.id == last.id)
    change(
        house,
        anew.values(body=body, hash=found),
        update(decision).values(outcome="pass"),
    )
    assert whats(house) == [("seal_changed", None)]


def test_an_edited_row_is_caught(house, assessed):
    for table, values, kind in (
        (answer, {"score": 1.0}, "answered"),
        (answer, {"answer": {"value": [40, "rpm"]}}, "answered"),
        (answer, {"marks": {"rule": 2}}, "answered"),
        (part, {"par": 0.3}, "asked"),
        (scenario, {"payload": '{"facts":{}}'}, "asked"),
        (decision, {"outcome": "pass"}, "decided"),
        (decision, {"evidence": 4.0}, "decided"),
        (assessment, {"attempt": 2}, "released"),
    ):
        (flaw,) = tampered(house, update(table).values(values))
        assert (flaw.what, flaw.kind) == ("row_changed", kind), values
        assert flaw.chain == assessed["assessment"]


@pytest.mark.usefixtures("assessed")
def test_a_deleted_row_is_caught(house):
    change(house, delete(decision))
    assert whats(house) == [("row_gone", "decided")]


def test_a_row_that_never_went_through_the_log_is_caught(house, assessed):
    extra = insert(decision).values(
        id=new_id(),
        assessment_id=assessed["assessment"],
        outcome="pass",
        evidence=4.0,
        scenarios=8,
        decided_at=house.clock(),
    )
    change(house, extra)
    assert whats(house) == [("not_logged", "decided")]


def test_a_role_given_by_hand_is_caught(house, assessed):
    given = insert(person_role).values(person_id=assessed["hire"], role="owner")
    change(house, given)
    (flaw,) = verify(house).flaws
    assert (flaw.what, flaw.kind, flaw.fields) == (
        "row_changed",
        "role-changed",
        ("roles",),
    )


def test_erasing_a_person_keeps_the_chain_valid(house, owner, assessed):
    people.erase(house, owner, assessed["hire"], house.clock())
    assert verify(house).clean


def seal_tomorrow(house, days=1):
    with house.db.write() as connection:
        return sealing.seal(connection, house.clock() + days * DAY)


@pytest.mark.usefixtures("assessed")
def test_a_day_is_sealed_once_it_is_over_on_the_farm(house):
    """15:00 UTC is 10:00 in Chicago; the farm's day ends at 05:00 UTC (CDT, UTC-5)."""
    not_over = house.clock() + timedelta(hours=13, minutes=59)
    with house.db.write() as connection:
        assert sealing.seal(connection, not_over) == 0
        assert sealing.seal(connection, not_over + timedelta(minutes=1)) == 1
        assert sealing.seal(connection, not_over + timedelta(minutes=1)) == 0
    report = verify(house)
    assert report.clean
    assert (report.seals, report.sealed_to) == (1, date(2026, 9, 1))


@pytest.mark.usefixtures("assessed")
def test_a_seal_is_the_hash_over_the_ends_written_by_hand(house):
    seal_tomorrow(house)
    ends = {row.chain: row.hash for row in entries(house)}
    told = ",".join(f'"{name}":"{ends[name]}"' for name in sorted(ends))
    by_hand = '{"before":"' + "0" * 64 + '","day":"2026-09-01","ends":{' + told + "}}"
    assert verify(house).seal == sha256(by_hand.encode()).hexdigest()


def test_older_days_are_sealed_too_and_each_seal_holds_the_one_before(house, assessed):
    with house.db.write() as connection:
        later = house.clock() + 2 * DAY
        log.tell(connection, "role-changed", later, assessed["hire"])
    assert seal_tomorrow(house, days=9) == 2
    with house.db.read() as connection:
        older, newer = chain.seals(connection)
    assert (older.day, newer.day) == (date(2026, 9, 1), date(2026, 9, 3))
    assert newer.before == older.hash
    assert verify(house).clean


def test_an_entry_told_late_waits_for_the_next_seal(house, assessed):
    seal_tomorrow(house)
    with house.db.write() as connection:
        log.tell(connection, "role-changed", house.clock(), assessed["hire"])
    assert seal_tomorrow(house) == 0
    with house.db.write() as connection:
        log.tell(connection, "role-changed", house.clock() + DAY, assessed["hire"])
    assert seal_tomorrow(house, days=2) == 1
    assert verify(house).clean


@pytest.mark.usefixtures("assessed")
def test_an_edited_seal_is_caught(house):
    seal_tomorrow(house)
    for values, what in (
        ({"hash": "f" * 64}, "seal_changed"),
        ({"before": "f" * 64}, "seal_unlinked"),
        ({"entries": 1}, "seal_changed"),
    ):
        flaws = tampered(house, update(log_seal).values(values))
        assert what in [one.what for one in flaws], values


@pytest.mark.usefixtures("assessed")
def test_a_seal_noted_on_paper_must_still_be_there(house):
    seal_tomorrow(house)
    noted = verify(house).seal
    assert verify(house, noted).clean
    change(house, delete(log_seal))
    assert verify(house).clean
    assert [one.what for one in verify(house, noted).flaws] == ["seal_unknown"]


@pytest.mark.usefixtures("assessed")
def test_opening_a_house_with_an_empty_log_tells_the_roles_there_are(house):
    """As after an upgrade from a release without a log."""
    change(house, delete(log_entry).where(log_entry.c.chain == chain.FARM))
    change(house, delete(log_entry))
    assert seal_log(house) == 0
    assert sorted(row.kind for row in entries(house)) == ["role-changed"] * 2
    assert ("not_logged", "role-changed") not in whats(house)


@pytest.mark.usefixtures("assessed")
def test_the_house_seals_yesterday_by_itself_and_only_once(house):
    tomorrow = replace(house, clock=lambda: START + DAY)
    assert [seal_log(house), seal_log(tomorrow), seal_log(tomorrow)] == [0, 1, 0]
    assert verify(house).sealed_to == date(2026, 9, 1)


def test_many_who_append_at_once_lose_nothing_and_never_fork(house, assessed):
    """Eight writers, half to one assessment's chain, half to the farm's."""

    def append(number):
        where = chain.FARM if number % 2 else assessed["assessment"]
        with house.db.write() as connection:
            body = {"number": number}
            return chain.append(connection, where, "told", body, house.clock())

    with ThreadPoolExecutor(8) as pool:
        hashes = list(pool.map(append, range(64)))
    told = entries(house, "told")
    assert {row.hash for row in told} == set(hashes)
    assert sorted(row.body["number"] for row in told) == list(range(64))
    assert verify(house).clean


def test_a_seal_waits_for_entries_that_are_not_kept_yet(house, assessed):
    """An entry's number is drawn before it is kept; a later one may be kept first."""
    drawn, sealing_begun = Event(), Event()

    def slowly():
        with house.db.write() as connection:
            where, at = assessed["assessment"], house.clock()
            chain.append(connection, where, "told", {"slow": True}, at)
            drawn.set()
            sealing_begun.wait(0.5)
            sleep(0.1)

    with ThreadPoolExecutor(1) as pool:
        slow = pool.submit(slowly)
        drawn.wait(5)
        with house.db.write() as connection:
            chain.append(connection, chain.FARM, "told", {}, house.clock())
        with house.db.write() as connection:
            sealing_begun.set()
            assert sealing.seal(connection, house.clock() + DAY) == 1
        slow.result()
    assert verify(house).clean
    with house.db.read() as connection:
        assert chain.seals(connection)[0].entries == chain.newest(connection)


def test_what_fails_leaves_no_entry(house, assessed):
    def half():
        with house.db.write() as connection:
            log.tell(connection, "role-changed", house.clock(), assessed["hire"])
            log.tell(connection, "decided", house.clock(), "0" * 32)

    before = len(entries(house))
    with pytest.raises(LookupError):
        half()
    assert len(entries(house)) == before
