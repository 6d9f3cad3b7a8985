from datetime import UTC, datetime, timedelta

import pytest

from academy.errors import NotAllowed, NotFound, NotUnderstood
from academy.records.tables.sign_in import device_person, sign_in, slip
from academy.service import people, signing, tokens, tries

NOW = datetime(2026, 9, 1, 15, 0, tzinfo=UTC)
ADDRESS = "10.0.0.7"


@pytest.fixture
def hire(join):
    return join("Hedda Ames")


def come_back(house, signed, pin, now=NOW, address=ADDRESS):
    person_id = signed.viewer.person_id
    return signing.sign_in(house, signed.device_token, person_id, pin, address, now)


def other_than(pin):
    return f"{(int(pin) + 1) % 10**6:06d}"


def fresh_slip(house, owner, signed):
    return people.make_slip(house, owner, signed.viewer.person_id, NOW)


def test_a_slip_shows_whose_it_is_without_being_used_up(house, owner, hire):
    made = fresh_slip(house, owner, hire)
    for _ in range(2):
        shown = signing.open_slip(house, made.token, NOW)
        assert (shown.name, shown.word) == ("Hedda Ames", made.word)
        assert shown.farm_name == "Upland Test Farm"


def test_a_slip_works_once(house, owner, hire):
    made = fresh_slip(house, owner, hire)
    signing.enrol(house, made.token, "en", "us", None, ADDRESS, NOW)
    with pytest.raises(NotFound):
        signing.enrol(house, made.token, "en", "us", None, ADDRESS, NOW)
    with pytest.raises(NotFound):
        signing.open_slip(house, made.token, NOW)


def test_printing_again_voids_the_older_slip(house, owner, hire):
    old = fresh_slip(house, owner, hire)
    new = fresh_slip(house, owner, hire)
    with pytest.raises(NotFound):
        signing.enrol(house, old.token, "en", "us", None, ADDRESS, NOW)
    signing.enrol(house, new.token, "en", "us", None, ADDRESS, NOW)


def test_a_slip_grows_old(house, owner, hire):
    made = fresh_slip(house, owner, hire)
    last = NOW + timedelta(days=house.settings.slip_days)
    signing.open_slip(house, made.token, last)
    with pytest.raises(NotFound):
        signing.open_slip(house, made.token, last + timedelta(seconds=1))


def test_a_first_run_link_is_no_slip(house):
    from academy.service import farm

    token = farm.first_run_link(house, NOW)
    with pytest.raises(NotFound):
        signing.enrol(house, token, "en", "us", None, ADDRESS, NOW)


def test_the_choice_on_the_slips_page_is_kept(house, owner, hire):
    made = fresh_slip(house, owner, hire)
    opened = signing.enrol(house, made.token, "es", "metric", None, ADDRESS, NOW)
    viewer = signing.viewer_of(house, opened.sign_in_token, NOW)
    assert (viewer.language, viewer.units) == ("es", "metric")
    signing.set_reader(house, viewer, "en", "us")
    viewer = signing.viewer_of(house, opened.sign_in_token, NOW)
    assert (viewer.language, viewer.units) == ("en", "us")
    with pytest.raises(NotUnderstood):
        signing.set_reader(house, viewer, "fr", "us")


def test_the_pin_of_the_slip_opens_the_device_again(house, hire):
    token = come_back(house, hire, hire.pin)
    viewer = signing.viewer_of(house, token, NOW)
    assert viewer.person_id == hire.viewer.person_id
    assert viewer.csrf != hire.viewer.csrf


def test_a_pin_is_worth_nothing_on_another_device(house, owner_in, hire):
    with pytest.raises(NotFound):
        signing.sign_in(
            house,
            owner_in.device_token,
            hire.viewer.person_id,
            hire.pin,
            ADDRESS,
            NOW,
        )
    with pytest.raises(NotFound):
        signing.sign_in(house, "made-up", hire.viewer.person_id, hire.pin, ADDRESS, NOW)


@pytest.mark.parametrize("typed", ["", "12345", "1234567", "abcdef", "１２３４５６"])
def test_what_is_no_pin_is_asked_again_and_charged_to_nobody(house, hire, typed):
    with pytest.raises(NotUnderstood):
        come_back(house, hire, typed)
    with house.db.read() as connection:
        failures = connection.execute(device_person.select()).all()
    assert all(row.failures == 0 for row in failures)


