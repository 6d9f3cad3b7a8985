"""The yard sign-off: on the lead's phone at the real machine, and on paper."""

from flask import Blueprint, g, render_template, request
from flask import Response as FlaskResponse
from werkzeug.wrappers import Response

from academy.catalog import headers
from academy.catalog import instruction as instruction_texts
from academy.catalog import yard as lists
from academy.language import marked
from academy.service import instruction, laid_ready, sign_off, sign_off_view
from academy.service.sign_off import Given
from academy.service.sign_off_view import PersonView, SignOffView
from academy.service.tokens import fresh_token
from academy.web import form_page
from academy.web.form_page import FormPage
from academy.web.forms.yard import ItemForm, Sent, StepForm, item_form
from academy.web.pages.bank import shown_to
from academy.web.visit import (
    DEVICE,
    LONGEST_TOKEN,
    go,
    house,
    now,
    person,
    reader,
    visit,
)

bp = Blueprint("yard", __name__)

WORDS = {
    "open": ("untested", marked("not entered")),
    "right": ("ready", marked("done right")),
    "not-yet": ("not-yet", marked("not yet right")),
}
OUTCOMES = {
    "open": ("untested", marked("open")),
    "done": ("ready", marked("signed off")),
    "not-yet": ("not-yet", marked("closed: not yet")),
    "changed": ("untested", marked("closed: the list changed")),
}


def _texts() -> dict[str, object]:
    """What several pages say."""
    told = instruction_texts.load()
    return {
        "under_16": told.under_16.text.for_language(reader().language),
        "words": WORDS,
        "outcomes": OUTCOMES,
        "key": fresh_token,
    }


def _person_page(person_id: str) -> FormPage:
    shown: PersonView = sign_off_view.of_person(house(), person(), person_id, reader())
    return form_page.keep("yard_person.html", StepForm(), yard=shown, **_texts())


@bp.get("/yard")
def index() -> str:
    """All whom the viewer looks after, with their sign-offs and yearly instruction."""
    records = instruction.of_crew(house(), person(), reader(), now())
    signed = {
        one.person_id: sign_off_view.of_person(
            house(), person(), one.person_id, reader()
        ).rows
        for one in records
    }
    return render_template(
        "yard.html",
        records=records,
        signed=signed,
        lists=[
            (key, one.title.for_language(reader().language), one.headers)
            for key, one in lists.known().items()
        ],
        header_names={
            key: headers.load(key).name.for_language(reader().language)
            for key in headers.known()
        },
        **_texts(),
    )


@bp.get("/people/<person_id>/yard")
def of(person_id: str) -> tuple[str, int]:
    """A person's sign-offs; their lead opens one here."""
    return _person_page(person_id).show()


@bp.post("/people/<person_id>/yard")
def start(person_id: str) -> Response:
    """Open a list, or go on with the one that is open."""
    _person_page(person_id)
    opened = sign_off.open_sign_off(
        house(),
        person(),
        person_id,
        request.form.get("list", ""),
        request.form.get("header", ""),
        now(),
    )
    return go("yard.show", sign_off_id=opened)


@bp.get("/yard/<sign_off_id>")
def show(sign_off_id: str) -> tuple[str, int]:
    """The list as it stands; its lead enters and signs here."""
    return _page(sign_off_id).show()


@bp.post("/yard/<sign_off_id>/items/<item_key>")
def enter(sign_off_id: str, item_key: str) -> Response | tuple[str, int]:
    """Enter an item; the same entry sent twice counts once."""
    page = _page(sign_off_id, request.form, item_key)
    given = Given(right=request.form.get("right") == "yes")
    if isinstance(page.form, ItemForm):
        if not page.valid():
            return page.again()
        given = Given(entered=page.form.entered)
    sign_off.enter(
        house(), person(), sign_off_id, item_key, given, _client_key(), now()
    )
    return go("yard.show", sign_off_id=sign_off_id, _anchor=f"item-{item_key}")


@bp.post("/yard/<sign_off_id>/lead")
def take_over(sign_off_id: str) -> Response:
    """Take the list over from the lead who has it."""
    _page(sign_off_id)
    holder = request.form.get("holder", "")
    sign_off.take_over(house(), person(), sign_off_id, holder, now())
    return go("yard.show", sign_off_id=sign_off_id)


@bp.post("/yard/<sign_off_id>/sign")
def sign(sign_off_id: str) -> Response:
    """Close the list for ever, as done or as not yet."""
    _page(sign_off_id)
    sign_off.sign(
        house(),
        person(),
        sign_off_id,
        request.form.get("outcome", ""),
        request.form.get("note", ""),
        now(),
    )
    return go("yard.show", sign_off_id=sign_off_id)


@bp.get("/yard/<sign_off_id>/sheet")
def sheet(sign_off_id: str) -> str:
    """A sign-off to print, in the language and units asked for."""
    visit().reader = shown_to()
    shown = sign_off_view.one(house(), person(), sign_off_id, reader())
    return render_template("yard_sheet.html", shown=shown, **_texts())


@bp.get("/yard/lists/<list_key>/<header_key>")
def paper(list_key: str, header_key: str) -> str:
    """A list on paper, without anybody's entries."""
    person()
    visit().reader = shown_to()
    shown = sign_off_view.paper(list_key, header_key, reader())
    return render_template(
        "yard_paper.html",
        shown=shown,
        list_key=list_key,
        header_key=header_key,
        **_texts(),
    )


@bp.after_request
def may_be_kept(response: FlaskResponse) -> FlaskResponse:
    """Say how long a phone may keep an open sign-off; nothing else."""
    if request.endpoint == f"{bp.name}.show" and g.get("open_sign_off"):
        device = request.cookies.get(DEVICE, "")
        seconds = laid_ready.keep_seconds(house(), device)
        response.headers["Keep-Seconds"] = str(seconds)
    return response


def _page(sign_off_id: str, sent: Sent | None = None, item: str = "") -> FormPage:
    """The list with a form for each measured item, the sent one filled in."""
    shown: SignOffView = sign_off_view.one(house(), person(), sign_off_id, reader())
    g.open_sign_off = shown.may_enter
    forms: dict[str, ItemForm] = {}
    if shown.may_enter:
        for view in (one for group in shown.groups for one in group.items):
            if view.key in shown.measured:
                own = sent if sent is not None and view.key == item else {}
                asked = shown.measured[view.key]
                forms[view.key] = item_form(asked, shown.crops, own, view.typed)
    return form_page.keep(
        "yard_sign_off.html",
        forms.get(item) or StepForm(),
        shown=shown,
        forms=forms,
        sent_item=item,
        **_texts(),
    )


def _client_key() -> str:
    """The key that the page gave this entry."""
    sent = request.form.get("key", "")
    fits = 0 < len(sent) <= LONGEST_TOKEN and sent.isascii()
    return sent if fits else fresh_token()
