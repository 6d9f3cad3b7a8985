"""An erased person leaves answers under a number, and no name anywhere."""

from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import MetaData, select

from academy.errors import AcademyError, Conflict, NotAllowed, NotFound
from academy.records.queries import beliefs as kept
from academy.records.queries import slips
from academy.records.tables.scenarios import scenario
from academy.service import (
    card,
    devices,
    people,
    readiness,
    rebuild,
    roster,
    signing,
)

NOW = datetime(2026, 9, 1, 15, 0, tzinfo=UTC)
NAME = "Hedda Quillfeather"


@pytest.fixture
def hire(join):
    return join(NAME)


@pytest.fixture
def answered(hire, answer):
    for day in range(3):
        answer(hire.viewer.person_id, "reel", 1.0, NOW - timedelta(days=day))
    return hire


def whole_database(house):
    """Everything that stands in any table, as text."""
    with house.db.read() as connection:
        tables = MetaData()
        tables.reflect(connection)
        return " ".join(
            str(row)
            for table in tables.sorted_tables
            for row in connection.execute(select(table))
        )


def test_the_name_is_gone_from_every_table(house, owner, answered):
    assert NAME in whole_database(house)
    people.erase(house, owner, answered.viewer.person_id, NOW)
    assert NAME not in whole_database(house)


def test_the_name_is_gone_from_the_file_itself(house, owner, answered):
    if not house.db.is_sqlite:  # PostgreSQL keeps erased rows until vacuum, as is told
        people.erase(house, owner, answered.viewer.person_id, NOW)
        assert NAME not in whole_database(house)
        return
    files = [house.db.path, house.db.path.with_name(f"{house.db.path.name}-wal")]

    def written():
        return b"".join(file.read_bytes() for file in files if file.exists())

    assert NAME.encode() in written()
    people.erase(house, owner, answered.viewer.person_id, NOW)
    assert NAME.encode() not in written()


def test_answers_and_beliefs_stay_and_can_be_counted_anew(house, owner, answered):
    person_id = answered.viewer.person_id

    def log():
        with house.db.read() as connection:
            query = select(scenario.c.id).where(scenario.c.person_id == person_id)
            beliefs = kept.all_for_crew(connection, owner.crew_id)
            return connection.scalars(query.order_by(scenario.c.id)).all(), beliefs

    people.deactivate(house, owner, person_id, NOW)
    before = log()
    people.erase(house, owner, person_id, NOW)
    assert log() == before
    assert len(before[0]) == 3
    assert rebuild.rebuild(house) == 1
    assert log() == before


def test_the_board_and_the_roster_go_on_without_the_person(
    house, owner, answered, join
):
    join("Pia Lund")
    people.erase(house, owner, answered.viewer.person_id, NOW)
    board = readiness.board(house, owner, NOW)
    assert [row.name for row in board.people] == ["Pia Lund"]
    out = roster.file_out(house, owner).decode("utf-8-sig")
    assert NAME not in out
    assert out.count("\r\n") == 3  # head, owner, Pia
    assert NAME not in {row.name for row in people.people(house, owner)}
    assert people.former(house, owner) == ()
    for look in (
        lambda: card.card(house, owner, answered.viewer.person_id, NOW),
        lambda: people.name_of(house, owner, answered.viewer.person_id),
        lambda: people.rename(house, owner, answered.viewer.person_id, "Back"),
        lambda: people.take_back(house, owner, answered.viewer.person_id),
        lambda: people.make_slip(house, owner, answered.viewer.person_id, NOW),
        lambda: devices.devices_of(house, owner, answered.viewer.person_id, NOW),
    ):
        with pytest.raises(NotFound):
            look()


def test_every_way_in_is_closed(house, owner, hire):
    person_id = hire.viewer.person_id
    waiting = people.make_slip(house, owner, person_id, NOW)
    people.erase(house, owner, person_id, NOW)
    assert signing.viewer_of(house, hire.sign_in_token, NOW) is None
    assert signing.people_on_device(house, hire.device_token) == []
    with pytest.raises(NotFound):
        signing.sign_in(house, hire.device_token, person_id, hire.pin, "x", NOW)
    with pytest.raises(NotFound):
        signing.enrol(house, waiting.token, "en", "us", None, "x", NOW)
    with house.db.read() as connection:
        handed = slips.of_person(connection, person_id)
    assert all(one.pin_hash is None and one.word is None for one in handed)
    assert all(one.revoked_at is not None for one in handed)


def test_erasing_twice_is_no_harm_and_who_left_can_be_erased(house, owner, hire):
    person_id = hire.viewer.person_id
    people.deactivate(house, owner, person_id, NOW)
    assert people.former(house, owner) == ((person_id, NAME),)
    people.erase(house, owner, person_id, NOW)
    people.erase(house, owner, person_id, NOW)
    assert people.former(house, owner) == ()
    with pytest.raises(NotFound):
        people.erase(house, owner, "0" * 32, NOW)


def test_the_last_owner_is_not_erased_another_may_go(house, owner, join):
    with pytest.raises(Conflict):
        people.erase(house, owner, owner.person_id, NOW)
    join("Second Owner", "owner")
    people.erase(house, owner, owner.person_id, NOW)


def test_only_an_owner_erases_renames_and_takes_back(house, hire, join):
    lead = join("Lino Prado", "lead").viewer
    person_id = hire.viewer.person_id
    for looking in (lead, hire.viewer):
        for deed in (
            lambda v=looking: people.erase(house, v, person_id, NOW),
            lambda v=looking: people.rename(house, v, person_id, "X"),
            lambda v=looking: people.take_back(house, v, person_id),
            lambda v=looking: people.name_of(house, v, person_id),
            lambda v=looking: people.former(house, v),
        ):
            with pytest.raises(NotAllowed):
                deed()
    assert signing.viewer_of(house, hire.sign_in_token, NOW) is not None


def test_a_corrected_name_stands_everywhere_and_nothing_else_changes(
    house, owner, answered
):
    person_id = answered.viewer.person_id
    people.rename(house, owner, person_id, "  Hedda   Ames ")
    assert signing.viewer_of(house, answered.sign_in_token, NOW).name == "Hedda Ames"
    assert card.card(house, owner, person_id, NOW).name == "Hedda Ames"
    assert NAME not in whole_database(house)
    for wrong in ("", "  ", "x" * 121, "a\u200bb"):
        with pytest.raises(AcademyError) as refused:
            people.rename(house, owner, person_id, wrong)
        assert refused.value.key in ("name_needed", "name_too_long")


def test_who_comes_back_has_the_card_of_before_and_needs_a_slip(house, owner, answered):
    person_id = answered.viewer.person_id
    before = card.card(house, owner, person_id, NOW)
    people.deactivate(house, owner, person_id, NOW)
    people.take_back(house, owner, person_id)
    assert card.card(house, owner, person_id, NOW) == before
    assert signing.viewer_of(house, answered.sign_in_token, NOW) is None
    made = people.make_slip(house, owner, person_id, NOW)
    signing.enrol(house, made.token, "en", "us", None, "10.0.0.1", NOW)
