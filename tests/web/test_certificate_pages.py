"""Certificates through the real pages: given, read by anybody, checked, taken back."""

import io
import json
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from academy.records.queries import certificates as rows
from academy.service import certificates, signing
from academy.service.house import House
from academy.service.settings import Settings
from academy.web.cli import main

SITE = "https://farm.example"
KEY = "soybean-on-the-ground"


@pytest.fixture
def house(house: House) -> House:
    return replace(house, settings=Settings(site_address=SITE))


class Farm:
    """A hire who passed, a lead who trained, a lead who decides."""

    def __init__(
        self,
        house: House,
        join: Callable[..., Any],
        person_id: Callable[[Any], str],
        show: Callable[..., Any],
    ) -> None:
        self.house = house
        self.hire = join("Ñusta <b>Weir</b>", "hire")
        self.lead = join("Leif Arnold", "lead")
        self.trainer = join("Tamsin Roe", "lead")
        self.hire_id = person_id(self.hire)
        by = person_id(self.trainer)
        show(self.hire_id, released_by=by, seen_by=by, now=house.clock())

    def give(self) -> str:
        """Through the lead's form; the certificate's number."""
        path = f"/people/{self.hire_id}/certificates"
        answer = self.lead.send(path, path, language="es")
        assert answer.status_code == 303, answer.get_data(as_text=True)
        with self.house.db.read() as connection:
            (kept,) = rows.of_people(connection, [self.hire_id])
        return kept.id


@pytest.fixture
def farm(
    house: House,
    join: Callable[..., Any],
    person_id: Callable[[Any], str],
    show: Callable[..., Any],
) -> Farm:
    return Farm(house, join, person_id, show)


def test_from_the_lead_s_list_to_the_holder_s_paper(farm: Farm) -> None:
    page = farm.lead.text("/certificates")
    assert "Give the certificate" in page
    assert "Ñusta &lt;b&gt;Weir&lt;/b&gt;" in page
    number = farm.give()
    assert "Give the certificate" not in farm.lead.text("/certificates")
    mine = farm.hire.text("/card/certificates")
    assert "valid" in mine
    assert "Take it back" not in mine
    pdf = farm.hire.get(f"/certificates/{number}.pdf")
    assert pdf.data.startswith(b"%PDF-1.")
    assert pdf.mimetype == "application/pdf"
    file = farm.hire.get(f"/certificates/{number}.json")
    assert json.loads(file.data)["id"] == f"{SITE}/c/{number}"
    assert "attachment" in file.headers["Content-Disposition"]


def test_after_one_was_taken_back_a_new_one_is_given_on_the_same_page(
    farm: Farm, join: Callable[..., Any]
) -> None:
    number, path = farm.give(), f"/people/{farm.hire_id}/certificates"
    assert "A new one can be given for the same assessment" in farm.lead.text(path)
    farm.lead.send(path, f"{path}/revoke", reason="The name was <i>wrong</i>")
    page = farm.lead.text(path)
    assert "<q>The name was &lt;i&gt;wrong&lt;/i&gt;</q>" in page
    assert "holds no longer than the first" in page
    assert "Give the certificate" in page
    assert "Give the certificate" not in farm.lead.text("/certificates")
    spanish = join("Lupe Arias", "lead", language="es").text(path)
    assert "<q>The name was &lt;i&gt;wrong&lt;/i&gt;</q>" in spanish
    assert "no vale más tiempo que el primero" in spanish
    answer = farm.lead.send(path, path, language="es")
    assert answer.status_code == 303
    with farm.house.db.read() as connection:
        kept = rows.of_people(connection, [farm.hire_id])
    assert len(kept) == 2
    assert farm.lead.text(path).count(">taken back</span>") == 1
    assert "Give the certificate" not in farm.lead.text(path)
    (again,) = (one.id for one in kept if one.id != number)
    assert farm.hire.get(f"/certificates/{again}.pdf").status_code == 200
    assert farm.hire.get(f"/certificates/{number}.pdf").status_code == 409


def test_who_trained_is_told_why_there_is_no_button(farm: Farm) -> None:
    path = f"/people/{farm.hire_id}/certificates"
    page = farm.trainer.text(path)
    assert "so somebody else gives it" in page
    assert "Give the certificate" not in page
    token = farm.trainer.form(path, "/reader")[0]
    answer = farm.trainer.client.post(
        path, data={token[0]: token[1], "key": KEY, "language": "en"}
    )
    assert answer.status_code == 403
    assert "You signed this person" in answer.get_data(as_text=True)


