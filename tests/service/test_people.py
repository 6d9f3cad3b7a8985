from datetime import UTC, datetime, timedelta

import pytest

from academy.errors import Conflict, NotAllowed, NotFound, NotUnderstood
from academy.service import farm, people, signing

NOW = datetime(2026, 9, 1, 15, 0, tzinfo=UTC)


def test_only_an_owner_takes_people_in(house, join):
    for signed in (join("Hedda Ames"), join("Lino Prado", "lead")):
        with pytest.raises(NotAllowed):
            people.add_person(house, signed.viewer, "Mara", ["hire"], "en", "us", NOW)


@pytest.mark.parametrize("roles", [[], ["boss"], ["hire", "teacher"]])
def test_a_person_has_a_role_the_house_knows(house, owner, roles):
    with pytest.raises(NotUnderstood):
        people.add_person(house, owner, "Mara", roles, "en", "us", NOW)


def test_a_person_cannot_be_put_into_a_crew_that_is_not_there(house, owner):
    with pytest.raises(NotFound):
        people.add_person(house, owner, "Mara", ["hire"], "en", "us", NOW, "0" * 32)


def test_a_slip_shows_a_link_a_pin_and_a_word(house, owner):
    person_id = people.add_person(house, owner, "Mara", ["hire"], "es", "us", NOW)
    slip = people.make_slip(house, owner, person_id, NOW)
    assert slip.url == f"http://localhost:8765/slip/{slip.token}"
    assert slip.word in {word.es for word in house.catalog.slip_words}
    assert len(slip.pin) == 6
    assert slip.name == "Mara"


def test_the_list_says_how_far_each_slip_has_come(house, owner):
    person_id = people.add_person(house, owner, "Mara", ["hire"], "en", "us", NOW)

    def state(now):
        rows = people.people(house, owner, now)
        return next(row.slip for row in rows if row.person_id == person_id)

    assert state(NOW) == "none"
    slip = people.make_slip(house, owner, person_id, NOW)
    assert state(NOW) == "waiting"
    assert state(NOW + timedelta(days=house.settings.slip_days + 1)) == "lapsed"
    signing.enrol(house, slip.token, "en", "us", None, "10.0.0.9", NOW)
    assert state(NOW) == "opened"


def test_a_hire_has_no_list_a_lead_one_crew_and_an_owner_all(house, owner, join):
    north = farm.add_crew(house, owner, "North side")
    hire = join("Hedda Ames")
    lead = join("Lino Prado", "lead")
    join("Nadine Orr", crew_id=north)
    with pytest.raises(NotAllowed):
        people.people(house, hire.viewer)
    led = {row.name for row in people.people(house, lead.viewer)}
    assert led == {"Hedda Ames", "Lino Prado", "Odalys Penrose"}
    assert {row.name for row in people.people(house, owner)} == led | {"Nadine Orr"}


def test_a_lead_hands_slips_to_hires_of_the_own_crew_only(house, owner, join):
    north = farm.add_crew(house, owner, "North side")
    hire = join("Hedda Ames").viewer
    far = join("Nadine Orr", crew_id=north).viewer
    lead = join("Lino Prado", "lead").viewer
    people.make_slip(house, lead, hire.person_id, NOW)
    with pytest.raises(NotAllowed):
        people.make_slip(house, lead, owner.person_id, NOW)
    with pytest.raises(NotFound):
        people.make_slip(house, lead, far.person_id, NOW)
    with pytest.raises(NotAllowed):
        people.make_slip(house, hire, hire.person_id, NOW)
    with pytest.raises(NotFound):
        people.make_slip(house, hire, lead.person_id, NOW)


def test_who_was_let_go_is_out_everywhere_at_once(house, owner, join):
    hire = join("Hedda Ames")
    slip = people.make_slip(house, owner, hire.viewer.person_id, NOW)
    people.deactivate(house, owner, hire.viewer.person_id, NOW)
    assert signing.viewer_of(house, hire.sign_in_token, NOW) is None
    assert signing.people_on_device(house, hire.device_token) == []
    with pytest.raises(NotFound):
        signing.open_slip(house, slip.token, NOW)
    with pytest.raises(NotFound):
        signing.sign_in(
            house, hire.device_token, hire.viewer.person_id, hire.pin, "10.0.0.1", NOW
        )
    with pytest.raises(NotFound):
        people.make_slip(house, owner, hire.viewer.person_id, NOW)


def test_the_last_owner_stays(house, owner, join):
    with pytest.raises(Conflict):
        people.deactivate(house, owner, owner.person_id, NOW)
    with pytest.raises(Conflict):
        people.erase(house, owner, owner.person_id, NOW)
    second = join("Second Owner", "owner").viewer
    people.deactivate(house, second, owner.person_id, NOW)


def test_an_erased_person_has_no_name_left(house, owner, join):
    hire = join("Hedda Ames")
    people.erase(house, owner, hire.viewer.person_id, NOW)
    assert "Hedda Ames" not in {row.name for row in people.people(house, owner)}
    assert signing.viewer_of(house, hire.sign_in_token, NOW) is None


def test_only_an_owner_lets_people_go(house, join):
    hire = join("Hedda Ames").viewer
    lead = join("Lino Prado", "lead").viewer
    for deed in (people.deactivate, people.erase):
        with pytest.raises(NotAllowed):
            deed(house, lead, hire.person_id, NOW)
