"""Waits after wrong tries: they grow, they end, and a farm is never shut out."""

from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta

import pytest

from academy.errors import NotAllowed, NotFound
from academy.language import Reader, sentence_for
from academy.records.db import Database
from academy.records.tables.sign_in import wrong_tries
from academy.service import house as houses
from academy.service import people, signing, tries
from academy.service.house import House

NOW = datetime(2026, 9, 1, 15, 0, tzinfo=UTC)
FARM = "203.0.113.7"  # an address kept for documents (RFC 5737)


@pytest.fixture
def hire(join):
    return join("Hedda Ames")


def enter(house, signed, pin, now=NOW, address=FARM, device=None):
    device = device or signed.device_token
    return signing.sign_in(house, device, signed.viewer.person_id, pin, address, now)


def refused(house, signed, now=NOW, address=FARM, pin=None, device=None):
    wrong = f"{(int(signed.pin) + 1) % 10**6:06d}"
    with pytest.raises(NotAllowed) as found:
        enter(house, signed, pin or wrong, now, address, device)
    return found.value


def rows(house):
    with house.db.read() as connection:
        return connection.execute(wrong_tries.select()).all()


def another_device(house, owner, signed):
    made = people.make_slip(house, owner, signed.viewer.person_id, NOW)
    return signing.enrol(house, made.token, "en", "us", None, FARM, NOW).device_token


def test_the_wait_of_an_account_doubles_to_a_longest_one():
    # 3 free; then 30 s, doubled: 30 60 120 240 480, and 960 s is over the 900 s allowed
    waits = [tries.ACCOUNT.wait(number).total_seconds() for number in range(1, 11)]
    assert waits == [0, 0, 0, 30, 60, 120, 240, 480, 900, 900]
    assert tries.ACCOUNT.wait(10**9) == timedelta(minutes=15)


def test_three_slips_of_the_finger_are_free_the_fourth_waits(house, hire):
    for _ in range(4):
        assert refused(house, hire).key == "pin_does_not_fit"
    held = refused(house, hire, pin=hire.pin)
    assert (held.key, held.values) == ("try_again_in_seconds", {"seconds": 30})
    almost = NOW + timedelta(seconds=29)
    assert refused(house, hire, almost, pin=hire.pin).values == {"seconds": 5}
    enter(house, hire, hire.pin, NOW + timedelta(seconds=30))


def test_waiting_is_not_drawn_out_by_trying(house, hire):
    for _ in range(4):
        refused(house, hire)
    for second in range(30):
        held = refused(house, hire, NOW + timedelta(seconds=second))
        assert held.key == "try_again_in_seconds"
    enter(house, hire, hire.pin, NOW + timedelta(seconds=30))


def test_the_sentence_says_when_on_the_farms_clock(house, hire):
    for seconds in (0, 0, 0, 0, 30, 90, 210):  # each as soon as it is free
        last = NOW + timedelta(seconds=seconds)
        refused(house, hire, last)
    held = refused(house, hire, last, pin=hire.pin)
    # the seventh wrong one, at 15:03:30 UTC, brings 240 s: until 15:07:30, so the next
    # whole minute is 10:08 in Chicago (five hours behind UTC in September)
    assert held.values == {"minutes": 4, "clock": "10:08"}
    assert "Wait 4 minutes, until 10:08" in sentence_for(held, Reader("en", "us"))
    assert "hasta las 10:08" in sentence_for(held, Reader("es", "us"))


def test_an_accounts_wait_holds_on_all_its_devices(house, owner, hire):
    second = another_device(house, owner, hire)
    for _ in range(4):
        refused(house, hire)
    held = refused(house, hire, address="198.51.100.9", device=second)
    assert held.key == "try_again_in_seconds"


def test_wrong_tries_are_forgotten_one_by_one(house, hire):
    for _ in range(3):
        refused(house, hire)
    later = NOW + 3 * tries.ACCOUNT.forgets
    for _ in range(3):
        assert refused(house, hire, later).key == "pin_does_not_fit"
    assert refused(house, hire, later).key == "pin_does_not_fit"
    assert refused(house, hire, later).key == "try_again_in_seconds"


def test_a_right_pin_and_a_fresh_slip_start_the_count_again(house, owner, hire):
    for _ in range(3):
        refused(house, hire)
    enter(house, hire, hire.pin)
    for _ in range(4):
        assert refused(house, hire).key == "pin_does_not_fit"
    another_device(house, owner, hire)
    assert refused(house, hire).key == "pin_does_not_fit"


