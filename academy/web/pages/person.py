"""What an owner does about one person: correct the name, erase, take back."""

from flask import Blueprint, request
from werkzeug.wrappers import Response

from academy.errors import NotUnderstood
from academy.service import people
from academy.web import form_page
from academy.web.form_page import FormPage
from academy.web.forms.people import EraseForm, NameForm
from academy.web.visit import go, house, now, person

bp = Blueprint("person", __name__, url_prefix="/people/<person_id>")


def _name_page(person_id: str, sent: object = None) -> FormPage:
    name = people.name_of(house(), person(), person_id)
    form = NameForm(sent, data={"name": name})
    return form_page.keep("person_name.html", form, person_id=person_id, name=name)


def _erase_page(person_id: str) -> FormPage:
    name = people.name_of(house(), person(), person_id)
    return form_page.keep(
        "person_erase.html", EraseForm(), person_id=person_id, name=name
    )


@bp.get("/name")
def name(person_id: str) -> tuple[str, int]:
    """The name as it is."""
    return _name_page(person_id).show()


@bp.post("/name")
def rename(person_id: str) -> Response | tuple[str, int]:
    """Correct it."""
    page = _name_page(person_id, request.form)
    if not page.valid():
        return page.again()
    people.rename(house(), person(), person_id, page.form["name"].data)
    return go("crew.show")


@bp.get("/erase")
def consequences(person_id: str) -> tuple[str, int]:
    """What erasing this person does, before anything is done."""
    return _erase_page(person_id).show()


@bp.post("/erase")
def erase(person_id: str) -> Response:
    """Erase, once the box is ticked."""
    if request.form.get("sure") != "yes":
        _erase_page(person_id)
        raise NotUnderstood("erase_not_ticked")
    people.erase(house(), person(), person_id, now())
    return go("crew.show")


@bp.post("/back")
def back(person_id: str) -> Response:
    """Take a person back who was let go."""
    people.take_back(house(), person(), person_id)
    return go("crew.show")
