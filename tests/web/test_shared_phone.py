"""One phone, several people: names at once, each in their own language, idle out."""

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from flask import Flask

from academy.service import people, signing
from academy.service.house import House
from academy.service.settings import Settings


class Shared:
    """A phone opened for an English and a Spanish reader; the latter holds it."""

    def __init__(self, phone: Any, pins: dict[str, str], ids: dict[str, str]) -> None:
        self.phone, self.pins, self.ids = phone, pins, ids

    def enter(self, name: str, pin: str = "", after: str = "") -> Any:
        """Pick the name, type the PIN."""
        path = f"/sign-in?person={self.ids[name]}{after}"
        return self.phone.send(path, "/sign-in", pin=pin or self.pins[name])


@pytest.fixture
def shared(phone: Any, owner: Any, house: House) -> Shared:
    looking = signing.viewer_of(
        house, owner.client.get_cookie("sign_in").value, house.clock()
    )
    assert looking is not None
    pins, ids = {}, {}
    for name, language, units in (("Ilse", "en", "us"), ("Íñigo", "es", "metric")):
        now = house.clock()
        one = people.add_person(house, looking, name, ["hire"], language, units, now)
        made = people.make_slip(house, looking, one, now)
        page = phone.text(f"/slip/{made.token}")
        assert f'<html lang="{language}">' in page  # not the language of the one before
        assert f'<option value="{units}" selected>' in page
        phone.send(f"/slip/{made.token}", f"/slip/{made.token}")
        pins[name], ids[name] = made.pin, one
    return Shared(phone, pins, ids)


def test_one_tap_leads_from_any_page_to_the_names_one_more_to_the_pin(
    shared: Shared,
) -> None:
    phone = shared.phone
    assert "Otra persona" in phone.text("/card")
    left = phone.send("/card", "/sign-out")
    assert (left.status_code, left.location) == (303, "/sign-in")
    names = phone.text("/sign-in")
    for name, person_id in shared.ids.items():
        assert f"?person={person_id}" in names
        assert f">{name}</a>" in names
    assert 'name="pin"' not in names
    assert 'name="pin"' in phone.text(f"/sign-in?person={shared.ids['Ilse']}")


def test_the_next_persons_language_and_units_come_up_at_once(shared: Shared) -> None:
    phone = shared.phone
    phone.send("/", "/sign-out")
    assert '<html lang="es">' in phone.text("/sign-in")  # as the last one left it
    asked = phone.text(f"/sign-in?person={shared.ids['Ilse']}")
    assert '<html lang="en">' in asked
    wrong = shared.enter("Ilse", "000000").get_data(as_text=True)
    assert '<html lang="en">' in wrong
    assert "This PIN does not fit" in wrong
    assert shared.enter("Ilse").location == "/"
    assert "Good to see you, Ilse" in phone.text("/")
    phone.send("/", "/sign-out")
    assert '<html lang="en">' in phone.text("/sign-in")
    shared.enter("Íñigo")
    assert "Hola, Íñigo" in phone.text("/")
    assert '<option value="metric" selected>' in phone.text("/")


def test_what_somebody_chooses_signed_out_stands_until_the_next_comes_in(
    shared: Shared,
) -> None:
    phone = shared.phone
    phone.send("/", "/sign-out")
    phone.send("/sign-in", "/reader", language="es", units="us")
    assert '<html lang="es">' in phone.text(f"/sign-in?person={shared.ids['Ilse']}")
    shared.enter("Ilse")
    assert '<html lang="en">' in phone.text("/")
    phone.send("/", "/sign-out")
    assert '<html lang="en">' in phone.text("/sign-in")


def test_a_slip_still_reads_as_its_person_chooses_on_its_page(
    shared: Shared, owner: Any, house: House
) -> None:
    looking = signing.viewer_of(
        house, owner.client.get_cookie("sign_in").value, house.clock()
    )
    assert looking is not None
    made = people.make_slip(house, looking, shared.ids["Ilse"], house.clock())
    shared.phone.send("/", "/sign-out")
    path = f"/slip/{made.token}"
    assert '<html lang="en">' in shared.phone.text(path)
    shared.phone.send(path, "/reader", language="es", units="us")
    assert '<html lang="es">' in shared.phone.text(path)


@pytest.mark.parametrize("minutes", [10, 3])
def test_idle_minutes_end_a_sign_in_and_show_the_names(
    shared: Shared, app: Flask, house: House, minutes: int
) -> None:
    def at(idle: timedelta) -> None:
        app.extensions["house"] = replace(
            house,
            settings=Settings(shared_idle_minutes=minutes),
            clock=lambda: house.clock() + idle,
        )

    at(timedelta(0))
    assert f"{minutes} minutos" in shared.phone.text("/card")
    at(timedelta(minutes=minutes))
    assert shared.phone.get("/card").status_code == 200
    at(timedelta(minutes=2 * minutes, seconds=1))
    out = shared.phone.get("/card")
    assert (out.status_code, out.location) == (303, "/sign-in?next=/card")
    assert "Íñigo" in shared.phone.text(out.location)


def test_only_who_was_here_last_is_led_back_to_the_page_they_wanted(
    shared: Shared, app: Flask, house: House
) -> None:
    later = replace(house, clock=lambda: house.clock() + timedelta(minutes=11))
    app.extensions["house"] = later
    assert shared.phone.get("/card").location == "/sign-in?next=/card"
    names = shared.phone.text("/sign-in?next=/card")
    assert "next=/card" in names
    assert shared.enter("Ilse", after="&next=/card").location == "/"
    shared.phone.send("/", "/sign-out")
    shared.enter("Íñigo")
    app.extensions["house"] = replace(
        house, clock=lambda: house.clock() + timedelta(minutes=22, seconds=1)
    )
    assert shared.phone.get("/card").status_code == 303
    assert shared.enter("Íñigo", after="&next=/card").location == "/card"


def test_a_name_that_is_not_on_this_phone_is_not_there(
    shared: Shared, person_id: Any, owner: Any
) -> None:
    shared.phone.send("/", "/sign-out")
    assert shared.phone.get(f"/sign-in?person={person_id(owner)}").status_code == 404
    assert shared.phone.get("/sign-in?person=x").status_code == 404


def test_on_an_own_phone_nobody_else_is_offered(owner: Any) -> None:
    page = owner.text("/card")
    assert "Somebody else" not in page
    assert "shared" not in page
    left = owner.send("/card", "/sign-out")
    assert left.location == "/"
    assert 'name="pin"' in owner.text("/sign-in")