def wrong_in_a_row(house, signed, times, now=NOW, address=ADDRESS):
    """So many wrong PINs, each as soon as it is free; the moment after the last."""
    for _ in range(times):
        with pytest.raises(NotAllowed) as refused:
            come_back(house, signed, other_than(signed.pin), now, address)
        assert refused.value.key == "pin_does_not_fit"
        now += tries.ACCOUNT.longest
    return now


def test_ten_wrong_pins_lock_until_a_fresh_slip(house, owner, hire):
    now = wrong_in_a_row(house, hire, 10)
    with pytest.raises(NotAllowed) as refused:
        come_back(house, hire, hire.pin, now)
    assert refused.value.key == "fresh_slip_needed"
    made = people.make_slip(house, owner, hire.viewer.person_id, now)
    signing.enrol(house, made.token, "en", "us", hire.device_token, ADDRESS, now)
    with pytest.raises(NotAllowed):
        come_back(house, hire, hire.pin, now)  # the old PIN went with the old slip
    come_back(house, hire, made.pin, now)


def test_a_right_pin_at_the_tenth_try_wipes_the_slate(house, hire):
    now = NOW
    for _ in range(2):
        now = wrong_in_a_row(house, hire, 9, now)
        come_back(house, hire, hire.pin, now)


def test_one_persons_lock_leaves_the_others_of_the_device_alone(house, owner, join):
    hire, friend = join("Hedda Ames"), join("Pia Lund")
    made = fresh_slip(house, owner, friend)
    signing.enrol(house, made.token, "en", "us", hire.device_token, ADDRESS, NOW)
    now = wrong_in_a_row(house, hire, 10)
    signing.sign_in(
        house,
        hire.device_token,
        friend.viewer.person_id,
        made.pin,
        ADDRESS,
        now,
    )


def test_a_shared_device_lists_its_people_by_name(house, owner, join):
    hire, friend = join("Hedda Ames"), join("Aldo Rey")
    made = fresh_slip(house, owner, friend)
    signing.enrol(house, made.token, "en", "us", hire.device_token, ADDRESS, NOW)
    assert signing.people_on_device(house, hire.device_token) == [
        (friend.viewer.person_id, "Aldo Rey"),
        (hire.viewer.person_id, "Hedda Ames"),
    ]
    assert signing.people_on_device(house, "made-up") == []


def test_on_an_own_device_a_sign_in_stands_thirty_idle_days(house, hire):
    edge = NOW + timedelta(days=30)
    assert signing.viewer_of(house, hire.sign_in_token, edge) is not None
    later = edge + timedelta(days=30, seconds=1)  # idle since ``edge``
    assert signing.viewer_of(house, hire.sign_in_token, later) is None
    assert signing.viewer_of(house, hire.sign_in_token, edge) is None  # ended for good


def test_on_a_shared_device_ten_idle_minutes_end_a_sign_in(house, owner, join):
    hire, friend = join("Hedda Ames"), join("Pia Lund")
    made = fresh_slip(house, owner, friend)
    signing.enrol(house, made.token, "en", "us", hire.device_token, ADDRESS, NOW)
    for minutes in (10, 20, 30):  # never idle for longer than ten
        now = NOW + timedelta(minutes=minutes)
        assert signing.viewer_of(house, hire.sign_in_token, now) is not None
    later = NOW + timedelta(minutes=40, seconds=1)
    assert signing.viewer_of(house, hire.sign_in_token, later) is None


def test_being_seen_is_written_at_most_once_a_minute(house, hire):
    def seen(now):
        assert signing.viewer_of(house, hire.sign_in_token, now)
        query = sign_in.select().where(sign_in.c.id == hire.viewer.sign_in_id)
        with house.db.read() as connection:
            return connection.execute(query).one().seen_at

    assert seen(NOW + timedelta(seconds=59)) == NOW
    assert seen(NOW + timedelta(seconds=60)) == NOW + timedelta(seconds=60)


def test_a_sign_out_is_for_good(house, hire):
    signing.sign_out(house, hire.viewer, NOW)
    assert signing.viewer_of(house, hire.sign_in_token, NOW) is None


def test_no_token_and_no_pin_stands_in_the_database(house, owner, hire):
    made = fresh_slip(house, owner, hire)
    secrets = (made.token, made.pin, hire.device_token, hire.sign_in_token)
    with house.db.read() as connection:
        rows = [
            str(row)
            for table in (slip, sign_in, device_person)
            for row in connection.execute(table.select())
        ]
    assert rows
    assert tokens.kept(made.token) in " ".join(rows)
    for secret in secrets:
        assert not any(f"'{secret}'" in row for row in rows)
