"""The roster's pages: a file sent in as a browser sends it, looked at, taken in."""

import io
from typing import Any

import pytest

ROSTER = (
    b"Nombre;Funci\xf3n;Idioma\r\n\xcd\xf1igo Paz;temporada;espa\xf1ol\r\nPia;;\r\n"
)


@pytest.fixture
def upload(owner: Any) -> Any:
    """Choose a file on the roster's page and send it."""

    def _upload(data: bytes, phone: Any = owner) -> Any:
        fields = dict(phone.form("/crew/roster", "/crew/roster"))
        fields["file"] = (io.BytesIO(data), "list.csv")
        return phone.client.post("/crew/roster", data=fields)

    return _upload


def fields_of(answer: Any) -> dict[str, str]:
    """What the confirming form of a look ahead would send."""
    from html.parser import HTMLParser

    class Inputs(HTMLParser):
        def handle_starttag(self, tag: str, attrs: Any) -> None:
            had = dict(attrs)
            if tag == "input":
                found[had["name"]] = had.get("value", "")

    found: dict[str, str] = {}
    text = answer.get_data(as_text=True)
    start = text.index('action="/crew/roster/keep"')
    Inputs().feed(text[start : text.index("</form>", start)])
    return found


def test_a_file_is_looked_at_then_taken_in_once(owner: Any, upload: Any) -> None:
    shown = upload(ROSTER)
    assert shown.status_code == 200
    text = shown.get_data(as_text=True)
    assert "Íñigo Paz" in text
    assert "Íñigo Paz" not in owner.text("/crew")
    sent = fields_of(shown)
    assert set(sent) == {"csrf_token", "file", "digest"}
    taken = owner.client.post("/crew/roster/keep", data=sent)
    assert taken.status_code == 303
    assert taken.location == "/crew?added=2&changed=0"
    again = owner.client.post("/crew/roster/keep", data=sent)
    assert (again.status_code, again.location) == (303, "/crew?added=0&changed=0")
    page = owner.text("/crew?added=2&changed=0")
    assert page.count("<span>Íñigo Paz</span>") == 1
    assert "2 new, 0 changed" in page


def test_bad_rows_are_named_and_nothing_is_taken_in(owner: Any, upload: Any) -> None:
    answer = upload(b"Name,Roles\nAda Marsh,hire\n<b>Eli</b>,<i>boss\n")
    assert answer.status_code == 422
    text = answer.get_data(as_text=True)
    roles = "seasonal hire, lead, instructor, owner"
    assert f"Row 3, column “Roles” must be one of: {roles}" in text
    assert "got “&lt;i&gt;boss”" in text
    assert "Ada Marsh" not in owner.text("/crew")


def test_bad_rows_are_named_in_the_readers_language(owner: Any, upload: Any) -> None:
    owner.send("/", "/reader", language="es", units="metric")
    text = upload(b"Name,Roles\nAda Marsh,boss\n").get_data(as_text=True)
    assert "La fila 2, columna «Roles», debe ser una de estas opciones" in text


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "No file was chosen"),
        (b"PK\x03\x04rest of a workbook", "not CSV"),
        (b"Name\n" + b"x" * 200_000, "at most 200,000 bytes"),
    ],
)
def test_what_is_no_roster_is_refused_on_the_same_page(
    upload: Any, data: bytes, said: str
) -> None:
    answer = upload(data)
    assert answer.status_code == 422
    text = answer.get_data(as_text=True)
    assert said in text
    assert 'type="file"' in text


def test_a_crew_that_changed_meanwhile_is_looked_at_again(
    owner: Any, upload: Any, join: Any
) -> None:
    sent = fields_of(upload(ROSTER))
    join("Pia", "lead")
    answer = owner.client.post("/crew/roster/keep", data=sent)
    assert answer.status_code == 409
    assert "The crew has changed" in answer.get_data(as_text=True)
    assert "Íñigo Paz" not in owner.text("/crew")
    now = fields_of(answer)
    assert now["digest"] != sent["digest"]
    assert owner.client.post("/crew/roster/keep", data=now).status_code == 303
    assert "Íñigo Paz" in owner.text("/crew")


def test_crews_are_named_once_there_are_several(owner: Any, upload: Any) -> None:
    assert "Upland Test Farm ·" not in owner.text("/crew")
    shown = upload(b"Name,Crew\nAda Marsh,North side\n")
    assert "New crews: North side" in shown.get_data(as_text=True)
    owner.client.post("/crew/roster/keep", data=fields_of(shown))
    page = owner.text("/crew")
    assert "North side ·" in page
    assert "Upland Test Farm ·" in page


def test_a_broken_carried_file_is_refused(owner: Any, upload: Any) -> None:
    sent = fields_of(upload(ROSTER)) | {"file": "%%%"}
    assert owner.client.post("/crew/roster/keep", data=sent).status_code == 422


def test_without_its_secret_nothing_is_read(owner: Any, upload: Any) -> None:
    sent = fields_of(upload(ROSTER))
    del sent["csrf_token"]
    assert owner.client.post("/crew/roster/keep", data=sent).status_code == 400
    bare = {"file": (io.BytesIO(ROSTER), "list.csv")}
    assert owner.client.post("/crew/roster", data=bare).status_code == 400


def test_the_roster_goes_out_as_a_file(owner: Any, join: Any) -> None:
    join("=1+1", "hire", "es", "metric")
    answer = owner.get("/crew/roster.csv")
    assert answer.mimetype == "text/csv"
    assert "attachment" in answer.headers["Content-Disposition"]
    assert answer.data == (
        b"\xef\xbb\xbfName,Roles,Language,Units,Crew\r\n"
        b"'=1+1,seasonal hire,Spanish,metric,Upland Test Farm\r\n"
        b"Odalys Penrose,owner,English,US,Upland Test Farm\r\n"
    )
    owner.send("/", "/reader", language="es", units="us")
    spanish = owner.get("/crew/roster-sample.csv")
    assert 'filename="lista-de-muestra.csv"' in spanish.headers["Content-Disposition"]
    assert "Nombre,Funciones,Idioma" in spanish.data.decode("utf-8-sig")


def test_a_lead_gets_the_own_crew_and_no_way_in(join: Any) -> None:
    lead = join("Lino Prado", "lead")
    assert "Lino Prado" in lead.get("/crew/roster.csv").data.decode()
    assert '"/crew/roster"' not in lead.text("/crew")
