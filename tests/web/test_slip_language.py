"""A slip speaks its person's language on a phone that never chose one."""

from academy.service import people, signing


def _slip_path(house, owner, now, language):
    cookie = owner.client.get_cookie("sign_in")
    viewer = signing.viewer_of(house, cookie.value, now)
    person_id = people.add_person(
        house, viewer, "Iria Vidal", ["hire"], language, "metric", now
    )
    return f"/slip/{people.make_slip(house, viewer, person_id, now).token}"


def test_a_spanish_slip_is_spanish_on_a_phone_that_asks_for_english(
    house, owner, phone
):
    path = _slip_path(house, owner, house.clock(), "es")
    page = phone.get(path, headers={"Accept-Language": "en-US"})
    assert '<html lang="es">' in page.get_data(as_text=True)


def test_a_language_chosen_on_the_phone_stands(house, owner, phone):
    path = _slip_path(house, owner, house.clock(), "es")
    phone.send("/", "/reader", language="en", units="us")
    assert '<html lang="en">' in phone.text(path)


def test_a_signed_out_phone_keeps_its_language(join):
    hers = join("Iria Vidal", "hire", "es", "metric")
    hers.send("/", "/sign-out")
    assert '<html lang="es">' in hers.text("/")