def test_the_owner_may_let_one_person_do_both(farm: Farm, owner: Any) -> None:
    path = f"/people/{farm.hire_id}/certificates"
    answer = owner.send("/season", "/season/certificates", one_person="yes")
    assert answer.status_code == 303
    assert 'value="yes" checked' in owner.text("/season")
    assert "Give the certificate" in farm.trainer.text(path)
    assert farm.lead.get("/season").status_code == 403


def test_others_find_nothing(farm: Farm, join: Callable[..., Any]) -> None:
    number = farm.give()
    other = join("Other Hire", "hire")
    for path in (
        "/certificates",
        f"/people/{farm.hire_id}/certificates",
        f"/certificates/{number}.pdf",
        f"/certificates/{number}.json",
    ):
        assert other.get(path).status_code == 404, path


def test_anybody_may_read_the_public_page_and_learns_no_name(
    farm: Farm, phone: Any
) -> None:
    number = farm.give()
    page = phone.text(f"/c/{number}")
    assert "valid" in page
    assert "Upland Test Farm" in page
    assert number in page
    for name in ("Ñusta", "Weir", "Leif", "Tamsin", farm.hire_id):
        assert name not in page
    assert phone.get(f"/c/{'0' * 32}").status_code == 404
    assert phone.get("/c/..%2f..").status_code == 404


def test_the_public_page_says_when_it_was_taken_back(farm: Farm, phone: Any) -> None:
    number = farm.give()
    path = f"/people/{farm.hire_id}/certificates"
    empty = farm.lead.send(path, f"{path}/revoke", reason=" ")
    assert empty.status_code == 422
    assert "Write the reason" in empty.get_data(as_text=True)
    answer = farm.lead.send(path, f"{path}/revoke", reason="Signed by mistake")
    assert answer.status_code == 303
    page = phone.text(f"/c/{number}")
    assert "taken back" in page
    assert "Signed by mistake" not in page
    assert "Signed by mistake" in farm.hire.text("/card/certificates")
    listed = json.loads(phone.get("/issuer/revocations").data)
    assert listed["revokedCredentials"] == [
        {"id": f"{SITE}/c/{number}", "revoked": True}
    ]


def test_the_issuer_s_keys_are_found_where_the_file_says(
    farm: Farm, phone: Any
) -> None:
    number = farm.give()
    told = json.loads(farm.hire.get(f"/certificates/{number}.json").data)
    method = told["proof"][0]["verificationMethod"]
    assert method.startswith(f"{SITE}/issuer/keys/z6Mk")
    found = json.loads(phone.get(method.removeprefix(SITE)).data)
    assert found["id"] == method
    assert found["type"] == "Multikey"
    profile = json.loads(phone.get("/issuer").data)
    assert profile["id"] == told["issuer"]["id"] == found["controller"]
    assert method in profile["assertionMethod"]
    assert phone.get("/issuer/keys/z6MkOther").status_code == 404


def test_the_address_comes_from_the_settings_never_from_the_request(
    farm: Farm, phone: Any
) -> None:
    farm.give()
    profile = phone.get("/issuer", headers={"Host": "evil.example"})
    assert "evil" not in profile.get_data(as_text=True)


def _check(phone: Any, raw: bytes, **more: str) -> str:
    guard = dict(phone.form("/verify", "/verify"))
    data: dict[str, Any] = {**guard, **more, "file": (io.BytesIO(raw), "c.json")}
    answer = phone.client.post("/verify", data=data, content_type="multipart/form-data")
    text: str = answer.get_data(as_text=True)
    return text


def test_a_file_is_checked_on_the_page_and_each_finding_is_said(
    farm: Farm, phone: Any
) -> None:
    number = farm.give()
    raw = farm.hire.get(f"/certificates/{number}.json").data
    good = _check(phone, raw)
    assert "Genuine, and valid today" in good
    assert "This farm has not taken it back" in good
    assert "Changed after it was signed" in _check(phone, raw + b"\n")
    assert "Changed after it was signed" in _check(phone, raw.replace(b"soya", b"SOYA"))
    other = raw.replace(b"/issuer/keys/z6Mk", b"/issuer/keys/z6Mh")
    assert "Signed by somebody we do not know" in _check(phone, other)
    assert "not readable as JSON" in _check(phone, b"{")
    assert "no digital certificate" in _check(phone, b"{}")
    assert "is no key of ours" in _check(phone, raw, key="nonsense")
    certificates.revoke(farm.house, _viewer(farm.lead, farm.house), number, "x",
                        farm.house.clock())  # fmt: skip
    assert "Genuine, but taken back" in _check(phone, raw)


