"""Field calculators: a GET form, its answer below, nothing kept, no sign-in."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from flask import Blueprint, render_template, request
from wtforms import Form

from academy.catalog import grains
from academy.language import marked, show
from academy.service import field_calculators, grain_in_air
from academy.service.field_calculators import Line
from academy.web import form_page
from academy.web.forms.field import calculator_form, hints
from academy.web.forms.fields import QuantityField
from academy.web.visit import reader

bp = Blueprint("field", __name__, url_prefix="/field")

CALCULATORS = (
    (
        "field.reel_speed",
        marked("Reel speed"),
        marked("How fast the reel must turn for today's ground speed."),
    ),
    (
        "field.loss_check",
        marked("Loss check"),
        marked(
            "From seeds counted on the ground to what was lost, where, and its worth."
        ),
    ),
    (
        "field.capacity",
        marked("Capacity and cost"),
        marked("What a pace gets done in an hour, and what a faster one would save."),
    ),
    (
        "field.damp_air",
        marked("Grain in damp air"),
        marked("How dry or damp the grain gets in the air of this hour."),
    ),
    (
        "try_out.show",
        marked("Try-out bench"),
        marked("Set a header on today's crop and see each control's own cost curve."),
    ),
)


@dataclass(frozen=True)
class Shown:
    """A line of the answer in the reader's units."""

    name: str
    shown: str
    how: tuple[str, ...]


def _shown(lines: Iterable[Line], bushel: float) -> list[Shown]:
    return [
        Shown(line.name, show(line.si, line.kind, reader(), bushel), line.how)
        for line in lines
    ]


def _figures(form: Form) -> dict[str, float]:
    return {
        field.name: field.si
        for field in form
        if isinstance(field, QuantityField) and field.si is not None
    }


def _crop(form: Form) -> str:
    asked = "crop" in form
    return str(form["crop"].data) if asked else field_calculators.countable()[0]


def _no_notes(_form: Form) -> tuple[str, ...]:
    return ()


def _calculator(
    key: str,
    work_out: Callable[[Form], list[Line]],
    notes: tuple[str, ...],
    near: bool,
    of_answer: Callable[[Form], tuple[str, ...]] = _no_notes,
) -> tuple[str, int]:
    _endpoint, title, purpose = next(one for one in CALCULATORS if one[0].endswith(key))
    asked = request.args.to_dict()
    form = calculator_form(key, asked, request.args if asked else None)
    context = {"title": title, "purpose": purpose, "hints": hints(key), "near": near}
    page = form_page.keep("calculator.html", form, notes=notes, lines=[], **context)
    if not asked:
        return page.show()
    if not page.valid():
        return page.again()
    bushel = grains.of(_crop(form)).bushel
    page.context["lines"] = _shown(work_out(form), bushel)
    page.context["notes"] = of_answer(form) + notes
    return page.show()


@bp.get("")
def index() -> str:
    """The list of calculators."""
    return render_template("field_index.html", calculators=CALCULATORS)


@bp.get("/reel-speed")
def reel_speed() -> tuple[str, int]:
    """Reel speed for a ground speed."""
    return _calculator(
        "reel_speed",
        lambda form: field_calculators.reel_speed(_figures(form)),
        (
            marked(
                "Start from this speed, then look: the reel should lean the crop to "
                "the knife and lay it down, neither push it forward nor thresh it."
            ),
        ),
        near=False,
    )


@bp.get("/loss-check")
def loss_check() -> tuple[str, int]:
    """Loss from counts."""
    return _calculator(
        "loss_check",
        lambda form: field_calculators.loss_check(_crop(form), _figures(form)),
        (
            marked(
                "Count several frames and type their mean: one frame alone says "
                "little, seeds lie in patches."
            ),
        ),
        near=True,
    )


@bp.get("/capacity")
def capacity() -> tuple[str, int]:
    """Area, hours and cost of a pace."""
    return _calculator(
        "capacity",
        lambda form: field_calculators.field_work(_figures(form)),
        (
            marked(
                "Faster also means more left behind at the header; count before and "
                "after. Field efficiency is taken as the same for both paces, though "
                "turns and unloading weigh more when the cutting goes faster."
            ),
        ),
        near=False,
    )


def _air_notes(form: Form) -> tuple[str, ...]:
    return grain_in_air.notes(_crop(form), _figures(form)["relative_humidity"])


@bp.get("/damp-air")
def damp_air() -> tuple[str, int]:
    """The moisture that grain comes to in the air."""
    return _calculator(
        "damp_air",
        lambda form: field_calculators.grain_in_damp_air(_crop(form), _figures(form)),
        (
            marked(
                "Grain follows the air by hours, not at once, and pods and straw "
                "faster than grain. Measure what comes into the tank."
            ),
        ),
        near=False,
        of_answer=_air_notes,
    )
