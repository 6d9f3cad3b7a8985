"""The crew: who belongs to it, taking people in, handing slips, letting go."""

from collections.abc import Iterable
from typing import cast

from flask import Blueprint, request
from werkzeug.wrappers import Response

from academy.errors import NotUnderstood
from academy.service import people
from academy.service.people import PersonRow
from academy.web import form_page
from academy.web.form_page import FormPage
from academy.web.forms.people import ROLE_NAMES, PersonForm
from academy.web.pages.slip_sheet import sheet
from academy.web.visit import go, house, now, person

bp = Blueprint("crew", __name__, url_prefix="/crew")


def _page(sent: object = None) -> FormPage:
    rows = people.people(house(), person(), now())
    return form_page.keep(
        "crew.html",
        PersonForm(sent),
        people=rows,
        role_names=ROLE_NAMES,
        taken=_taken(),
        former=people.former(house(), person()) if person().owns else (),
    )


def _taken() -> tuple[int, int] | None:
    """How many a roster file just added and changed, when it did."""
    added, changed = (request.args.get(name, type=int) for name in ("added", "changed"))
    return None if added is None or changed is None else (added, changed)


@bp.get("")
def show() -> tuple[str, int]:
    """Everyone the viewer looks after."""
    return _page().show()


@bp.post("")
def add() -> Response | tuple[str, int]:
    """Take a person in."""
    page = _page(request.form)
    if not page.valid():
        return page.again()
    said = page.form.data
    people.add_person(
        house(),
        person(),
        said["name"],
        said["roles"],
        said["language"],
        said["units"],
        now(),
    )
    return go("crew.show")


@bp.post("/slips")
def slips() -> tuple[str, int]:
    """Make slips; the answer is the sheet itself, because a slip is shown once."""
    page = _page()
    chosen = request.form.getlist("person")
    if not chosen:
        raise NotUnderstood("nobody_ticked")
    rows = cast(Iterable[PersonRow], page.context["people"])
    languages = {row.person_id: row.language for row in rows}
    made = [people.make_slip(house(), person(), one, now()) for one in chosen]
    return sheet([(slip, languages.get(slip.person_id, "en")) for slip in made]), 200


@bp.post("/<person_id>/leave")
def leave(person_id: str) -> Response:
    """Let a person go; the answers stay."""
    _page()
    people.deactivate(house(), person(), person_id, now())
    return go("crew.show")
