"""The record of instruction: four steps for each task, five things every year."""

from datetime import date

from flask import Blueprint, render_template, request
from werkzeug.wrappers import Response

from academy.catalog import instruction as texts
from academy.catalog.instruction import STEPS
from academy.errors import NotFound
from academy.service import instruction, instruction_withdrawn, written
from academy.service.instruction_withdrawn import Line
from academy.web import form_page
from academy.web.form_page import FormPage
from academy.web.forms.yard import StepForm
from academy.web.pages.bank import shown_to
from academy.web.visit import go, house, now, person, reader, visit

bp = Blueprint("instruction", __name__)

LONGEST_TYPED = 1000


def _texts() -> dict[str, object]:
    told, language = texts.load(), reader().language
    return {
        "under_16": told.under_16.text.for_language(language),
        "own_words": told.own_words.text.for_language(language),
        "about_steps": told.source.text.for_language(language),
        "steps": [
            (key, one.name.for_language(language), one.about.for_language(language))
            for key, one in told.steps.items()
        ],
    }


def _page(person_id: str, sent: object = None) -> FormPage:
    shown = instruction.record(house(), person(), person_id, reader(), now())
    form = StepForm(sent, data={"day": shown.today.isoformat()})
    return form_page.keep(
        "instruction.html",
        form,
        record=shown,
        ticked=request.form.getlist("item"),
        sent_to=request.form.get("where", ""),
        sent_reason=request.form.get("reason", "")[:LONGEST_TYPED],
        **_texts(),
    )


@bp.get("/people/<person_id>/instruction")
def show(person_id: str) -> tuple[str, int]:
    """A person's record; whoever leads or teaches them keeps it here."""
    return _page(person_id).show()


@bp.post("/people/<person_id>/instruction/steps")
def keep_step(person_id: str) -> Response | tuple[str, int]:
    """Keep a step of a task on a day."""
    page = _page(person_id, request.form)
    if not page.valid():
        return page.again()
    task = request.form.get("task", "")
    instruction.keep_step(
        house(),
        person(),
        person_id,
        task,
        request.form.get("step", ""),
        page.form["day"].day,
        now(),
    )
    return go("instruction.show", person_id=person_id, _anchor=f"task-{task}")


@bp.post("/people/<person_id>/instruction/yearly")
def keep_yearly(person_id: str) -> Response | tuple[str, int]:
    """Keep the yearly things that were said on a day."""
    page = _page(person_id, request.form)
    if not page.valid():
        return page.again()
    said = request.form.getlist("item")
    day = page.form["day"].day
    instruction.keep_yearly(house(), person(), person_id, said, day, now())
    return go("instruction.show", person_id=person_id, _anchor="yearly")


@bp.post("/people/<person_id>/instruction/withdrawn")
def withdraw(person_id: str) -> Response:
    """Withdraw a line that was entered by mistake."""
    _page(person_id)
    where = request.form.get("where", "")
    instruction_withdrawn.withdraw(
        house(),
        person(),
        person_id,
        _line(request.form.get("line", "")),
        request.form.get("reason", ""),
        now(),
    )
    anchor = "yearly" if where == "yearly" else f"task-{where}"
    return go("instruction.show", person_id=person_id, _anchor=anchor)


def _line(sent: str) -> Line:
    """The line that was chosen; raises NotFound for what is none."""
    task, _, rest = sent.partition(" ")
    step, _, day = rest.partition(" ")
    written.choice(step, (*STEPS, "yearly"), "step")
    try:
        return Line(task, step, date.fromisoformat(day))
    except ValueError as wrong:
        raise NotFound("no_such_instruction") from wrong


@bp.get("/people/<person_id>/instruction/sheet")
def sheet(person_id: str) -> str:
    """A person's record to print, in the language asked for."""
    visit().reader = shown_to()
    shown = instruction.record(house(), person(), person_id, reader(), now())
    return render_template(
        "instruction_sheet.html", records=(shown,), alone=shown, **_texts()
    )


@bp.get("/yard/instruction")
def crew_sheet() -> str:
    """The records of all whom one looks after, a sheet each."""
    visit().reader = shown_to()
    shown = instruction.of_crew(house(), person(), reader(), now())
    return render_template(
        "instruction_sheet.html", records=shown, alone=None, **_texts()
    )
