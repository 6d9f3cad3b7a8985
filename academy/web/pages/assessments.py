"""Supervised assessments: released, gone through on one device, decided, told."""

from datetime import datetime
from typing import cast

from flask import Blueprint, current_app, redirect, render_template, request, url_for
from werkzeug.exceptions import HTTPException
from werkzeug.wrappers import Response

from academy.errors import Conflict
from academy.language import marked, show_moment
from academy.service import (
    assessment,
    assessment_lead,
    assessment_release,
    assessment_result,
    assessment_told,
    assessment_void,
    farm,
)
from academy.service.tokens import fresh_token
from academy.service.views import Question
from academy.web import form_page
from academy.web.form_page import FormPage
from academy.web.forms.answers import AnswersForm, answers_form
from academy.web.forms.assessments import VoidForm, WindowForm, release_form
from academy.web.pages.assessment_pictures import points_picture, topic_rows
from academy.web.visit import LONGEST_TOKEN, go, house, now, person, reader

bp = Blueprint("assessments", __name__)

STAGES = {
    "gate": marked("safety gate"),
    "fresh": marked("safety gate, fresh questions"),
    "scenario": marked("scenarios"),
}
OUTCOMES = {
    "pass": marked("passed"),
    "fail": marked("not passed this time"),
    "gate": marked("the safety gate was not passed this time"),
    "void": marked("does not count: overturned on appeal"),
    "voided": marked("does not count: it could not go on"),
    "back": marked("taken back before it began"),
    "": marked("broken off"),
}


def when(moment: datetime) -> str:
    """A moment on the farm's clock, in the reader's words."""
    known = farm.farm(house(), now())
    zone = known.zone if known else "UTC"
    return show_moment(moment, zone, reader().language)


def _words() -> dict[str, object]:
    return {
        "stages": STAGES,
        "outcomes": OUTCOMES,
        "void_reasons": assessment_void.REASONS,
        "when": when,
    }


@bp.get("/assessments")
def index() -> str:
    """Those that go on, that are released and that are over; whom to release for."""
    return render_template(
        "assessments.html",
        lists=assessment_lead.lists(house(), person(), now()),
        people=assessment_lead.people(house(), person()),
        **_words(),
    )


def _release_page(person_id: str, sent: object = None) -> FormPage:
    offered = assessment_release.choices(house(), person(), person_id)
    return form_page.keep(
        "assessment_release.html", release_form(offered, sent), offered=offered
    )


@bp.get("/people/<person_id>/assessment")
def release(person_id: str) -> tuple[str, int]:
    """The form that releases one for a person."""
    return _release_page(person_id).show()


@bp.post("/people/<person_id>/assessment")
def do_release(person_id: str) -> Response | tuple[str, int]:
    """Release it."""
    page = _release_page(person_id, request.form)
    if not page.valid():
        return page.again()
    made = assessment_release.release(
        house(),
        person(),
        person_id,
        page.form["certificate"].data,
        page.form["until"].data,
        now(),
    )
    return go("assessments.show", assessment_id=made)


@bp.get("/assessments/<assessment_id>")
def show(assessment_id: str) -> str | Response:
    """Where it stands: for its person, and for who supervises it."""
    if not assessment_told.is_own(house(), person(), assessment_id):
        return _supervise(assessment_id)
    place = assessment.place(house(), person(), assessment_id, now())
    if place.kind == "question":
        return redirect(
            url_for(
                "assessments.ask", assessment_id=assessment_id, position=place.position
            )
        )
    if place.kind == "ended":
        return _result(assessment_id)
    if place.kind == "released":
        told = assessment_told.rules_of(house(), person(), assessment_id)
        return render_template(
            "assessment_begin.html", rules=told, place=place, **_words()
        )
    return render_template("assessment_wait.html", place=place, **_words())


def _supervise(assessment_id: str) -> str:
    found = assessment_lead.supervise(house(), person(), assessment_id, now())
    if found.decided and found.state != "running":
        return _result(assessment_id, found)
    page = form_page.keep(
        "assessment_supervise.html",
        VoidForm(),
        found=found,
        window=WindowForm(),
        **_words(),
    )
    return page.show()[0]


def _result(assessment_id: str, found: assessment_lead.Supervised | None = None) -> str:
    told = assessment_result.result(house(), person(), assessment_id, now())
    return render_template(
        "assessment_result.html",
        result=told,
        found=found,
        picture=points_picture(told.points, reader().language),
        topics=topic_rows(told.topics, reader().language),
        appeal=_appeal_path(assessment_id),
        **_words(),
    )


