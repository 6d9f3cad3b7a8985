"""The try-out bench: set a header on today's conditions; no sign-in, nothing kept."""

from collections.abc import Iterable

from flask import Blueprint, request
from wtforms import Field, Form

from academy.service import bench_choice, try_out
from academy.service.bench_choice import PartAsked
from academy.web import form_page
from academy.web.forms.fields import ChoiceField, QuantityField
from academy.web.forms.try_out import bench_form, choice_form
from academy.web.visit import reader

_ROUNDED = 0.01  # what is shown is rounded

bp = Blueprint("try_out", __name__, url_prefix="/try-out")


def _typed(form: Form) -> dict[str, float | str]:
    figures: dict[str, float | str] = {
        field.name: field.si
        for field in form
        if isinstance(field, QuantityField) and field.si is not None
    }
    chosen = {f.name: str(f.data) for f in form if isinstance(f, ChoiceField)}
    return figures | chosen


def _changed(field: Field, start: float | str) -> bool:
    if isinstance(field, QuantityField) and field.si is not None:
        return abs(field.si - float(start)) > _ROUNDED * max(
            abs(float(start)), _ROUNDED
        )
    return bool(field.errors) or field.data != start


def _opened(form: Form, parts: Iterable[PartAsked]) -> set[str]:
    """Parts whose state is not the one that the bench starts with."""
    return {
        part.key
        for part in parts
        if any(_changed(form[name], start) for name, start in part.starts().items())
    }


@bp.get("")
def show() -> tuple[str, int]:
    """The bench as it is set; at first everything stands where it usually does."""
    asked = request.args.to_dict()
    chosen = bench_choice.usual(asked)
    typed = asked if "ground_speed" in asked else {}
    parts = bench_choice.parts_of(chosen, reader().language)
    form = bench_form(chosen, typed, request.args if typed else None)
    page = form_page.keep(
        "try_out.html",
        form,
        chosen=chosen,
        choice=choice_form(chosen),
        controls=bench_choice.SET,
        parts=parts,
        opened=set(),
        tried=None,
        scripted=True,
    )
    if not page.valid():
        page.context["opened"] = _opened(form, parts)
        return page.again()
    page.context["opened"] = _opened(form, parts)
    page.context["tried"] = try_out.tried(chosen, _typed(form), reader())
    return page.show()
