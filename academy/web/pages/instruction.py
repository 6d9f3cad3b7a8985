"""The record of instruction: four steps for each task, five things every year."""

from flask import Blueprint, render_template, request
from werkzeug.wrappers import Response

from academy.catalog import instruction as texts
from academy.service import instruction
from academy.web import form_page
from academy.web.form_page import FormPage
from academy.web.forms.yard import StepForm
from academy.web.pages.bank import shown_to
from academy.web.visit import go, house, now, person, reader, visit

bp = Blueprint("instruction", __name__)


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
    ticked = request.form.getlist("item")
    return form_page.keep(
        "instruction.html", form, record=shown, ticked=ticked, **_texts()
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
