"""The first start: the owner names the farm and gets the first slip."""

from flask import Blueprint, request

from academy.service import farm
from academy.service.farm import FarmForm
from academy.web import form_page
from academy.web.form_page import FormPage
from academy.web.forms.people import first_run_form
from academy.web.pages.slip_sheet import sheet
from academy.web.visit import house, now, reader

bp = Blueprint("first_run", __name__)


def _page(token: str) -> FormPage:
    farm.first_run_open(house(), token, now())
    sent = request.form if request.method == "POST" else None
    form = first_run_form(sent)
    if sent is None:
        form["language"].data, form["units"].data = reader().language, reader().units
    return form_page.keep("first_run.html", form, scripted=True)


@bp.get("/first-run/<token>")
def show(token: str) -> tuple[str, int]:
    """The form of the first start."""
    return _page(token).show()


@bp.post("/first-run/<token>")
def start(token: str) -> tuple[str, int]:
    """Start the farm; the answer is the owner's slip itself, shown this once."""
    page = _page(token)
    if not page.valid():
        return page.again()
    said = page.form.data
    form = FarmForm(
        name=said["farm_name"],
        zone=said["zone"],
        currency=said["currency"],
        header_key=said["header_key"],
        combine_key=said["combine_key"],
        owner_name=said["owner_name"],
        language=said["language"],
        units=said["units"],
    )
    made = farm.start_farm(house(), token, form, now())
    return sheet([(made, said["language"])], first=True), 200
