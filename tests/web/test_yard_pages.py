"""The yard on ordinary forms, without any script: lists, records, sheets, who may."""

import re
from collections.abc import Callable
from typing import Any

import pytest

from academy.catalog import headers, yard
from academy.records.queries import people
from academy.service import sign_off
from academy.service.house import House
from academy.service.sign_off import Given
from academy.service.viewer import Viewer

from .conftest import START

LIST = "soybean-on-the-ground"
ITEMS = yard.items_of(LIST, headers.load("flex40"))
STOP = [item.key for item in ITEMS["safe-stop"]]


@pytest.fixture
def lead(join: Any) -> Any:
    return join("Baltazar Oyarce", "lead")


@pytest.fixture
def hire(join: Any) -> Any:
    return join("Ilse Quade", "hire", "es", "metric")


@pytest.fixture
def place(lead: Any, hire: Any, person_id: Callable[[Any], str]) -> str:
    """The address of a list that the lead has open for the hire."""
    start = f"/people/{person_id(hire)}/yard"
    opened = lead.send(start, start, list=LIST, header="flex40")
    assert opened.status_code == 303
    return str(opened.location)


@pytest.fixture
def opened(house: House, lead: Any, place: str, person_id: Any) -> str:
    """The same list, its safe stop seen."""
    with house.db.read() as connection:
        known = people.get(connection, person_id(lead))
    assert known is not None
    viewer = Viewer(
        known.id, "", frozenset({"lead"}), known.crew_id, "en", "us", "s", "c"
    )
    for key in STOP:
        right = Given(right=True)
        sign_off.enter(house, viewer, place.split("/")[-1], key, right, key, START)
    return place


def _enter(phone: Any, place: str, item: str, **typed: Any) -> Any:
    return phone.send(place, f"{place}/items/{item}", **typed)


def test_a_list_is_entered_and_signed_on_ordinary_forms(
    lead: Any, hire: Any, place: str
) -> None:
    early = _enter(lead, place, "auto-off", right="yes")
    assert early.status_code == 409
    assert "the safe stop comes first" in early.get_data(as_text=True)
    assert "disabled data-closed" in lead.text(place)
    for key in STOP:
        done = _enter(lead, place, key, right="yes")
        assert (done.status_code, done.location) == (303, f"{place}#item-{key}")
    assert "disabled data-closed" not in lead.text(place)
    gap = {"hold__down__gap__gap": "0.9 mm", "hold__down__gap__free": "yes"}
    assert _enter(lead, place, "hold-down-gap", **gap).status_code == 303
    shown = lead.text(place)
    assert "0.9 mm: too wide, put it right and measure again." in shown
    assert 'value="0.9 mm"' in shown  # what was typed stands in the box again
    gap["hold__down__gap__gap"] = "0.6 mm"
    assert _enter(lead, place, "hold-down-gap", **gap).status_code == 303
    assert "entered 2 times" in lead.text(place)
    assert "0.6 mm: in order" in lead.text(place)
    early = lead.send(place, f"{place}/sign", outcome="done")
    assert early.status_code == 409
    assert "cannot be signed off yet" in early.get_data(as_text=True)
    closed = lead.send(place, f"{place}/sign", outcome="not-yet", note="rain")
    assert (closed.status_code, closed.location) == (303, place)
    shown = lead.text(place)
    assert "closed: not yet" in shown
    assert f"{place}/items/" not in shown  # nothing more to enter
    assert "cerrada: todavía no" in hire.text(place)


def test_what_cannot_be_read_is_said_beside_its_box_and_stays(
    lead: Any, opened: str
) -> None:
    for typed, said in (
        ("fish", "No number was found in “fish”"),
        ("3 mph", "does not fit here"),
        ("50 mm", "50 mm"),
        ("0.5", "Choose one of the answers."),
    ):
        wrong = _enter(lead, opened, "hold-down-gap", hold__down__gap__gap=typed)
        assert wrong.status_code == 422
        text = wrong.get_data(as_text=True)
        assert said in text
        assert f'value="{typed}"' in text
        assert 'data-item="hold-down-gap" data-word="open"' in text  # nothing was kept


