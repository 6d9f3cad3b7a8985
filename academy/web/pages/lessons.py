"""Lessons: short texts with live pictures, open to everyone."""

from flask import Blueprint, render_template, request
from wtforms import Form
from wtforms.fields import SelectChoice

from academy.language import marked
from academy.service import bench_choice, lessons
from academy.service.bench_choice import Choice
from academy.web.forms.fields import ChoiceField
from academy.web.visit import house, now, reader

bp = Blueprint("lessons", __name__, url_prefix="/lessons")

_LABELS = {"crop": marked("Crop"), "header": marked("Header")}


def _choice_form(chosen: Choice) -> Form:
    """Crop and header that the pictures are drawn for."""
    offered = bench_choice.choices(reader().language)
    fields = {
        name: ChoiceField(
            label,
            choices=[SelectChoice(key, words) for key, words in offered[name]],
            default=getattr(chosen, name),
        )
        for name, label in _LABELS.items()
    }
    made: type[Form] = type("OwnForm", (Form,), fields)
    return made()


def _named(field: str, chosen: Choice) -> str:
    words = dict(bench_choice.choices(reader().language)[field])
    return words[getattr(chosen, field)]


@bp.get("")
def index() -> str:
    """All lessons by topic."""
    return render_template("lessons.html", groups=lessons.index(reader().language))


@bp.get("/<key>")
def show(key: str) -> str:
    """One lesson with pictures for the farm's crop and header, or for those chosen."""
    chosen = lessons.own_choice(house(), request.args.to_dict(), now())
    return render_template(
        "lesson.html",
        lesson=lessons.lesson(key, chosen, reader()),
        choice=_choice_form(chosen),
        chosen_crop=_named("crop", chosen),
        chosen_header=_named("header", chosen),
    )