def test_pasted_text_will_do_and_nothing_typed_is_lost(farm: Farm, phone: Any) -> None:
    number = farm.give()
    text = farm.hire.text(f"/certificates/{number}.json")
    answer = phone.send("/verify", "/verify", pasted=f"  {text}\n")
    assert "Genuine, and valid today" in answer.get_data(as_text=True)
    broken = phone.send("/verify", "/verify", pasted="{half a file", key="z6MkX")
    page = broken.get_data(as_text=True)
    assert broken.status_code == 422
    assert "{half a file" in page
    assert 'value="z6MkX"' in page
    assert "No file came" in phone.send("/verify", "/verify").get_data(as_text=True)


def test_every_page_speaks_both_languages(farm: Farm, phone: Any) -> None:
    number = farm.give()
    for asked, path in (
        (farm.lead, "/certificates"),
        (farm.lead, f"/people/{farm.hire_id}/certificates"),
        (farm.hire, "/card/certificates"),
        (phone, f"/c/{number}"),
        (phone, "/verify"),
    ):
        for language, word in (("en", "ertificate"), ("es", "ertificado")):
            asked.send("/verify", "/reader", language=language)
            page = asked.text(path)
            assert f'lang="{language}"' in page
            assert word in page


def _viewer(phone: Any, house: House) -> Any:
    token = phone.client.get_cookie("sign_in").value
    return signing.viewer_of(house, token, house.clock())


# --- the command


def test_the_command_tells_by_words_and_by_exit_code(
    farm: Farm,
    tmp_path: Any,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    number = farm.give()
    raw = farm.hire.get(f"/certificates/{number}.json").data
    key = json.loads(raw)["proof"][0]["verificationMethod"].rpartition("/")[2]
    until = date.fromisoformat(json.loads(raw)["validUntil"][:10])
    assert until > farm.house.clock().date()
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    monkeypatch.setenv("ACADEMY_INSTANCE", str(elsewhere))
    monkeypatch.setattr("academy.web.cli.certificate.wall_clock", farm.house.clock)
    file = tmp_path / "c.json"
    file.write_bytes(raw)

    def verify(*words: str) -> tuple[int, str]:
        code = main(["certificate", "verify", str(file), *words])
        out = capsys.readouterr()
        return code, out.out + out.err

    assert verify()[0] == 1  # a computer that knows no key
    code, told = verify("--key", key, "--json")
    found = json.loads(told)
    assert (code, found["state"], found["revocation"]) == (0, "valid", "unknown")
    code, told = verify("--key", f"{SITE}/issuer/keys/{key}", "--lang", "es")
    assert code == 0
    assert "Auténtico y válido hoy" in told
    assert verify("--key", "nonsense")[0] == 2
    file.write_bytes(raw[:-1] + b" }")
    assert verify("--key", key)[0] == 1
    file.write_bytes(b"no file at all")
    code, told = verify("--json")
    assert (code, json.loads(told)["state"]) == (1, "unreadable")
    assert main(["certificate", "verify", str(tmp_path / "none")]) == 2
    assert main(["certificate", "verify"]) == 2
    assert not (elsewhere / "academy.db").exists()


def test_on_the_farm_s_own_computer_the_command_knows_what_was_taken_back(
    farm: Farm,
    tmp_path: Any,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    number = farm.give()
    url = farm.house.db.url.render_as_string(hide_password=False)
    (farm.house.instance / "settings.toml").write_text(f'database_url = "{url}"\n')
    file = tmp_path / "c.json"
    file.write_bytes(farm.hire.get(f"/certificates/{number}.json").data)
    monkeypatch.setenv("ACADEMY_INSTANCE", str(farm.house.instance))
    monkeypatch.setattr("academy.web.cli.certificate.wall_clock", farm.house.clock)

    def found() -> tuple[int, str, str]:
        code = main(["certificate", "verify", str(file), "--json"])
        told = json.loads(capsys.readouterr().out)
        return code, told["state"], told["revocation"]

    assert found() == (0, "valid", "not-revoked")
    viewer = _viewer(farm.lead, farm.house)
    certificates.revoke(farm.house, viewer, number, "x", farm.house.clock())
    assert found() == (1, "revoked", "revoked")


def test_a_new_key_is_made_and_old_certificates_still_check(
    farm: Farm,
    phone: Any,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    number = farm.give()
    raw = farm.hire.get(f"/certificates/{number}.json").data
    monkeypatch.setenv("ACADEMY_INSTANCE", str(farm.house.instance))
    assert main(["certificate", "new-key", "--json"]) == 0
    made = json.loads(capsys.readouterr().out)["key"]
    assert made not in raw.decode()
    assert "Genuine, and valid today" in _check(phone, raw)
    profile = json.loads(phone.get("/issuer").data)
    keys = [one["publicKeyMultibase"] for one in profile["verificationMethod"]]
    assert keys[0] == made
    assert len(keys) == 2
    for lost in (farm.house.instance / "keys").iterdir():
        lost.unlink()
    assert "Genuine, and valid today" in _check(phone, raw)
