"""Labs: laid out, given by a link, watched, debriefed, printed, taken as a file."""

from datetime import datetime
from typing import cast

from flask import Blueprint, Response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from academy.exchange import qr
from academy.language import gettext, marked, show_moment
from academy.service import farm, lab, lab_answers, lab_debrief, lab_own, lab_paper
from academy.service.lab_debrief import SHOWN
from academy.web import form_page
from academy.web.form_page import FormPage
from academy.web.forms.labs import LabForm
from academy.web.pages.bank import shown_to
from academy.web.visit import go, house, now, person, reader, visit

bp = Blueprint("labs", __name__)

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
FILE_NAME = marked("lab-answers")
STATES = {
    "answered": marked("answered"),
    "begun": marked("has begun"),
    "waiting": marked("not yet"),
}
SHOWN_NAMES = {
    "hidden": marked("marks without names"),
    "numbers": marked("numbers"),
    "initials": marked("initials"),
}


def when(moment: datetime) -> str:
    """A moment on the farm's clock, in the reader's words."""
    known = farm.farm(house(), now())
    zone = known.zone if known else "UTC"
    return show_moment(moment, zone, reader().language)


def _page(sent: object = None) -> FormPage:
    return form_page.keep(
        "labs.html",
        LabForm(sent),
        labs=lab.every_lab(house(), person()),
        choices=lab.choices(house(), person()),
        most=lab.MOST_FIELDS,
        when=when,
    )


@bp.get("/labs")
def index() -> tuple[str, int]:
    """The labs there are, and the form that lays one out."""
    return _page().show()


@bp.post("/labs")
def lay_out() -> AnyResponse | tuple[str, int]:
    """Lay one out."""
    page = _page(request.form)
    if not page.valid():
        return page.again()
    said = cast(LabForm, page.form)
    form = lab.LabForm(
        families=said.ticked("families"),
        fields=said["fields"].data,
        crews=said.ticked("crews"),
        people=said.ticked("people"),
    )
    return go("labs.show", lab_id=lab.lay_out(house(), person(), form, now()))


@bp.get("/labs/<lab_id>")
def show(lab_id: str) -> str:
    """The link to give, who has answered, and the way to the debrief."""
    view = lab.lab(house(), person(), lab_id)
    code = qr.picture(view.url)
    return render_template("lab.html", lab=view, qr=code, states=STATES, when=when)


@bp.get("/labs/<lab_id>/debrief")
def debrief(lab_id: str) -> AnyResponse | str:
    """What everybody answered, on one page; the lab itself before it is opened."""
    if not lab.lab(house(), person(), lab_id).over:
        return redirect(url_for("labs.show", lab_id=lab_id))
    asked = request.args.get("marks", "")
    shown = asked if asked in SHOWN else SHOWN[0]
    return render_template(
        "lab_debrief.html",
        told=lab_debrief.debrief(house(), person(), lab_id, shown),
        shown_names=SHOWN_NAMES,
    )


@bp.post("/labs/<lab_id>/debrief")
def open_debrief(lab_id: str) -> AnyResponse:
    """Open the debrief; answering ends."""
    lab.open_debrief(house(), person(), lab_id, now())
    return go("labs.debrief", lab_id=lab_id)


@bp.post("/labs/<lab_id>/reopen")
def reopen(lab_id: str) -> AnyResponse:
    """Take answers again after a debrief opened by mistake."""
    lab.take_answers_again(house(), person(), lab_id)
    return go("labs.show", lab_id=lab_id)


@bp.post("/labs/<lab_id>/remove")
def remove(lab_id: str) -> AnyResponse:
    """Take a lab away that nobody has answered."""
    lab.remove(house(), person(), lab_id)
    return go("labs.index")


@bp.get("/labs/<lab_id>/paper")
def paper(lab_id: str) -> str:
    """The lab on paper, in the language and units asked for."""
    visit().reader = shown_to()
    shown = lab_paper.paper(house(), person(), lab_id, reader())
    return render_template("lab_paper.html", paper=shown)


@bp.get("/labs/<lab_id>/answers.csv")
def csv(lab_id: str) -> Response:
    """The answers as CSV."""
    data = lab_answers.as_csv(house(), person(), lab_id, _with_names())
    return _file(data, "text/csv", "csv")


@bp.get("/labs/<lab_id>/answers.xlsx")
def xlsx(lab_id: str) -> Response:
    """The answers as a workbook."""
    data = lab_answers.as_workbook(house(), person(), lab_id, _with_names(), now())
    return _file(data, XLSX, "xlsx")


@bp.get("/lab/<lab_id>")
def mine(lab_id: str) -> str:
    """A lab as one of its group sees it."""
    own = lab_own.own_lab(house(), person(), lab_id)
    return render_template("lab_own.html", lab=own, states=STATES)


@bp.post("/lab/<lab_id>/<int:position>")
def open_field(lab_id: str, position: int) -> AnyResponse:
    """Hand this person's scenario of a field out and go to it."""
    scenario_id = lab_own.open_field(house(), person(), lab_id, position, now())
    return go("practice.ask", scenario_id=scenario_id)


def _with_names() -> bool:
    return request.args.get("names") == "1"


def _file(data: bytes, kind: str, ending: str) -> Response:
    response = Response(data, mimetype=kind)
    name = f"{gettext(FILE_NAME, reader().language)}.{ending}"
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return response