def test_counts_and_the_machines_own_book_are_read_strictly(
    lead: Any, opened: str
) -> None:
    place = opened
    book = {f"ground__pressure__{key}": "250" for key in ("book_low", "book_high")}
    wrong = _enter(lead, place, "ground-pressure", **book)
    assert "A unit is missing" in wrong.get_data(as_text=True)
    book = {
        "ground__pressure__book_low": "200 lbf",
        "ground__pressure__book_high": "300 lbf",
        "ground__pressure__reading": "40 bar",
    }
    wrong = _enter(lead, place, "ground-pressure", **book)
    assert wrong.status_code == 422
    assert "measure different things" in wrong.get_data(as_text=True)
    assert 'value="40 bar"' in wrong.get_data(as_text=True)
    wrong = _enter(lead, place, "loss-check", loss__check__ahead="1 two 3")
    assert "“1 two 3” is not understood" in wrong.get_data(as_text=True)
    # 4 beans on a square foot are 1 bu/ac (Missouri G1280): (4.5 - 0.5)/4 = 1.0
    counted = {
        "loss__check__ahead": "1 0 1 0",
        "loss__check__under": "4, 5, 4, 5",
        "loss__check__behind": "9 8 10 9",
        "loss__check__frame_area": "1",
        "loss__check__cut_width": "35",
        "loss__check__discharge_width": "20",
        "loss__check__crop_yield": "50",
        "loss__check__own": "1.0",
        "loss__check__verdict": "good",
    }
    assert _enter(lead, place, "loss-check", **counted).status_code == 303
    assert "The person&#39;s 1 bu/ac is right." in lead.text(place)


def test_the_same_form_sent_twice_counts_once(lead: Any, place: str) -> None:
    action = f"{place}/items/{STOP[0]}"
    sent = dict(lead.form(place, action)) | {"right": "yes"}
    for _ in range(2):
        assert lead.client.post(action, data=sent).status_code == 303
    assert "entered 2 times" not in lead.text(place)


def test_who_may_open_what(
    lead: Any, hire: Any, owner: Any, join: Any, place: str, person_id: Any, phone: Any
) -> None:
    mate, teacher = join("Pia Ames", "hire"), join("Tilda Marsh", "instructor")
    of = f"/people/{person_id(hire)}"
    wanted = {
        # visitor, the person, another hire, lead, instructor, owner
        "/yard": (303, 403, 403, 200, 200, 200),
        "/yard/instruction": (303, 403, 403, 200, 200, 200),
        f"{of}/yard": (303, 200, 404, 200, 200, 200),
        f"{of}/instruction": (303, 200, 404, 200, 200, 200),
        f"{of}/instruction/sheet": (303, 200, 404, 200, 200, 200),
        place: (303, 200, 404, 200, 200, 200),
        f"{place}/sheet": (303, 200, 404, 200, 200, 200),
        f"/yard/lists/{LIST}/flex35": (303, 200, 200, 200, 200, 200),
        f"/yard/lists/{LIST}/none": (303, 404, 404, 404, 404, 404),
        "/yard/0123456789abcdef": (303, 404, 404, 404, 404, 404),
    }
    for path, codes in wanted.items():
        phones = (phone, hire, mate, lead, teacher, owner)
        assert tuple(each.get(path).status_code for each in phones) == codes, path
    own = f"/people/{person_id(lead)}/yard"
    assert "<form" not in _main(lead.text(own))  # nobody opens a list for themselves
    for who, code in ((hire, 403), (mate, 404), (teacher, 403), (owner, 403)):
        guard = dict(who.form("/", "/reader"))["csrf_token"]
        sent = {"csrf_token": guard, "right": "yes", "key": "k"}
        for deed in (f"{place}/items/{STOP[0]}", f"{place}/sign"):
            data = sent | {"outcome": "not-yet"}
            assert who.client.post(deed, data=data).status_code == code, deed
    assert "0 of 50 are right" in lead.text(place)


