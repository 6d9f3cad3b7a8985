"""The record of an assessment, question by question; raising and answering appeals."""

from flask import Blueprint, render_template, request
from werkzeug.wrappers import Response

from academy.language import marked
from academy.service import appeals, record
from academy.service.assessment_void import REASONS
from academy.web import form_page
from academy.web.form_page import FormPage
from academy.web.forms.answers import answers_form
from academy.web.forms.appeals import AnswerForm, AppealForm
from academy.web.pages.assessment_pictures import signed
from academy.web.pages.assessments import OUTCOMES, STAGES, when
from academy.web.visit import go, house, now, person

bp = Blueprint("appeals", __name__)

ENTRIES = {
    "released": marked("released"),
    "started": marked("begun"),
    "device-freed": marked("freed from its device"),
    "reopened": marked("opened again"),
    "cancelled": marked("taken back or broken off"),
    "assessment-voided": marked("could not go on, does not count"),
    "asked": marked("asked"),
    "answered": marked("answered"),
    "corrected": marked("put right face to face"),
    "voided": marked("voided"),
    "decided": marked("decided"),
    "appealed": marked("appeal raised"),
    "appeal-answered": marked("appeal answered"),
}


def _words() -> dict[str, object]:
    return {
        "stages": STAGES,
        "outcomes": OUTCOMES,
        "entries": ENTRIES,
        "void_reasons": REASONS,
        "when": when,
        "signed": signed,
    }


@bp.get("/appeals")
def index() -> str:
    """The appeals that wait, and those answered last."""
    found = appeals.listed(house(), person())
    return render_template("appeals.html", found=found)


def _record_page(assessment_id: str, sent: object = None) -> FormPage:
    told = record.record(house(), person(), assessment_id)
    form = AnswerForm(sent)
    return form_page.keep("record.html", form, record=told, **_words())


@bp.get("/assessments/<assessment_id>/record")
def show(assessment_id: str) -> tuple[str, int]:
    """The record of an ended assessment."""
    return _record_page(assessment_id).show()


@bp.get("/assessments/<assessment_id>/record/<int:position>")
def question(assessment_id: str, position: int) -> str:
    """One question of it: as shown, answered, keyed, marked."""
    told = record.question(house(), person(), assessment_id, position)
    return render_template(
        "record_question.html", told=told, form=answers_form(told.question), **_words()
    )


def _appeal_page(assessment_id: str, sent: object = None) -> FormPage:
    told = record.record(house(), person(), assessment_id)
    return form_page.keep("appeal.html", AppealForm(sent), record=told, **_words())


@bp.get("/assessments/<assessment_id>/appeal")
def ask(assessment_id: str) -> tuple[str, int]:
    """The form that raises an appeal."""
    return _appeal_page(assessment_id).show()


@bp.post("/assessments/<assessment_id>/appeal")
def raise_one(assessment_id: str) -> Response:
    """Raise it."""
    page = _appeal_page(assessment_id, request.form)
    reason = page.form["reason"].data or ""
    appeals.raise_one(house(), person(), assessment_id, reason, now())
    return go("appeals.show", assessment_id=assessment_id)


@bp.post("/assessments/<assessment_id>/appeal/answer")
def answer(assessment_id: str) -> Response | tuple[str, int]:
    """Answer the one that waits."""
    page = _record_page(assessment_id, request.form)
    if not page.valid():
        return page.again()
    appeals.answer(
        house(),
        person(),
        assessment_id,
        overturn=page.form["outcome"].data == "overturned",
        reason=page.form["reason"].data or "",
        now=now(),
    )
    return go("appeals.show", assessment_id=assessment_id)
