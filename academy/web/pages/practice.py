"""Practice: what comes next, be asked, answer, see at once what the header did."""

from typing import cast

from flask import Blueprint, jsonify, redirect, render_template, request, url_for
from flask import Response as FlaskResponse
from werkzeug.wrappers import Response

from academy.catalog import families
from academy.service import (
    assessment_told,
    lab_own,
    laid_ready,
    next_practice,
    practice,
    starting_summary,
)
from academy.service.tokens import fresh_token
from academy.service.views import Question
from academy.web import form_page
from academy.web.forgery import guard_value
from academy.web.form_page import FormPage
from academy.web.forms.answers import AnswersForm, answers_form
from academy.web.pages import labs
from academy.web.pages.card import WORD_NAMES
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

bp = Blueprint("practice", __name__, url_prefix="/practice")


def _page(question: Question, sent: object = None) -> FormPage:
    """The question's page; the starting set is looked up only when it is shown."""
    form = answers_form(question, sent)
    looking, asked = person(), question.scenario_id
    return form_page.keep(
        "question.html",
        form,
        question=question,
        key=_key() or fresh_token(),
        starting=lambda: next_practice.starting_of(house(), looking, asked),
    )


def _key() -> str | None:
    """The key that the page gave these answers, so that sent twice they count once."""
    sent = request.form.get("key", "")
    return sent if 0 < len(sent) <= LONGEST_TOKEN and sent.isascii() else None


@bp.get("")
def index() -> str:
    """What comes next, what waits, and all topics to choose from."""
    return render_template(
        "practice.html",
        assessments=assessment_told.own(house(), person()),
        when=labs.when,
        labs=lab_own.own_labs(house(), person()),
        coming=next_practice.next_for(house(), person(), now()),
        waiting=laid_ready.waiting(house(), person()),
        topics=practice.topics(reader()),
    )


@bp.post("")
def issue() -> Response:
    """Draw a scenario of a chosen family for this person and go to it."""
    family = request.form.get("family", "")
    drawn = next_practice.issue_family(house(), person(), family, now())
    return go("practice.ask", scenario_id=drawn)


@bp.post("/next")
def go_on() -> Response:
    """Hand out what comes next for this person and go to it."""
    coming = next_practice.issue_next(house(), person(), now())
    return go("practice.ask", scenario_id=coming) if coming else go("practice.index")


@bp.get("/guard")
def guard() -> Response:
    """Who is signed in and the guard of the forms, for answers that waited."""
    viewer = visit().viewer
    if viewer is None:
        return jsonify(person="", guard="")
    return jsonify(person=viewer.person_id, guard=guard_value())


@bp.after_request
def may_be_kept(response: FlaskResponse) -> FlaskResponse:
    """Say how long a phone may keep the list and the questions; nothing else."""
    if request.endpoint in (f"{bp.name}.index", f"{bp.name}.ask"):
        device = request.cookies.get(DEVICE, "")
        seconds = laid_ready.keep_seconds(house(), device)
        response.headers["Keep-Seconds"] = str(seconds)
    return response


@bp.post("/ready")
def lay_ready() -> Response:
    """Lay a few scenarios ready for places without signal; the list shows them."""
    laid_ready.lay_ready(house(), person(), now())
    return go("practice.index")


@bp.get("/starting")
def starting() -> str:
    """What the starting set showed."""
    shown = starting_summary.summary(house(), person(), now())
    return render_template("starting.html", shown=shown, word_names=WORD_NAMES)


@bp.get("/<scenario_id>")
def ask(scenario_id: str) -> Response | tuple[str, int]:
    """The question; its explanation once it is answered, its lab when that is over."""
    question = practice.question(house(), person(), scenario_id)
    lab_id = lab_own.held_back(house(), person(), scenario_id)
    if lab_id and not question.answered:
        return redirect(url_for("labs.mine", lab_id=lab_id))
    if question.answered:
        return redirect(url_for("practice.explain", scenario_id=scenario_id))
    return _page(question).show()


@bp.post("/<scenario_id>")
def answer(scenario_id: str) -> Response | tuple[str, int]:
    """Take the answers; the same answers sent twice count once."""
    question = practice.question(house(), person(), scenario_id)
    page = _page(question, request.form)
    if not page.valid():
        return page.again()
    practice.take_answers(
        house(),
        person(),
        scenario_id,
        cast(AnswersForm, page.form).answers,
        now(),
        _key(),
    )
    return go("practice.explain", scenario_id=scenario_id)


@bp.get("/<scenario_id>/explained")
def explain(scenario_id: str) -> str:
    """What the header did, what was lost where, what it cost and why we know.

    Before the debrief of a lab it is the lab: this address tells that answers are kept.
    """
    lab_id = lab_own.held_back(house(), person(), scenario_id)
    if lab_id:
        return labs.mine(lab_id)
    explained = practice.explanation(house(), person(), scenario_id)
    return render_template(
        "explanation.html",
        explained=explained,
        practised=explained.family in families.practised(),
        coming=next_practice.next_for(house(), person(), now()),
        starting=next_practice.starting_of(house(), person(), scenario_id),
    )