def _main(text: str) -> str:
    return text.partition("<main")[2].partition("</main>")[0]


def test_a_phone_may_keep_an_open_list_and_not_a_signed_one(
    lead: Any, hire: Any, place: str
) -> None:
    assert int(lead.get(place).headers["Keep-Seconds"]) > 0
    assert "Keep-Seconds" not in hire.get(place).headers
    assert "Keep-Seconds" not in lead.get(f"{place}/sheet").headers
    lead.send(place, f"{place}/sign", outcome="not-yet")
    assert "Keep-Seconds" not in lead.get(place).headers


PAPER = {
    "in=en&units=us": (
        *('<html lang="en"', "Safe stop", "Engine off", " in</li>", "Under 16"),
        *("no licence", "own book", "17 of the 21 other steps"),
    ),
    "in=es&units=metric": (
        *('<html lang="es"', "Parada segura", "Apague el motor", " mm</li>"),
        *("Menores de 16", "No es una licencia", "manual de la máquina"),
        "17 de los otros 21 pasos",
    ),
}
SHEET = {
    "in=en": (
        *("Person", "Ilse Quade", "Seen by", "Baltazar Oyarce", "not entered"),
        *("Caution", "Under 16", "no substitute for supervision"),
    ),
    "in=es": (
        *("Persona", "Ilse Quade", "Visto por", "Baltazar Oyarce", "sin anotar"),
        *("Precaución", "Menores de 16", "ni reemplaza la supervisión"),
    ),
}


def test_lists_and_sign_offs_print_in_both_languages(lead: Any, place: str) -> None:
    for asked, says in PAPER.items():
        text = lead.text(f"/yard/lists/{LIST}/flex40?{asked}")
        assert [said for said in says if said not in re.sub(r"\s+", " ", text)] == []
    for asked, says in SHEET.items():
        text = lead.text(f"{place}/sheet?{asked}")
        assert [said for said in says if said not in text] == []


def test_instruction_is_kept_and_printed_in_both_languages(
    lead: Any, hire: Any, person_id: Any
) -> None:
    page = f"/people/{person_id(hire)}/instruction"
    kept = lead.send(page, f"{page}/steps", task="safe-stop", step="shown")
    assert (kept.status_code, kept.location) == (303, f"{page}#task-safe-stop")
    wrong = lead.send(
        page, f"{page}/steps", task="safe-stop", step="did", day="2026-08-01"
    )
    assert wrong.status_code == 422
    assert "before the step that comes first" in wrong.get_data(as_text=True)
    wrong = lead.send(page, f"{page}/steps", task="reel", step="shown", day="soon")
    assert wrong.status_code == 422
    said = lead.send(
        page, f"{page}/yearly", item=["shields", "clear"], day="2026-08-31"
    )
    assert said.status_code == 303
    english = lead.text(f"{page}/sheet?in=en")
    for text in ("29 CFR 1928.57(a)(6)(i)", "Aug 31, 2027", "Sep 1, 2026",
                 "reads Spanish", "Under 16", "no birth date"):  # fmt: skip
        assert text in english, text
    spanish = hire.text(f"{page}/sheet?in=es")
    for text in ("31 ago 2027", "lee español", "Menores de 16", "Parada segura"):
        assert text in spanish, text
    assert "form" not in _main(hire.text(page))  # a hire looks, and keeps nothing
    crew = lead.text("/yard/instruction?in=es")
    assert crew.count("Registro de instrucción: ") == 3  # all whom the lead looks after
    assert "not all of it said yet" in lead.text("/yard")