def _appeal_path(assessment_id: str) -> str:
    """Where an appeal is raised; empty when this site has no such page."""
    path = f"/assessments/{assessment_id}/appeal"
    try:
        current_app.url_map.bind("").match(path)
    except HTTPException:
        return ""
    return path


@bp.post("/assessments/<assessment_id>/begin")
def begin(assessment_id: str) -> Response:
    """Begin on this device, or go on here after a lead has freed it."""
    return _onward(
        assessment_id, assessment.begin(house(), person(), assessment_id, now())
    )


@bp.post("/assessments/<assessment_id>/next")
def go_on(assessment_id: str) -> Response:
    """Ask what comes next."""
    return _onward(
        assessment_id, assessment.go_on(house(), person(), assessment_id, now())
    )


def _question_page(shown: assessment.AskedNow, sent: object = None) -> FormPage:
    return form_page.keep(
        "assessment_question.html",
        answers_form(shown.question, sent),
        question=shown.question,
        place=shown.place,
        token=shown.token,
        key=_sent("key") or fresh_token(),
        **_words(),
    )


def _stale_page(question: Question, assessment_id: str) -> FormPage:
    return form_page.keep(
        "assessment_stale.html",
        answers_form(question, request.form),
        assessment_id=assessment_id,
    )


def _sent(name: str) -> str:
    """A token or key of the form; empty when it is none."""
    sent = request.form.get(name, "")
    return sent if len(sent) <= LONGEST_TOKEN and sent.isascii() else ""


@bp.get("/assessments/<assessment_id>/<int:position>")
def ask(assessment_id: str, position: int) -> Response | tuple[str, int]:
    """The question that waits; from any other place the way leads to it."""
    shown = assessment.asked(house(), person(), assessment_id, position, now())
    if not shown.waits:
        return redirect(url_for("assessments.show", assessment_id=assessment_id))
    return _question_page(shown).show()


@bp.post("/assessments/<assessment_id>/<int:position>")
def answer(assessment_id: str, position: int) -> Response | tuple[str, int]:
    """Take the answer; nothing is said about it, and the next question comes."""
    shown = assessment.asked(house(), person(), assessment_id, position, now())
    if shown.waits:
        page = _question_page(shown, request.form)
        if not page.valid():
            return page.again()
    else:
        page = _stale_page(shown.question, assessment_id)
        if not page.valid():
            raise Conflict("answer_stale")
    answers = cast(AnswersForm, page.form).answers
    asked_now = assessment.take(
        house(), person(), shown, _sent("token"), answers, now(), _sent("key") or None
    )
    return _onward(assessment_id, asked_now)


def _onward(assessment_id: str, position: int) -> Response:
    """Straight to the question that is asked now, else to where it stands."""
    if not position:
        return go("assessments.show", assessment_id=assessment_id)
    return go("assessments.ask", assessment_id=assessment_id, position=position)


@bp.post("/assessments/<assessment_id>/correct")
def correct(assessment_id: str) -> Response:
    """Tick that a miss was put right face to face."""
    step = request.form.get("step", "")
    assessment_lead.correct(house(), person(), assessment_id, step, now())
    return go("assessments.show", assessment_id=assessment_id)


@bp.post("/assessments/<assessment_id>/void")
def void(assessment_id: str) -> Response:
    """Void a question that failed for a technical reason."""
    found = assessment_lead.supervise(house(), person(), assessment_id, now())
    page = form_page.keep(
        "assessment_supervise.html",
        VoidForm(request.form),
        found=found,
        window=WindowForm(),
        **_words(),
    )
    step, reason = page.form["step"].data or "", page.form["reason"].data or ""
    assessment_lead.void(house(), person(), assessment_id, step, reason, now())
    return go("assessments.show", assessment_id=assessment_id)


@bp.post("/assessments/<assessment_id>/cancel")
def cancel(assessment_id: str) -> Response:
    """Take it back, or break it off."""
    assessment_release.cancel(house(), person(), assessment_id, now())
    return go("assessments.index")


@bp.post("/assessments/<assessment_id>/device")
def let_go(assessment_id: str) -> Response:
    """Let it go on on another device."""
    assessment_release.let_go(house(), person(), assessment_id, now())
    return go("assessments.show", assessment_id=assessment_id)


@bp.post("/assessments/<assessment_id>/window")
def reopen(assessment_id: str) -> Response:
    """Give it another window."""
    window = request.form.get("until", "")
    assessment_release.reopen(house(), person(), assessment_id, window, now())
    return go("assessments.show", assessment_id=assessment_id)