def wear_out(house, address=FARM):
    """Wrong tries from an address until it is made to wait."""
    key = tries.address(house.pepper, address, "PIN")
    with house.db.write() as connection:
        for _ in range(tries.ADDRESS.free + 10):
            tries.charge(connection, key, NOW, bound=False)


def test_a_farm_behind_one_address_is_not_shut_out_by_one_of_its_people(
    house, join, hire
):
    wear_out(house)
    friend = join("Pia Lund")
    enter(house, friend, friend.pin)  # has not mistyped: comes in at once
    assert refused(house, friend).key == "pin_does_not_fit"
    held = refused(house, friend, pin=friend.pin)
    assert held.key == "try_again_in_seconds"
    assert held.values["seconds"] <= 60
    enter(house, friend, friend.pin, NOW + tries.ADDRESS.longest)
    elsewhere = refused(house, hire, address="198.51.100.9")
    assert elsewhere.key == "pin_does_not_fit"


def test_links_that_open_nothing_are_slowed_and_a_right_one_opens(house, owner, hire):
    made = people.make_slip(house, owner, hire.viewer.person_id, NOW)

    def guess(now=NOW):
        signing.enrol(house, "guess", "en", "us", None, FARM, now)

    for _ in range(tries.ADDRESS.free + 1):
        with pytest.raises(NotFound):
            guess()
    with pytest.raises(NotAllowed) as held:
        guess()
    assert held.value.values == {"seconds": 5}
    signing.enrol(house, made.token, "en", "us", None, FARM, NOW)
    with pytest.raises(NotFound):
        guess(NOW + timedelta(seconds=5))


def test_eight_at_once_get_no_more_than_one_after_another(house, hire):
    def attempt(_):
        return refused(house, hire).key

    with ThreadPoolExecutor(8) as pool:
        keys = sorted(pool.map(attempt, range(8)))
    # 3 free ones and the fourth that brings the wait; then no PIN is looked at
    assert keys == ["pin_does_not_fit"] * 4 + ["try_again_in_seconds"] * 4


def test_eight_right_ones_at_once_all_come_in(house, join):
    signed = [join(f"Person {number}") for number in range(8)]
    with ThreadPoolExecutor(8) as pool:
        tokens = list(pool.map(lambda one: enter(house, one, one.pin), signed))
    assert len(set(tokens)) == 8
    assert {row.failures for row in rows(house)} == {0}


def test_right_pins_cost_no_tries(house, hire):
    enter(house, hire, hire.pin)
    assert {row.failures for row in rows(house)} == {0}
    assert all(row.free_at <= NOW for row in rows(house))


def test_a_wait_outlives_a_restart(house, hire):
    for _ in range(4):
        refused(house, hire)
    house.db.close()
    again = House(
        db=Database(house.db.url),
        catalog=house.catalog,
        settings=house.settings,
        instance=house.instance,
        pepper=house.pepper,
        clock=house.clock,
    )
    houses.sweep(again, NOW)
    assert refused(again, hire, pin=hire.pin).key == "try_again_in_seconds"
    again.db.close()


def test_no_address_and_no_person_stands_in_the_table(house, hire):
    refused(house, hire)
    text = str(rows(house))
    assert len(rows(house)) == 2
    for secret in (FARM, hire.viewer.person_id, "PIN"):
        assert secret not in text
    other = tries.address(bytes(32), FARM, "PIN")
    assert other.key_hash not in text  # worth nothing without the pepper
    assert tries.address(house.pepper, FARM, "PIN").key_hash in text


def test_counts_are_deleted_after_a_day(house, join, hire):
    refused(house, hire)
    friend = join("Pia Lund")
    later = NOW + tries.KEPT + timedelta(seconds=1)
    enter(house, friend, friend.pin, later, "198.51.100.9")
    assert {row.counted_at for row in rows(house)} == {later}
    houses.sweep(house, later + tries.KEPT + timedelta(seconds=1))
    assert rows(house) == []


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("2001:db8:1:2::1", "2001:db8:1:2:ffff::9", True),  # one network of 64 bits
        ("2001:db8:1:2::1", "2001:db8:1:3::1", False),
        ("::ffff:203.0.113.7", "203.0.113.7", True),
        ("203.0.113.7", "203.0.113.8", False),
        ("fe80::1%eth0", "fe80::2%eth1", True),
        ("unknown", "unknown", True),
    ],
)
def test_a_network_counts_as_one_address(one, other, same):
    keys = {tries.address(bytes(32), text, "PIN").key_hash for text in (one, other)}
    assert (len(keys) == 1) is same
