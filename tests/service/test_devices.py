"""A person's devices: seen by whom, closed by whom, and refused from then on."""

from datetime import UTC, datetime, timedelta

import pytest

from academy.errors import NotAllowed, NotFound
from academy.records.tables.sign_in import device
from academy.service import devices, farm, people, signing

NOW = datetime(2026, 9, 1, 15, 0, tzinfo=UTC)
LATER = NOW + timedelta(hours=2)


@pytest.fixture
def hire(join):
    return join("Hedda Ames")


def open_on(house, owner, signed, device_token=None, kind="unknown", now=NOW):
    """A fresh slip of this person opened on a device, new or known."""
    made = people.make_slip(house, owner, signed.viewer.person_id, now)
    opened = signing.enrol(
        house, made.token, "en", "us", device_token, "10.0.0.1", now, kind
    )
    return opened, made.pin


def seen(house, looking, signed, now=NOW):
    return devices.devices_of(house, looking, signed.viewer.person_id, now)


def is_in(house, token, now=LATER):
    return signing.viewer_of(house, token, now) is not None


def test_the_list_says_kind_since_when_and_last_used(house, owner, hire):
    phone, _ = open_on(house, owner, hire, kind="phone", now=NOW + timedelta(hours=1))
    assert is_in(house, phone.sign_in_token, LATER)
    newest, oldest = seen(house, owner, hire, LATER).rows
    assert (newest.kind, oldest.kind) == ("phone", "unknown")
    assert newest.enrolled == NOW + timedelta(hours=1)
    assert newest.last_used == LATER
    assert (oldest.enrolled, oldest.last_used) == (NOW, NOW)
    assert newest.signed_in
    assert oldest.signed_in  # idle for two hours only
    assert (newest.shared, oldest.shared) == (False, False)


def test_idle_sign_ins_and_those_swept_away_are_told_apart(house, owner, hire):
    idle = NOW + timedelta(days=31)
    (row,) = seen(house, owner, hire, idle).rows
    assert (row.signed_in, row.last_used) == (False, NOW)
    signing.sign_out(house, hire.viewer, NOW)
    (row,) = seen(house, owner, hire).rows
    assert not row.signed_in


def test_a_shared_device_is_said_to_be_shared(house, owner, hire, join):
    friend = join("Pia Lund")
    open_on(house, owner, friend, hire.device_token)
    (row,) = seen(house, owner, hire).rows
    assert row.shared


def test_a_closed_device_is_refused_at_the_next_request(house, owner, hire):
    second, second_pin = open_on(house, owner, hire)
    rows = seen(house, owner, hire).rows
    mine = seen(house, hire.viewer, hire).rows
    lost = next(row for row in mine if not row.this_one)
    assert {row.device_id for row in rows} == {row.device_id for row in mine}
    person_id = hire.viewer.person_id
    devices.close_one(house, owner, person_id, lost.device_id, NOW)
    assert not is_in(house, second.sign_in_token)
    assert is_in(house, hire.sign_in_token)
    with pytest.raises(NotFound):
        signing.sign_in(
            house, second.device_token, person_id, second_pin, "10.0.0.1", NOW
        )
    assert len(seen(house, owner, hire).rows) == 1
    devices.close_one(house, owner, person_id, lost.device_id, NOW)  # no harm


def test_a_device_left_with_nobody_is_shut_a_shared_one_is_not(
    house, owner, hire, join
):
    friend = join("Pia Lund")
    theirs, pin = open_on(house, owner, friend, hire.device_token)
    (row,) = seen(house, owner, hire).rows
    devices.close_one(house, owner, hire.viewer.person_id, row.device_id, NOW)
    assert not is_in(house, hire.sign_in_token)
    assert is_in(house, theirs.sign_in_token, NOW)
    token = signing.sign_in(
        house, hire.device_token, friend.viewer.person_id, pin, "10.0.0.1", NOW
    )
    assert is_in(house, token, NOW)
    assert revoked(house, row.device_id) is None
    devices.close_all(house, owner, friend.viewer.person_id, NOW)
    assert revoked(house, row.device_id) == NOW
    assert not is_in(house, token, NOW)
    # its token is worth nothing: the next slip makes another device of it
    again, _ = open_on(house, owner, hire, hire.device_token)
    assert again.device_token != hire.device_token


def revoked(house, device_id):
    query = device.select().where(device.c.id == device_id)
    with house.db.read() as connection:
        return connection.execute(query).one().revoked_at


def test_one_closes_ones_own_others_and_keeps_the_one_in_hand(house, owner, hire):
    second, _ = open_on(house, owner, hire)
    third, _ = open_on(house, owner, hire)
    person_id = hire.viewer.person_id
    own = seen(house, hire.viewer, hire)
    assert (own.own, own.others) == (True, 2)
    (in_hand,) = [row.device_id for row in own.rows if row.this_one]
    with pytest.raises(NotAllowed) as refused:
        devices.close_one(house, hire.viewer, person_id, in_hand, NOW)
    assert refused.value.key == "device_in_hand"
    devices.close_all(house, hire.viewer, person_id, NOW)
    assert is_in(house, hire.sign_in_token)
    assert not is_in(house, second.sign_in_token)
    assert not is_in(house, third.sign_in_token)


def test_an_owner_closes_all_of_anybody(house, owner, hire):
    second, _ = open_on(house, owner, hire)
    devices.close_all(house, owner, hire.viewer.person_id, NOW)
    assert not is_in(house, hire.sign_in_token)
    assert not is_in(house, second.sign_in_token)
    assert seen(house, owner, hire).rows == ()


def test_closing_is_for_those_who_hand_the_slips(house, owner_in, owner, hire, join):
    north = farm.add_crew(house, owner, "North side")
    lead, peer = join("Lino Prado", "lead"), join("Pia Lund")
    far = join("Nadine Orr", crew_id=north)
    assert seen(house, lead.viewer, hire).rows
    for looking, whose, error in (
        (peer, hire, NotFound),
        (hire, owner_in, NotFound),
        (lead, far, NotFound),
        (lead, owner_in, NotAllowed),
    ):
        person_id = whose.viewer.person_id
        for deed in (
            lambda v=looking.viewer, p=person_id: devices.devices_of(house, v, p, NOW),
            lambda v=looking.viewer, p=person_id: devices.close_all(house, v, p, NOW),
            lambda v=looking.viewer, p=person_id: devices.close_one(
                house, v, p, "0" * 32, NOW
            ),
        ):
            with pytest.raises(error):
                deed()
        assert is_in(house, whose.sign_in_token)
    devices.close_all(house, lead.viewer, hire.viewer.person_id, NOW)
    assert not is_in(house, hire.sign_in_token)
