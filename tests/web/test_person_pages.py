"""Correcting a name, erasing after a look at what it does, taking back."""

from typing import Any

import pytest


@pytest.fixture
def hire(join: Any) -> Any:
    return join("Ilse Quade", "hire")


@pytest.fixture
def path(hire: Any, person_id: Any) -> str:
    return f"/people/{person_id(hire)}"


def test_a_name_is_corrected(owner: Any, hire: Any, path: str) -> None:
    assert f'href="{path}/name"' in owner.text("/crew")
    form = f"{path}/name"
    assert dict(owner.form(form, form))["name"] == "Ilse Quade"
    wrong = owner.send(form, form, name="  ")
    assert wrong.status_code == 422
    done = owner.send(form, form, name="Ilse Quaid")
    assert (done.status_code, done.location) == (303, "/crew")
    assert "Ilse Quaid" in owner.text("/crew")
    assert "Good to see you, Ilse Quaid" in hire.text("/")


def test_erasing_names_what_it_does_and_asks_again(
    owner: Any, hire: Any, path: str
) -> None:
    form = f"{path}/erase"
    assert f'href="{form}"' in owner.text("/crew")
    shown = owner.text(form)
    assert "Erase Ilse Quade?" in shown
    for said in ("name is deleted", "signed out everywhere", "answers stay", "backups"):
        assert said in shown
    unsure = owner.send(form, form)
    assert unsure.status_code == 422
    assert "tick the box" in unsure.get_data(as_text=True)
    assert hire.get("/card").status_code == 200
    for _ in range(2):  # a second tap on the button is no harm
        guard = dict(owner.form("/", "/reader"))["csrf_token"]
        sent = {"csrf_token": guard, "sure": "yes"}
        done = owner.client.post(form, data=sent)
        assert (done.status_code, done.location) == (303, "/crew")
    assert "Ilse Quade" not in owner.text("/crew")
    assert "Ilse Quade" not in owner.text("/readiness")
    assert hire.get("/card").status_code == 303
    assert owner.get(path).status_code == 404
    assert owner.get(form).status_code == 404


def test_the_last_owner_cannot_erase_themselves(owner: Any, person_id: Any) -> None:
    form = f"/people/{person_id(owner)}/erase"
    refused = owner.send(form, form, sure="yes")
    assert refused.status_code == 409
    assert owner.get("/card").status_code == 200


def test_who_was_let_go_is_taken_back(owner: Any, hire: Any, path: str) -> None:
    leave = path.replace("people", "crew") + "/leave"
    owner.send("/crew", leave)
    page = owner.text("/crew")
    assert "People who were let go" in page
    assert hire.get("/card").status_code == 303
    assert owner.send("/crew", f"{path}/back").status_code == 303
    page = owner.text("/crew")
    assert "People who were let go" not in page
    assert "<span>Ilse Quade</span>" in page


def test_only_an_owner_and_only_with_the_form(
    owner: Any, hire: Any, join: Any, path: str
) -> None:
    lead = join("Lino Prado", "lead")
    sent = {"sure": "yes", "name": "X"}
    for deed in ("name", "erase", "back"):
        assert owner.client.post(f"{path}/{deed}", data=sent).status_code == 400
        for phone in (hire, lead):
            guard = dict(phone.form("/", "/reader"))["csrf_token"]
            answer = phone.client.post(
                f"{path}/{deed}", data={**sent, "csrf_token": guard}
            )
            assert answer.status_code == 403
    assert hire.get("/card").status_code == 200
    assert "Ilse Quade" in owner.text("/crew")
