"""The page of a person's devices, and what a closed one is answered."""

import re
from collections.abc import Callable
from typing import Any

import pytest

from academy.service import people, signing
from academy.web.device_kind import KIND_NAMES, kind_of

ANDROID = "Mozilla/5.0 (Linux; Android 14; K) AppleWebKit/537.36 Mobile Safari/537.36"


@pytest.mark.parametrize(
    ("said", "kind"),
    [
        (ANDROID, "phone"),
        ("Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X) Mobile/15", "phone"),
        ("Mozilla/5.0 (iPad; CPU OS 16_0 like Mac OS X) Mobile/15", "tablet"),
        ("Mozilla/5.0 (Linux; Android 14; Some Tab) Safari/537.36", "tablet"),
        ("Mozilla/5.0 (Windows NT 10.0; Win64; x64) Safari/537.36", "computer"),
        ("Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7)", "computer"),
        ("Mozilla/5.0 (X11; Linux x86_64) Gecko/20100101", "computer"),
        ("curl/8", "unknown"),
        ("", "unknown"),
    ],
)
def test_a_browser_says_what_kind_of_device_it_is_on(said: str, kind: str) -> None:
    assert kind_of(said) == kind
    assert kind in KIND_NAMES


@pytest.fixture
def two_phones(
    join: Callable[..., Any], phone: Any, owner: Any, house: Any, person_id: Any
) -> tuple[Any, Any]:
    """A hire's own device and a phone opened with a second slip."""
    hire = join("Ilse Quade", "hire")
    cookie = owner.client.get_cookie("sign_in").value
    looking = signing.viewer_of(house, cookie, house.clock())
    made = people.make_slip(house, looking, person_id(hire), house.clock())
    phone.client.environ_base["HTTP_USER_AGENT"] = ANDROID
    phone.send(f"/slip/{made.token}", f"/slip/{made.token}")
    return hire, phone


def close_actions(text: str) -> list[str]:
    return re.findall(r'action="(/people/\w+/devices/\w+/close)"', text)


def test_a_person_closes_the_other_phone(two_phones: Any, person_id: Any) -> None:
    hire, lost = two_phones
    path = f"/people/{person_id(hire)}/devices"
    assert f'href="{path}"' in hire.text("/card")
    text = hire.text(path)
    assert ". Phone</h2>" in text
    assert "this one, in your hand" in text
    (action,) = close_actions(text)
    assert lost.get("/card").status_code == 200
    answer = hire.send(path, action)
    assert (answer.status_code, answer.location) == (303, path)
    assert lost.get("/card").status_code == 303  # refused at the next request
    assert hire.get("/card").status_code == 200
    assert "not known here" in lost.text("/sign-in")


def test_an_owner_closes_all_of_a_hire(
    two_phones: Any, owner: Any, person_id: Any
) -> None:
    hire, lost = two_phones
    path = f"/people/{person_id(hire)}/devices"
    assert f'href="{path}"' in owner.text("/crew")
    assert "Devices of Ilse Quade" in owner.text(path)
    assert owner.send(path, f"{path}/close").status_code == 303
    for one in (hire, lost):
        assert one.get("/card").status_code == 303
    assert "No device is open" in owner.text(path)


def test_a_person_without_the_form_closes_nothing(
    two_phones: Any, person_id: Any
) -> None:
    hire, lost = two_phones
    (action,) = close_actions(hire.text(f"/people/{person_id(hire)}/devices"))
    assert hire.client.post(action).status_code == 400
    assert lost.get("/card").status_code == 200