def test_a_list_is_taken_over_by_an_explicit_button_and_says_so(
    lead: Any, hire: Any, join: Any, opened: str
) -> None:
    second = join("Pia Lund", "lead")
    before = second.text(opened)
    assert "Only Baltazar Oyarce enters and signs here." in before
    assert f'action="{opened}/lead"' not in lead.text(opened)
    assert f'action="{opened}/lead"' not in hire.text(opened)
    holder = re.search(r'name="holder" value="([0-9a-f]{32})"', before)[1]
    done = second.send(opened, f"{opened}/lead", holder=holder)
    assert (done.status_code, done.location) == (303, opened)
    after = second.text(opened)
    assert "taken over Sep 1, 2026 by Pia Lund" in after
    assert after.count("seen before by Baltazar Oyarce: must be seen anew") == len(STOP)
    assert "disabled data-closed" in after
    late = _enter(second, opened, "auto-off", right="yes")
    assert "the safe stop comes first" in late.get_data(as_text=True)
    assert "Only Pia Lund enters and signs here." in lead.text(opened)
    stale = lead.send(opened, f"{opened}/lead", holder=holder)
    assert stale.status_code == 409
    sheet = second.text(f"{opened}/sheet?in=es")
    assert "Baltazar Oyarce, Pia Lund" in sheet
    assert "Tomada a cargo" in sheet


def test_what_was_entered_by_mistake_is_withdrawn_with_a_reason(
    lead: Any, hire: Any, person_id: Any
) -> None:
    page = f"/people/{person_id(hire)}/instruction"
    lead.send(page, f"{page}/steps", task="reel", step="shown", day="2026-08-31")
    lead.send(page, f"{page}/yearly", item=["shields"], day="2026-08-31")
    gone = f"{page}/withdrawn"
    step = {"where": "reel", "line": "reel shown 2026-08-31"}
    for wrong, said in (
        (step | {"reason": " "}, "Say in a few words why it was a mistake"),
        (step | {"reason": "r" * 401}, "r" * 401),  # nothing typed is lost
        (step | {"line": "reel shown 31/8", "reason": "So"}, "not in the record"),
    ):
        refused = lead.send(page, gone, **wrong)
        assert refused.status_code in (404, 422)
        assert said in refused.get_data(as_text=True)
    done = lead.send(page, gone, **step, reason="It was <Pia>.")
    assert (done.status_code, done.location) == (303, f"{page}#task-reel")
    yearly = {"where": "yearly", "line": "shields yearly 2026-08-31"}
    assert lead.send(page, gone, **yearly, reason="Wrong day").status_code == 303
    for text in (lead.text(page), lead.text(f"{page}/sheet?in=en")):
        assert text.count("withdrawn by") == 2
        assert "It was &lt;Pia&gt;." in text
        assert text.count("<del>") == 2
    assert "retirada por" in hire.text(f"{page}/sheet?in=es")
    assert hire.client.post(gone, data=step).status_code in (400, 403)


def test_card_and_crew_lead_to_the_yard(lead: Any, hire: Any, person_id: Any) -> None:
    of = f"/people/{person_id(hire)}"
    assert f'href="{of}/yard"' in lead.text(of)
    assert f'href="{of}/instruction"' in hire.text("/card")
    assert 'href="/yard"' in lead.text("/crew")
    assert 'href="/yard"' not in hire.text("/")


@pytest.mark.parametrize(
    ("language", "said"),
    [("en", "Open the list as it is now"), ("es", "Abrir la lista como es ahora")],
)
def test_from_a_list_that_changed_a_button_leads_on(
    lead: Any, place: str, monkeypatch: pytest.MonkeyPatch, language: str, said: str
) -> None:
    assert said not in lead.text(place)
    monkeypatch.setattr(yard, "digest", lambda _key: "d" * 64)
    lead.send(place, "/reader", language=language)
    page = lead.text(place)
    assert said in page
    assert 'id="yard-sign"' not in page
    (action,) = re.findall(r'action="(/people/[^"]+/yard)"', page)
    assert WORD[language] in lead.text(action)
    fresh = lead.send(place, action)
    assert fresh.status_code == 303
    assert fresh.location != place
    page = lead.text(fresh.location)
    assert 'id="yard-sign"' in page
    assert said not in page
    assert lead.send(place, action).location == fresh.location  # pressed twice


WORD = {"en": "closed: the list changed", "es": "cerrada: la lista cambió"}
